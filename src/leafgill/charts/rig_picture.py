"""What a picture of a rig holds, as plain numbers: cylinders' months, and days of the sources."""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.charts.picture import Bar, FloatArray, round_up


@dataclass(frozen=True)
class Lasting:
    """How long one cylinder lasts: the middle and the ends that hold nine in ten [months].

    `note` stands beside its name ("fits", "close", "too large", ""), `chosen` marks the one to get.
    """

    name: str
    months: float
    low: float
    high: float
    note: str
    chosen: bool


@dataclass(frozen=True, eq=False)
class SourceDay:
    """A day of one source: hours since midnight and CO2's middle [n], with its band where shown."""

    name: str
    hours: FloatArray
    middle: FloatArray
    low: FloatArray | None = None
    high: FloatArray | None = None


@dataclass(frozen=True, eq=False)
class RigPicture:
    """Cylinders and days. Levels in mg/L; `bars` say when light, gas and extra air are on."""

    title: str
    subtitle: str
    cylinders: tuple[Lasting, ...]
    days: tuple[SourceDay, ...]
    limit_mg_l: float
    target_mg_l: float
    bars: tuple[Bar, ...]

    @property
    def top_mg_l(self) -> float:
        """Where the scale of the days ends."""
        highest = [1.2 * self.limit_mg_l]
        for day in self.days:
            highest.append(1.08 * float(day.middle.max()))
            if day.high is not None:
                highest.append(1.05 * float(day.high.max()))
        return round_up(max(highest))
