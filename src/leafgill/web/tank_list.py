"""The list of tanks, one line each: where it stands and when to look."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from leafgill.web.forms.habits import Habits
from leafgill.web.models import TankRow
from leafgill.web.today_page import Where, step_of, where_of
from leafgill.web.working.worker import fresh


@dataclass(frozen=True, slots=True)
class Line:
    """One tank of the list."""

    row: TankRow
    where: Where
    what: str = ""
    look_words: str = ""
    look_at: str = ""
    look_in: str = ""
    urgent: bool = False

    @property
    def state(self) -> str:
        """The state of what is known."""
        return self.where.state


def lines_of(rows: Iterable[TankRow], habits: Habits) -> list[Line]:
    """Return the tanks' lines, those in distress first; what is not of now is asked for."""
    return sorted((_line(row, habits) for row in rows), key=lambda line: not line.urgent)


def _line(row: TankRow, habits: Habits) -> Line:
    told = fresh(row, 0.0)
    where, step = where_of(told, habits), step_of(told, habits)
    if step is None:
        return Line(row, where)
    return Line(row, where, step.what, step.look_words, step.look_at, step.look_in, step.urgent)
