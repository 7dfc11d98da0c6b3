"""Where the broker is and how it is spoken to: a file in the data folder, its owner's alone.

The password stays out of the database, which is copied and handed on more easily than this file.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import ssl
import tomllib
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from leafgill.errors import InputError, quoted
from leafgill.web.home import home

FILE = "broker.toml"
PORT, TLS_PORT = 1883, 8883
_KEYS = {"host": str, "port": int, "tls": bool, "ca_file": str, "user": str, "password": str,
         "client_id": str}  # fmt: skip
_HOW = "accepted: mqtt://HOST, mqtts://HOST for TLS, with :PORT where it is another"


@dataclass(frozen=True, slots=True)
class Broker:
    """A broker: its address, who is let in, and the name of this listener with it."""

    host: str
    port: int = PORT
    tls: bool = False
    ca_file: str = ""
    user: str = ""
    password: str = ""
    client_id: str = ""

    @property
    def address(self) -> str:
        """The address as it was typed."""
        shown = f"[{self.host}]" if ":" in self.host else self.host
        return f"{'mqtts' if self.tls else 'mqtt'}://{shown}:{self.port}"


def broker_at(address: str, user: str = "", password: str = "", ca_file: str = "") -> Broker:
    """Return a broker by its address. Raises InputError for one that is none."""
    try:
        parts = urlsplit(address)
        port = parts.port
    except ValueError:
        raise InputError(f"{quoted(address)} is no address; {_HOW}") from None
    if parts.username or parts.password:
        raise InputError("an address holds no name and no password; give --user")
    if parts.scheme not in ("mqtt", "mqtts") or not parts.hostname or parts.path.strip("/"):
        raise InputError(f"{quoted(address)} is no address; {_HOW}")
    tls = parts.scheme == "mqtts"
    if ca_file and not tls:
        raise InputError("--ca is for a broker with TLS; write mqtts://")
    if ca_file and not Path(ca_file).is_file():
        raise InputError(f"--ca {quoted(ca_file)} is no file")
    return Broker(
        parts.hostname,
        port or (TLS_PORT if tls else PORT),
        tls,
        str(Path(ca_file).absolute()) if ca_file else "",
        user,
        password,
        # one that no other listener has: a broker knows its sessions by it
        f"leafgill-{secrets.token_hex(6)}",
    )


def save(broker: Broker) -> Path:
    """Write the broker down, readable to this user alone; return the file."""
    path = home() / FILE
    lines = [
        f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in asdict(broker).items()
    ]
    new = path.with_name(f"{FILE}.{secrets.token_hex(4)}")
    try:
        made = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(made, "w", encoding="utf-8") as file:
            file.write("# made by: leafgill broker\n" + "\n".join(lines) + "\n")
        new.replace(path)
    except OSError as wrong:
        with contextlib.suppress(OSError):
            new.unlink()
        raise InputError(f"{path} cannot be written: {wrong.strerror}") from None
    return path


def forget() -> bool:
    """Take the broker away; return whether there was one."""
    try:
        (home() / FILE).unlink()
    except FileNotFoundError:
        return False
    return True


def load() -> Broker | None:
    """Return the broker, None where there is none. Raises InputError for a file that is none."""
    path = home() / FILE
    try:
        text = path.read_text(encoding="utf-8")
        told = tomllib.loads(text)
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as wrong:
        why = getattr(wrong, "strerror", None) or "it is no TOML"
        raise InputError(f"cannot be read: {why}", str(path)) from None
    for key, value in told.items():
        if key not in _KEYS or type(value) is not _KEYS[key]:
            raise InputError(f"{quoted(key)} is not accepted", str(path))
    if not told.get("host") or not 0 < told.get("port", PORT) < 65_536:
        raise InputError("names no host and port", str(path))
    return Broker(**told)


def client_of(broker: Broker, client_id: str, *, clean: bool = False, **more: Any) -> Any:
    """Return a client that is not connected yet; it comes back by itself, later each time.

    `clean` starts a session anew each time; otherwise the broker keeps what comes while it is
    away. Raises InputError for a certificate that cannot be read.
    """
    import paho.mqtt.client as mqtt
    from paho.mqtt.enums import CallbackAPIVersion

    client = mqtt.Client(
        CallbackAPIVersion.VERSION2,
        client_id=client_id,
        clean_session=clean,
        protocol=mqtt.MQTTv311,
        **more,
    )
    if broker.user:
        client.username_pw_set(broker.user, broker.password or None)
    if broker.tls:
        try:
            client.tls_set_context(ssl.create_default_context(cafile=broker.ca_file or None))
        except (OSError, ssl.SSLError) as wrong:
            raise InputError(f"{broker.ca_file} is no certificate: {wrong}") from None
    client.reconnect_delay_set(min_delay=1, max_delay=60)
    return client
