"""The one call of balance: tank, diary and belief to what growth stands by, and what to give."""

from __future__ import annotations

from datetime import datetime

from leafgill.advise.balance.dose import plan_of
from leafgill.advise.balance.light_now import light_now
from leafgill.advise.balance.light_up import light_up
from leafgill.advise.balance.limit import fullness_of, growth_figures, limits_now
from leafgill.advise.balance.outlook import outlook_of
from leafgill.advise.balance.photoperiod import photoperiods
from leafgill.advise.balance.result import Balance, NutrientOutlook
from leafgill.advise.balance.season import Season, season_of
from leafgill.advise.drawn import figure
from leafgill.advise.figure import Figure, Input
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.tank.spec import Tank

WEEKS = 4
_WEEKS = (1, 26)
# A chance from which a nutrient is worth a word [%].
_LIKELY, _WORTH_A_WORD = 50.0, 20.0
_LONG_DAY_H = 10.0


def balance_of(
    tank: Tank, diary: Diary, belief: Belief, now: datetime, weeks: int = WEEKS, *, seed: int = 0
) -> Balance:
    """Return the balance of a tank, with `weeks` ahead.

    `now` is the moment the belief is of: nutrients and carbon are drawn together. Entries after it
    are not used. The same belief and seed give the same answer. Raises ValueError for another
    moment, and for fewer than 1 or more than 26 weeks.
    """
    if not _WEEKS[0] <= weeks <= _WEEKS[1]:
        raise ValueError(f"{weeks} weeks ahead; accepted: {_WEEKS[0]} to {_WEEKS[1]}")
    if now != belief.now:
        raise ValueError(f"the belief is of {belief.now}, not of {now}")
    known = diary if diary.timezone is not None else diary.localised(tank.timezone)
    season = season_of(tank, known, belief, weeks, seed=seed)
    full = fullness_of(season)
    carbon, growth = growth_figures(season)
    plan, adds = plan_of(season)
    outlooks = tuple(outlook_of(season, key, adds[key]) for key in season.joint.parts)
    return Balance(
        tank=tank,
        belief=belief,
        now=belief.now,
        weeks=weeks,
        rows=season.joint.shared.row,
        carbon=carbon,
        growth=growth,
        limits=limits_now(season, full),
        nutrients=outlooks,
        plan=plan,
        light=light_now(tank, belief),
        light_up=light_up(season, full),
        days=photoperiods(season),
        water_change_percent_week=_changed(season),
        cautions=tuple(_cautions(season, outlooks)),
        assumed=tuple(_assumed(season)),
    )


def _changed(season: Season) -> Figure:
    changes = [habit for habit in season.habits if habit.part > 0.0]
    percent = sum(100.0 * habit.part * 7.0 / habit.every_days for habit in changes)
    inputs = tuple(
        Input(f"every {habit.every_days:.3g} days", 100.0 * habit.part, "%",
              "diary" if habit.times else "tank file")
        for habit in changes
    )  # fmt: skip
    return figure(
        "water_change_percent_week", "water changed in a week", percent, "%",
        "part changed · 7 / days between", inputs, "as lately in the diary, else the tank file",
    )  # fmt: skip


def _cautions(season: Season, outlooks: tuple[NutrientOutlook, ...]) -> list[str]:
    found = list(season.unread)
    for one in outlooks:
        if not one.known:
            continue
        level = one.target.ceiling_mg_l
        if one.p_over.value >= _WORTH_A_WORD:
            how = "likely passes" if one.p_over.value >= _LIKELY else "may pass"
            found.append(f"{one.name} {how} {level:g} mg/L as things go on: {one.target.basis}")
        for test in one.tests:
            if not test.fits:
                found.append(
                    f"{one.name} test of {test.shown} does not fit the rest: test again, on a "
                    "fresh sample"
                )
    window = season.belief.problem.evidence.timeline.light
    if not any(change[1] is not None and not change[1].never for change in window):
        found.append("no hours of light are known: growth cannot be told")
    return found


def _assumed(season: Season) -> list[str]:
    tank, found = season.tank, []
    if tank.feeding.food_g_day is None and tank.livestock.kinds != ("none",):
        found.append("food: about 0.3 g a day for each 100 L, since the tank file names none")
    if not any(habit.part > 0.0 for habit in season.habits):
        found.append("no water changes: none stand in the diary or the tank file")
    missing = [
        name
        for name in ("nitrate", "phosphate", "potassium", "calcium", "magnesium", "iron")
        if getattr(tank.tap, f"{name}_mg_l") is None
    ]
    if missing and any(habit.part > 0.0 for habit in season.habits):
        found.append(f"tap water as is usual for {', '.join(missing)}")
    return found
