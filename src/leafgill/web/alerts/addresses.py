"""Where keepers are told: addresses, each a secret, in a file of the data folder.

An address holds a password or a token as a rule. Like the broker's password it stays out of the
database, which is copied and handed on more easily than a file that is its owner's alone.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import threading
import tomllib
from pathlib import Path

from leafgill.errors import InputError
from leafgill.web.home import home

FILE = "addresses.toml"
LONGEST = 500
# What would be told at the machine itself, where nobody looks, or by its own programs.
_OF_THE_MACHINE = frozenset(
    {"dbus", "qt", "kde", "glib", "gnome", "macosx", "windows", "syslog", "growl"}
)
_lock = threading.Lock()


def scheme_of(address: str) -> str:
    """Return what stands before "://" in an address, in small letters."""
    return address.partition("://")[0].strip().lower()


def check(address: str) -> str:
    """Return an address without its blanks. Raises InputError, which does not repeat it."""
    import apprise

    told = address.strip()
    if not told or len(told) > LONGEST or not told.isprintable() or "://" not in told:
        raise InputError(f"Write one address with ://, at most {LONGEST} letters.")
    if scheme_of(told) in _OF_THE_MACHINE:
        raise InputError("That would be told at the machine that runs the app; name another way.")
    if apprise.Apprise.instantiate(told, suppress_exceptions=True) is None:
        raise InputError("No way of telling is known for that address; look how it is written.")
    return told


def load() -> dict[str, str]:
    """Return the addresses by the slugs of their channels; none from a file that is none."""
    try:
        told = tomllib.loads((home() / FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    found = told.get("addresses")
    if not isinstance(found, dict):
        return {}
    return {slug: address for slug, address in found.items() if isinstance(address, str)}


def put(slug: str, address: str) -> None:
    """Keep an address. Raises InputError where the file cannot be written."""
    with _lock:
        _write({**load(), slug: address})


def take_out(slug: str) -> None:
    """Let an address go. Raises InputError where the file cannot be written."""
    with _lock:
        there = load()
        if there.pop(slug, None) is not None:
            _write(there)


def _write(addresses: dict[str, str]) -> None:
    path: Path = home() / FILE
    lines = [f"{json.dumps(slug)} = {_quoted(told)}" for slug, told in sorted(addresses.items())]
    new = path.with_name(f"{FILE}.{secrets.token_hex(4)}")
    try:
        made = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(made, "w", encoding="utf-8") as file:
            file.write("# made by the app: where keepers are told\n[addresses]\n")
            file.write("".join(f"{line}\n" for line in lines))
            file.flush()
            os.fsync(file.fileno())
        new.replace(path)
    except OSError as wrong:
        with contextlib.suppress(OSError):
            new.unlink()
        raise InputError(f"The address cannot be kept: {wrong.strerror}.") from None


def _quoted(text: str) -> str:
    """Return a text as TOML's basic string, which is JSON's but for DEL."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
