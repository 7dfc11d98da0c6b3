"""Names and addresses of this machine: by which it may be asked for, and which lead beyond it."""

from __future__ import annotations

import ipaddress
import re
import socket

LOOPBACK = ("localhost", "127.0.0.1", "[::1]", "::1")
_NAME = re.compile(r"\.?[a-z0-9]([a-z0-9_.-]*[a-z0-9])?", re.IGNORECASE)
# Bound to these, the machine answers at every address it has.
EVERY = ("0.0.0.0", "::")


def address(text: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    """Return the address a text is, as it stands or in brackets; None for a name."""
    try:
        return ipaddress.ip_address(text.removeprefix("[").removesuffix("]").split("%")[0])
    except ValueError:
        return None


def is_loopback(text: str) -> bool:
    """Return whether an address or name means this machine to itself alone."""
    found = address(text)
    if found is None:
        return text.lower().rstrip(".") == "localhost"
    mapped = getattr(found, "ipv4_mapped", None)
    return bool((mapped or found).is_loopback)


def reaches_out(host: str) -> bool:
    """Return whether a server bound to `host` can be reached from other machines."""
    return not is_loopback(host)


def names_of(host: str, more: str = "") -> list[str]:
    """Return the names a request may carry: loopback's, the host's, the machine's, and `more`.

    `more` is a list with commas; ".example.org" stands for every name below it. The machine's
    names belong only where the server reaches out.
    """
    names = list(LOOPBACK)
    if reaches_out(host):
        machine = socket.gethostname().lower().split(".")[0]
        if _NAME.fullmatch(machine):
            names += [machine, f"{machine}.local"]
    if host not in EVERY:
        names.append(f"[{host}]" if ":" in host else host.lower())
    names += [name for name in re.split(r"[,\s]+", more.lower()) if _NAME.fullmatch(name)]
    return list(dict.fromkeys(names))
