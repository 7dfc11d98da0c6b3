"""Hours of every day, by the tank's own clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time

from leafgill.errors import InputError, quoted
from leafgill.tank.clock import DAY_S, hours_text, parse_clock, seconds_of


@dataclass(frozen=True, slots=True)
class Window:
    """Hours of every day, from `on` until just before `off`, wall time.

    `off` earlier than `on` crosses midnight; `on` equal to `off` means never. `time.max` as `off`
    stands for the end of the day, so 00:00 to `time.max` is around the clock.
    """

    on: time
    off: time

    def __post_init__(self) -> None:
        for moment in (self.on, self.off):
            if moment.tzinfo is not None:
                raise InputError(f"time {moment} has a zone; the hours of a day are wall time")

    @property
    def never(self) -> bool:
        """Whether it never starts."""
        return self.on == self.off

    @property
    def hours(self) -> float:
        """Length of the window on a day without a clock change [h]."""
        on, off = seconds_of(self.on), seconds_of(self.off)
        return ((off - on) if off >= on else (off - on + DAY_S)) / 3600.0

    def __str__(self) -> str:
        return "off" if self.never else f"{hours_text(self.on)}-{hours_text(self.off)}"

    @property
    def rest(self) -> Window:
        """The hours of the day outside it: all day for never, never for all day."""
        if self.never:
            return Window(time(0), time.max)
        return Window(time(0) if self.off == time.max else self.off, self.on)

    @property
    def spans_s(self) -> tuple[tuple[float, float], ...]:
        """The stretches (from, to) of a day from midnight to midnight it takes up [s]."""
        on, off = seconds_of(self.on), seconds_of(self.off)
        return ((on, off),) if on <= off else ((0.0, off), (on, DAY_S))

    def covers(self, wall: time) -> bool:
        """Return whether the clock reading `wall` is inside the window."""
        at = seconds_of(wall.replace(tzinfo=None))
        return any(a <= at < b for a, b in self.spans_s)

    def overlap_h(self, other: Window) -> float:
        """Return how long both windows are on, on a day without a clock change [h]."""
        pairs = ((a, b) for a in self.spans_s for b in other.spans_s)
        return sum(max(0.0, min(a[1], b[1]) - max(a[0], b[0])) for a, b in pairs) / 3600.0


NEVER = Window(time(0), time(0))


def parse_window(text: str) -> Window:
    """Return the window that "08:30-17:30" means.

    Also "8:30 am to 5:30 pm", a dash of any length, "20:00-24:00", and "off". Raises InputError in
    one line for anything else.
    """
    plain = " ".join(text.replace("–", "-").replace("—", "-").replace("−", "-").split())
    if plain.lower() in ("off", "none", "never"):
        return NEVER
    parts = plain.split("-") if "-" in plain else plain.split(" to ")
    if len(parts) == 2:
        try:
            on, off = parse_clock(parts[0]), parse_clock(parts[1], end_of_day=True)
        except InputError:
            pass
        else:
            if off == time.max and on != time(0):
                off = time(0)
            return Window(on, off)
    raise InputError(
        f"hours {quoted(plain)} cannot be read; accepted: from-to, as 08:30-17:30, or off"
    )
