"""What a fortnight was worth: how near the target, how soon, at what harm."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from .actions import Window
from .chemistry import FloatArray
from .diary import MINUTES_DAY, START
from .schedule import minutes_into
from .simulate import Trial
from .world import World

RISEN_MIN = 120.0
LAST_DAYS = 3
SETTLED = 0.15  # of the target; a day's mean wanders by some per cent whatever is done
DANGER = 1.25


@dataclass(frozen=True)
class Score:
    """One tank under one keeper. Shares are of the target or of the limit."""

    seed: int
    probe: bool
    keeper: str
    level: float  # mean lit CO2 of the last days / target
    mean_level_mg_l: float
    daily: tuple[float, ...]  # the same, day by day
    peak: float  # highest CO2 anywhere / limit
    over_min: int  # minutes over the limit anywhere
    danger_min: int
    low_o2_min: int  # minutes under the oxygen minimum of 5 mg/L
    changes: int  # settings of the valve until settled (or at all)
    settled_days: float  # from the first gas until within SETTLED to the end; inf for never
    seconds: float = 0.0
    beliefs: tuple[tuple[float, float, float, float], ...] = field(default=())
    # (true CO2, mean, low, high) at random lit moments
    left_out: dict[str, tuple[tuple[float, float, float, float], ...]] = field(default_factory=dict)
    # the same by the kind of reading that was left out, "" for none
    fault: str = ""


def lit_minutes(minutes: int, light: Window, after_min: float = RISEN_MIN) -> NDArray[np.bool_]:
    """Which minutes from START lie in the light, so long after it came on."""
    clock = np.arange(minutes) + 60 * START.hour + START.minute
    return minutes_into(clock, light) >= after_min


def score(trial: Trial, world: World, light: Window, keeper: str) -> Score:
    """Judge a trial by what really was in the water."""
    truth = trial.truth
    minutes = truth["co2_mean"].size
    lit = lit_minutes(minutes, light)
    daily = daily_levels(truth["co2_mean"], lit) / world.target_co2_mg_l
    peak = truth["co2_max"] / world.co2_limit_mg_l
    settings = [row.time for row in trial.diary if row.kind == "bubble_rate"]
    settled, changes = settling(daily, settings)
    last = np.zeros(minutes, dtype=bool)
    last[-LAST_DAYS * MINUTES_DAY :] = True
    level = float(truth["co2_mean"][lit & last].mean())
    return Score(
        seed=world.seed,
        probe=trial.probe is not None,
        keeper=keeper,
        level=level / world.target_co2_mg_l,
        mean_level_mg_l=level,
        daily=tuple(daily.tolist()),
        peak=float(peak.max()),
        over_min=int((peak > 1.0).sum()),
        danger_min=int((peak > DANGER).sum()),
        low_o2_min=int((truth["o2_min"] < 5.0).sum()),
        changes=changes,
        settled_days=settled,
    )


def daily_levels(co2_mg_l: FloatArray, lit: NDArray[np.bool_]) -> FloatArray:
    """Mean lit CO2 of each day from START; NaN for a day without light."""
    days = co2_mg_l.size // MINUTES_DAY
    level = [
        co2_mg_l[d * MINUTES_DAY : (d + 1) * MINUTES_DAY][
            lit[d * MINUTES_DAY : (d + 1) * MINUTES_DAY]
        ].mean()
        for d in range(days)
    ]
    return np.array(level)


def settling(daily: FloatArray, settings: list[datetime]) -> tuple[float, int]:
    """(Days from the first gas until every later day is near the target, settings until then)."""
    if not settings:
        return np.inf, 0
    first = (settings[0] - START) / timedelta(days=1)
    off = np.flatnonzero(np.abs(daily - 1.0) > SETTLED)
    day = int(off[-1]) + 1 if off.size else 0
    if day >= daily.size:
        return np.inf, len(settings)
    by = START + timedelta(days=day)
    return max(day - first, 0.0), sum(at < by for at in settings)
