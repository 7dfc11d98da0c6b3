"""All that one question about a tank brings together, asked of the parts below in one go."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from leafgill.advise.forecast import Outlook, Plan, look_ahead, risks
from leafgill.advise.measure import Reading, rank_readings
from leafgill.advise.tune import Step, next_step
from leafgill.diary import Diary
from leafgill.estimate import Belief, Interval, believe
from leafgill.tank.limits import Limits, limits_of
from leafgill.tank.schedule import parse_window
from leafgill.tank.spec import Tank

AHEAD = timedelta(hours=24)
Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class Ahead:
    """A day ahead: its draws, and what they mean against the animals' limits.

    `peak` is the highest CO2 anywhere, `o2_min` the lowest oxygen [mg/L], each with the moment at
    which it is likeliest met; the chances are parts of 1.
    """

    outlook: Outlook
    peak: Interval
    peak_at: datetime
    p_over_limit: float
    p_over_danger: float
    o2_min: Interval
    o2_min_at: datetime
    p_low_o2: float


@dataclass(frozen=True)
class Counsel:
    """What is believed, what the day ahead brings, and what to do; times are aware.

    `plan` is what the step changes from `act` on. `as_set` is the day ahead when nothing is
    touched, `stepped` when the plan is followed; None when the step leaves the gas as it is.
    """

    tank: Tank
    diary: Diary
    now: datetime
    limits: Limits
    belief: Belief
    step: Step
    plan: Plan
    act: datetime
    as_set: Ahead
    stepped: Ahead | None
    readings: tuple[Reading, ...]

    @property
    def until(self) -> datetime:
        """End of the day ahead."""
        return self.now + AHEAD

    @property
    def ahead(self) -> Ahead:
        """The day ahead as advised."""
        return self.as_set if self.stepped is None else self.stepped


def ask(tank: Tank, diary: Diary, now: datetime, progress: Progress) -> Counsel:
    """Return the counsel for a tank at an aware moment. Raises InputError, TooFewDrawsError."""
    known = diary.localised(tank.timezone)
    belief = believe(tank, known, now, progress=progress)
    progress("weighing the next step", 0.9)
    step = next_step(tank, known, belief, now)
    progress("looking at the day ahead", 0.95)
    limits = limits_of(tank)
    plan = plan_of(step)
    act = step.act_at or now
    return Counsel(
        tank=tank,
        diary=known,
        now=now,
        limits=limits,
        belief=belief,
        step=step,
        plan=plan,
        act=act,
        as_set=_ahead(belief, limits, Plan(), now),
        stepped=None if plan == Plan() else _ahead(belief, limits, plan, act),
        readings=tuple(rank_readings(tank, known, belief, now)),
    )


def plan_of(step: Step) -> Plan:
    """Return the plan a step asks for, with the air without which its rate is not safe."""
    gas = None if step.schedule is None else parse_window(step.schedule)
    air = None if step.air is None else parse_window(step.air)
    return Plan(bubble_rate=step.rate, gas=gas, air=air)


def _ahead(belief: Belief, limits: Limits, plan: Plan, act: datetime) -> Ahead:
    now = belief.now
    until_s = (now + AHEAD).timestamp()
    outlook = look_ahead(belief, plan, now.timestamp(), until_s, act_s=act.timestamp())

    def moment(at: int) -> datetime:
        return datetime.fromtimestamp(float(outlook.times_s[at]), now.tzinfo)

    return Ahead(
        outlook=outlook,
        peak_at=moment(int(outlook.co2_max.mean(axis=0).argmax())),
        o2_min_at=moment(int(outlook.o2.mean(axis=0).argmin())),
        **risks(outlook, limits)._asdict(),
    )
