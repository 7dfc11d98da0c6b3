"""A tank's sensors as a page lists them: newest reading, since when, a line of the last day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo

from leafgill.answer import figures
from leafgill.diary import SENSORS
from leafgill.web.forms.habits import Habits
from leafgill.web.forms.tank_words import capital
from leafgill.web.ingest.checks import named
from leafgill.web.models import ReadingRow, SensorRow, TankRow
from leafgill.web.spark import Spark, spark
from leafgill.web.store.readings import readings_between

_LINE_S = 86_400


@dataclass(frozen=True, slots=True)
class SensorLine:
    """One sensor with what it sent; `newest` and `span` are words, "" where it sent nothing.

    `line` is that of the last 24 hours, and `range` its lowest to its highest in words; what is
    doubted is not in them. `doubt` says why the newest reading is, "" where it is not.
    """

    slug: str
    name: str
    says: str
    newest: str
    span: str
    count: int
    line: Spark | None
    range: str = ""
    doubt: str = ""


def sensor_lines(row: TankRow, here: tzinfo, now: datetime, habits: Habits) -> list[SensorLine]:
    """Return a tank's sensors by name."""
    return [
        sensor_line(s, here, now, habits)
        for s in SensorRow.objects.filter(tank=row).order_by("name")
    ]


def sensor_line(sensor: SensorRow, here: tzinfo, now: datetime, habits: Habits) -> SensorLine:
    """Return a sensor as it is listed."""
    info = SENSORS[sensor.kind]
    rows = ReadingRow.objects.filter(sensor=sensor)
    newest = rows.order_by("-time_s").first()
    if newest is None:
        return SensorLine(
            sensor.slug, sensor.name, capital(info.says.split(",")[0]), "", "", 0, None
        )
    first_s = rows.order_by("time_s").values_list("time_s", flat=True)[0]
    times_s, values = readings_between(sensor, newest.time_s - _LINE_S, newest.time_s)
    unit = habits.shown_unit(info.unit)
    at = datetime.fromtimestamp(newest.time_s, here)
    begin = datetime.fromtimestamp(first_s, here)
    line = spark(times_s, values, newest.time_s - _LINE_S, newest.time_s, info.jump)
    ends = [] if line is None else [habits.words(end, info.unit) for end in (line.low, line.high)]
    return SensorLine(
        slug=sensor.slug,
        name=sensor.name,
        says=capital(info.says.split(",")[0]),
        newest=f"{habits.words(newest.value, info.unit)} {unit}".strip()
        + f", {figures.moment(at, now)}",
        span=f"since {begin.day} {begin:%B %Y}",
        count=rows.count(),
        line=line,
        range=f"{' to '.join(ends)} {unit}".strip(),
        doubt="; ".join(named(newest.flag)),
    )
