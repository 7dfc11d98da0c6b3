"""What a keeper can do, and what a keeper is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from .senses import Senses


@dataclass(frozen=True)
class Window:
    """A daily window, in minutes after midnight; it may cross midnight."""

    on_min: int
    off_min: int

    def __str__(self) -> str:
        on, off = divmod(self.on_min % 1440, 60), divmod(self.off_min % 1440, 60)
        return f"{on[0]:02d}:{on[1]:02d}-{off[0]:02d}:{off[1]:02d}"


@dataclass(frozen=True)
class SetValve:
    """Turn the needle valve until so many bubbles a second are counted (and so with an error)."""

    rate: float


@dataclass(frozen=True)
class SetGasDay:
    """Set the solenoid's timer."""

    window: Window


@dataclass(frozen=True)
class SetLightDay:
    """Set the lamp's timer."""

    window: Window


@dataclass(frozen=True)
class SetAirDay:
    """Set the timer of an air stone, in place of whatever air there was at night."""

    window: Window


@dataclass(frozen=True)
class WaterChange:
    """Change so much of the water for tap water; it may go unwritten."""

    percent: float
    written: bool = True


@dataclass(frozen=True)
class Read:
    """Take a reading of a diary kind (ph, ph_probe, kh, fish, cylinder_mass ...)."""

    kind: str
    how: str = ""


@dataclass(frozen=True)
class DrawGlass:
    """Set a glass of tank water aside; a day later it can be read as "degassed_ph"."""

    outdoors: bool = False


Action = SetValve | SetGasDay | SetLightDay | SetAirDay | WaterChange | Read | DrawGlass


class Keeper(Protocol):
    """Who looks after the tank. A program can be one: it sees only what a keeper can see."""

    def next_look(self, now: datetime) -> datetime | None:
        """When to look next, strictly after `now`; None for never again."""
        ...

    def look(self, now: datetime, senses: "Senses") -> Sequence[Action]:
        """Read and do what is wanted through `senses`; what is returned is done afterwards.

        The first look is at the start, before any gas.
        """
        ...
