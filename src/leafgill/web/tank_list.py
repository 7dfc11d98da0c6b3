"""The list of tanks, one line each: where it stands and when to look."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from leafgill.answer.alerts import NOW, WHEN
from leafgill.web.alerts.book import open_alerts
from leafgill.web.forms.habits import Habits
from leafgill.web.models import TankRow
from leafgill.web.today_page import Where, step_of, where_of
from leafgill.web.working.worker import fresh


@dataclass(frozen=True, slots=True)
class Line:
    """One tank of the list; `alert` is the first of those that are open, `alerts` how many are."""

    row: TankRow
    where: Where
    what: str = ""
    look_words: str = ""
    look_at: str = ""
    look_in: str = ""
    urgent: bool = False
    alert: str = ""
    alerts: int = 0
    danger: bool = False

    @property
    def state(self) -> str:
        """The state of what is known."""
        return self.where.state


def lines_of(rows: Iterable[TankRow], habits: Habits) -> list[Line]:
    """Return the tanks' lines, distress and danger first; what is not of now is asked for."""
    lines = (_line(row, habits) for row in rows)
    return sorted(lines, key=lambda line: (not line.urgent, not line.danger))


def _line(row: TankRow, habits: Habits) -> Line:
    told = fresh(row, 0.0)
    where, step, alerts = where_of(told, habits), step_of(told, habits), open_alerts(row)
    line = Line(row, where)
    if step is not None:
        line = Line(row, where, step.what, step.look_words, step.look_at, step.look_in, step.urgent)
    if not alerts:
        return line
    first = alerts[0]
    return replace(
        line,
        alert=habits.text(f"{WHEN[first.urgency]}: {first.title}"),
        alerts=len(alerts),
        danger=first.urgency == NOW,
    )
