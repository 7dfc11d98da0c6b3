"""What advice is made of: the next step, its reasons and what is to be seen after it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal, NamedTuple

from leafgill.estimate.belief import Interval

Action = Literal[
    "raise", "lower", "hold", "hours", "leave", "measure", "first setting", "emergency"
]
Comparison = Literal["<=", ">="]


class Reason(NamedTuple):
    """One rule held against one figure.

    `figure`, `comparison` and `limit` are what was compared, in the unit that `text` names;
    `passed` whether it holds; `rule` the number of the safety rule it belongs to (docs/safety.md)
    and `about` one word for what it looks at.
    """

    text: str
    figure: float
    comparison: Comparison
    limit: float
    passed: bool
    rule: int = 0
    about: str = ""


def held(
    text: str, figure: float, comparison: Comparison, limit: float, rule: int, about: str
) -> Reason:
    """Return the row of a comparison. A figure that is not a number never passes."""
    passed = figure <= limit if comparison == "<=" else figure >= limit
    return Reason(text, float(figure), comparison, float(limit), bool(passed), rule, about)


class Expect(NamedTuple):
    """What is to be seen at the next look: nine times in ten it is within.

    `ph` is what the keeper's own instrument will show, `colour` the drop checker's likely colours
    from blue to yellow, `co2` the water's CO2 [mg/L], `instrument` "probe" or "hand".
    """

    ph: Interval | None
    colour: tuple[str, ...]
    co2: Interval
    instrument: str = "hand"


class Weighed(NamedTuple):
    """A figure by its name: with its interval, or a chance as a part of 1, in `unit`."""

    name: str
    value: Interval | float
    unit: str


class Beside(NamedTuple):
    """Something worth knowing beside a step, and no part of it; nothing is to be done for it now.

    `about` is "hours", "surface", "water change" or "leave".
    """

    about: str
    text: str
    figures: tuple[Weighed, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """The next thing to do at the tank.

    `action` is what is done with the valve, or "hours" where only the gas hours move (`schedule`),
    or "leave" where nothing is to be done or read until `look_at`, up to three days on.

    `rate` is the bubble rate that holds from `act_at` on [1/s], None where none can be named;
    `schedule` gas hours to set ("08:30-17:30"), None where they stay; `air` hours of aeration
    without which the rate is not safe; `act_at` when to do it, None where nothing is to be done;
    `look_at` when to look again; `measure` the reading to take and how; `expect` what is then to
    be seen; `close_back_if` at which signs to close the valve back, `close_back_ph` the reading
    in it. `later` is what is likely to follow, `beside` what is worth knowing of hours, surface
    and water changes.
    """

    action: Action
    rate: float | None
    schedule: str | None
    look_at: datetime | None
    measure: str | None
    expect: Expect
    close_back_if: str
    reasons: tuple[Reason, ...]
    cautions: tuple[str, ...]
    act_at: datetime | None = None
    close_back_ph: float | None = None
    later: str = ""
    air: str | None = None
    beside: tuple[Beside, ...] = ()
