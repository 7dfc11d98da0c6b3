"""All that one question about a tank brings together, asked of the parts below in one go."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from leafgill.advise.forecast import Forecast, Plan, forecast
from leafgill.advise.measure import Reading, rank_readings
from leafgill.advise.tune import Step, next_step
from leafgill.diary import Diary
from leafgill.estimate import Belief, believe
from leafgill.tank.limits import Limits, limits_of
from leafgill.tank.spec import Tank

AHEAD = timedelta(hours=24)
Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class Counsel:
    """What is believed, what the day ahead brings, and what to do; times are aware.

    `plan` is what the step changes. `as_set` is the day ahead when nothing is touched, `stepped`
    when the plan is followed; None when the step leaves the gas as it is.
    """

    tank: Tank
    diary: Diary
    now: datetime
    limits: Limits
    belief: Belief
    step: Step
    plan: Plan
    as_set: Forecast
    stepped: Forecast | None
    readings: tuple[Reading, ...]

    @property
    def until(self) -> datetime:
        """End of the day ahead."""
        return self.now + AHEAD

    @property
    def ahead(self) -> Forecast:
        """The day ahead as advised."""
        return self.as_set if self.stepped is None else self.stepped


def ask(tank: Tank, diary: Diary, now: datetime, progress: Progress) -> Counsel:
    """Return the counsel for a tank at an aware moment. Raises InputError, TooFewDrawsError."""
    known = diary.localised(tank.timezone)
    belief = believe(tank, known, now, progress=progress)
    progress("weighing the next step", 0.92)
    step = next_step(tank, known, belief, now)
    progress("looking at the day ahead", 0.96)
    plan = Plan(bubble_rate=step.rate)
    until = now + AHEAD
    as_set = forecast(tank, belief, Plan(), until)
    stepped = None if plan == Plan() else forecast(tank, belief, plan, until)
    readings = tuple(rank_readings(tank, known, belief, now))
    return Counsel(
        tank=tank,
        diary=known,
        now=now,
        limits=limits_of(tank),
        belief=belief,
        step=step,
        plan=plan,
        as_set=as_set,
        stepped=stepped,
        readings=readings,
    )
