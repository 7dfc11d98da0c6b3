"""How the listener is, told across processes: a small file in the data folder."""

from __future__ import annotations

import json
import secrets
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path

from leafgill.web.home import home

FILE = "listener.json"
CONNECTED, AWAY, STOPPED = "connected", "away", "stopped"


@dataclass(frozen=True, slots=True)
class Listening:
    """How the listener is: "connected", "away" or "stopped"; since when; and what is the matter.

    `subscribed` are the topics that the broker keeps for it.
    """

    state: str
    since: str
    words: str = ""
    address: str = ""
    subscribed: list[str] = field(default_factory=list)

    @property
    def since_when(self) -> datetime | None:
        """The moment since when, None where the file had none."""
        try:
            return datetime.fromisoformat(self.since)
        except ValueError:
            return None


def path() -> Path:
    """Return the file."""
    return home() / FILE


def read() -> Listening | None:
    """Return what was written last; None where nothing was, or nothing that can be read."""
    try:
        told = json.loads(path().read_text(encoding="utf-8"))
        return Listening(**told)
    except (OSError, ValueError, TypeError):
        return None


def write(told: Listening) -> None:
    """Write how the listener is; a full disk does not stop it."""
    new = path().with_name(f"{FILE}.{secrets.token_hex(4)}")
    try:
        new.write_text(json.dumps(asdict(told)), encoding="utf-8")
        new.replace(path())
    except OSError:
        with suppress(OSError):
            new.unlink()
