"""A week's doses that keep every nutrient between floor and ceiling, by linear programming.

The course of a nutrient answers a dose nearly in a straight line, so the doses are found by a
linear programme on that line, the line is drawn anew at what was found, and so on a few times. The
programme gives way where not all can be had: what falls short of a floor costs in proportion, what
passes a ceiling costs more, and fertiliser itself costs a little, so that none is given in vain.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog, nnls

from leafgill.advise.balance.ahead import weekly
from leafgill.advise.balance.limit import spoken_of
from leafgill.advise.balance.nutrients import NUTRIENTS
from leafgill.advise.balance.outlook import target_of
from leafgill.advise.balance.result import Dose, DosePlan
from leafgill.advise.balance.season import Season
from leafgill.advise.balance.sources import Source, sources_of
from leafgill.advise.drawn import figure
from leafgill.advise.figure import Input
from leafgill.science.compiled import FloatArray
from leafgill.tank.clock import DAY_S

# This part of the draws may stand below the floor, and above the ceiling.
_LOW_QUANTILE, _HIGH_QUANTILE = 0.2, 0.9
_ROUNDS = 7
_SHORT_COSTS, _OVER_COSTS, _DOSE_COSTS = 1.0, 6.0, 0.02
# What does no harm above its ceiling may rather pass it than leave another short.
_OVER_COSTS_OF = {"potassium": 0.4, "calcium": 0.4, "magnesium": 0.4, "phosphate": 2.0,
                  "copper": 30.0}  # fmt: skip
# One dose moves a nutrient by no more than this part of the way from floor to ceiling.
_LARGEST_STEP = 0.25
_OFTEN = (1, 2, 3, 7)
# A scale in the kitchen shows no less [g].
_LEAST_G = 0.05
_LEAST_PART = 0.02
_SOURCE = "linear programme on the joint draws (docs/theory.md, Nutrients)"
# What is lost faster than this is given three times a week [1/d].
_FLEETING_PER_DAY, _TRIED_FLEETING = 0.1, 3


@dataclass(frozen=True)
class _Line:
    """A nutrient's ends at the weeks' ends [k], and how they answer a weekly dose of 1 mg/L."""

    key: str
    low: FloatArray
    high: FloatArray
    low_per: FloatArray
    high_per: FloatArray
    floor: float
    ceiling: float


def plan_of(season: Season) -> tuple[DosePlan, dict[str, FloatArray]]:
    """Return the doses advised, and what they add of each nutrient at the steps ahead [n]."""
    sources, assumed = sources_of(season.tank)
    amounts = _amounts(season, sources)
    doses, reasons = [], []
    steps = season.ahead.grid.edges_s.size - 1
    adds = {key: np.zeros(steps) for key in season.joint.parts}
    for source, a_week in zip(sources, amounts, strict=True):
        if a_week * max(_share(season, source), 1e-12) < _LEAST_PART:
            continue
        often = _often(season, source, a_week)
        each = float(f"{a_week / often:.2g}")
        doses.append(_dose(season, source, each, often))
        given = weekly(season.ahead.grid, often)
        for key, per in source.adds_mg_l.items():
            if key in adds:
                adds[key] = adds[key] + per * each * given
        if not source.is_bottle and each < _LEAST_G:
            reasons.append(
                f"{each:g} g of {source.what} is too little to weigh: dissolve more of it and give "
                "the solution"
            )
    lacking = tuple(
        NUTRIENTS[key].name
        for key in season.joint.parts
        if not NUTRIENTS[key].trace
        and not any(source.adds_mg_l.get(key, 0.0) > 0.0 for source in sources)
        and _falls_short(season, key)
    )
    if lacking:
        reasons.append(f"nothing at hand gives {', '.join(lacking)}")
    if assumed:
        reasons.append("the tank file names no salts or bottles: usual salts are shown")
    if not doses:
        reasons.append("nothing need be given: food, tap and what is there suffice")
    return DosePlan(tuple(doses), assumed, lacking, tuple(reasons)), adds


def _falls_short(season: Season, key: str) -> bool:
    floor = NUTRIENTS[key].floor_mg_l
    return float(np.median(season.going_on(key)[0][:, -1])) < floor


def _share(season: Season, source: Source) -> float:
    """Return how much one unit a week is of what plants want, by its largest part [1/unit]."""
    parts = [0.0]
    for key, per in source.adds_mg_l.items():
        if key in season.joint.parts:
            parts.append(per / _wanted(season, key))
    return max(parts)


def _often(season: Season, source: Source, a_week: float) -> int:
    steps = [0.0]
    for key, per in source.adds_mg_l.items():
        if key in season.joint.parts:
            target = target_of(season, NUTRIENTS[key])
            steps.append(per * a_week / (target.ceiling_mg_l - target.floor_mg_l))
            if _fleeting(key):
                steps.append(_TRIED_FLEETING * _LARGEST_STEP)
    return next((n for n in _OFTEN if max(steps) / n <= _LARGEST_STEP), _OFTEN[-1])


def _dose(season: Season, source: Source, each: float, often: int) -> Dose:
    gives = tuple((k, per * each) for k, per in source.adds_mg_l.items() if k in NUTRIENTS)
    inputs = [Input(f"{NUTRIENTS[k].name} by one dose", mg_l, "mg/L", "composition")
              for k, mg_l in gives]  # fmt: skip
    unit = source.unit
    return Dose(
        what=source.what,
        is_bottle=source.is_bottle,
        each=figure(
            "dose_ml" if source.is_bottle else "dose_g", f"one dose of {source.what}", each, unit,
            "least fertiliser that keeps the likely course between floor and ceiling",
            (*inputs, Input("doses a week", float(often), "1", "so that none moves it much")),
            _SOURCE,
        ),
        a_week=often,
        gives=gives,
    )  # fmt: skip


def _amounts(season: Season, sources: tuple[Source, ...]) -> FloatArray:
    """Return how much of each source is given in a week, in its unit."""
    if not sources:
        return np.zeros(0)
    keys = [k for k in season.joint.parts if any(s.adds_mg_l.get(k, 0.0) > 0.0 for s in sources)]
    per = np.array([[s.adds_mg_l.get(key, 0.0) for s in sources] for key in keys])
    unit = np.array([1.0 / max(_share(season, s), 1e-9) for s in sources])
    amounts = _meeting(season, keys, per, unit)
    for turn in range(_ROUNDS):
        lines = [
            _line(season, key, float(dose)) for key, dose in zip(keys, per @ amounts, strict=True)
        ]
        found = _programme(lines, per, unit, amounts)
        # the first steps are taken whole, the last ones halved, so that they settle
        amounts = found if turn < 2 else 0.5 * (amounts + found)
    return amounts


def _meeting(season: Season, keys: list[str], per: FloatArray, unit: FloatArray) -> FloatArray:
    """Return amounts that meet what plants want: from less, a line drawn sees no use in a dose.

    Below that all that is given is eaten, and the concentration does not answer.
    """
    wanted = np.array([_wanted(season, key) for key in keys])
    parts, _ = nnls(per * unit / wanted[:, None], np.ones(len(keys)))
    amounts: FloatArray = parts * unit
    return amounts


def _wanted(season: Season, key: str) -> float:
    """Return what plants would take of a nutrient in a week [mg/L], the middle of the draws."""
    q = season.joint.parts[key]
    wanted = 7.0 * season.joint.net_mg_l * q.ratio * np.exp(q.stray[:, -1])
    return max(float(np.median(wanted)), 1e-9)


def _line(season: Season, key: str, dose_mg_l_week: float) -> _Line:
    target = target_of(season, NUTRIENTS[key])
    more = max(0.2 * (target.ceiling_mg_l - target.floor_mg_l), _wanted(season, key))
    here, above = (_ends(season, key, d) for d in (dose_mg_l_week, dose_mg_l_week + more))
    return _Line(
        key, here[0], here[1], (above[0] - here[0]) / more, (above[1] - here[1]) / more,
        target.floor_mg_l, target.ceiling_mg_l,
    )  # fmt: skip


def _ends(season: Season, key: str, dose_mg_l_week: float) -> tuple[FloatArray, FloatArray]:
    """Return a low quantile of each week's least and a high one of its most, from week 2 on, [k].

    Of what nothing tells of, the middle stands for both: else its width would ask for doses.
    """
    grid = season.ahead.grid
    often = _TRIED_FLEETING if _fleeting(key) else 1
    doses = weekly(grid, often) * dose_mg_l_week / often
    course, _ = season.ahead.course(season.joint, key, season.now_mg_l(key), doses)
    weeks = round((grid.edges_s[-1] - season.now_s) / (7.0 * DAY_S))
    least, most = [], []
    for week in range(min(2, weeks), weeks + 1):
        days = (grid.edges_s - season.now_s) / DAY_S
        inside = (days > 7.0 * (week - 1) + 1.0) & (days <= 7.0 * week + 1e-6)
        least.append(course[:, inside].min(axis=1))
        most.append(course[:, inside].max(axis=1))
    if not spoken_of(season, key):
        middle = np.median(0.5 * (np.array(least) + np.array(most)), axis=1)
        return middle, middle
    low = np.quantile(np.array(least), _LOW_QUANTILE, axis=1)
    high = np.quantile(np.array(most), _HIGH_QUANTILE, axis=1)
    return low, high


def _fleeting(key: str) -> bool:
    """Return whether a nutrient falls out within days, and is given in smaller parts."""
    return float(NUTRIENTS[key].loss_per_day.value) > _FLEETING_PER_DAY


def _programme(lines: list[_Line], per: FloatArray, unit: FloatArray, at: FloatArray) -> FloatArray:
    """Return the amounts [s] that cost least on the lines drawn at amounts `at` [s].

    Variables: amounts in `unit`, then for each nutrient one shortfall and one excess, each the
    worst of its weeks and in parts of floor and ceiling.
    """
    count, sources = len(lines), unit.size
    over_costs = [_OVER_COSTS_OF.get(line.key, _OVER_COSTS) for line in lines]
    cost = np.concatenate([np.full(sources, _DOSE_COSTS), np.full(count, _SHORT_COSTS), over_costs])
    rows, bounds = [], []
    for n, line in enumerate(lines):
        adds = per[n] * unit
        before = float(per[n] @ at)
        for k in range(line.low.size):
            short = np.zeros(cost.size)
            short[:sources] = -line.low_per[k] * adds / line.floor
            short[sources + n] = -1.0
            rows.append(short)
            bounds.append((line.low[k] - line.low_per[k] * before - line.floor) / line.floor)
            over = np.zeros(cost.size)
            over[:sources] = line.high_per[k] * adds / line.ceiling
            over[sources + count + n] = -1.0
            rows.append(over)
            bounds.append((line.ceiling - line.high[k] + line.high_per[k] * before) / line.ceiling)
    solved = linprog(cost, A_ub=np.array(rows), b_ub=np.array(bounds), method="highs")
    if not solved.success:  # every shortfall may be as large as it is: there always is an answer
        raise ArithmeticError(f"no doses found: {solved.message}")
    amounts: FloatArray = np.maximum(solved.x[:sources], 0.0) * unit
    return amounts
