"""The rules that stand on the belief: CO2 and oxygen against what the animals stand."""

from __future__ import annotations

from datetime import datetime

from leafgill.answer import figures
from leafgill.answer.alerts import NOW, TODAY
from leafgill.web.alerts.condition import Condition, Found
from leafgill.web.alerts.facts import Facts
from leafgill.web.working import bands

# As the step's own rule has it: a level is set where the chance of passing the limit is lower.
OVER_LIMIT, LOW_O2 = 0.10, 0.01
# Beyond these animals are taken to be in danger now.
SURELY_OVER, OVER_DANGER, SURELY_LOW_O2 = 0.50, 0.10, 0.10


def over_limit(facts: Facts) -> Found:
    """CO2 believed over the animals' limit now, or on the way there."""
    if not facts.fresh or "risk" not in facts.payload:
        return Found()
    risk, now_s = facts.payload["risk"], facts.now.timestamp()
    over = bands.chance_between(risk, "p_over_limit", now_s, now_s)
    danger = bands.chance_between(risk, "p_over_danger", now_s, now_s)
    if over is None or danger is None:
        return Found()
    judged = frozenset({"over limit", "over limit ahead"})
    limit = f"{facts.payload['limits']['co2_mg_l']:.3g} mg/L"
    if over > OVER_LIMIT:
        co2 = bands.at(facts.payload["bands"], "co2_max", now_s)
        seen = "" if co2 is None else f"in the worst place CO2 is {figures.interval(co2)}"
        urgency = NOW if over > SURELY_OVER or danger > OVER_DANGER else TODAY
        title = f"CO2 may be over the animals' limit of {limit} ({figures.chance(over)})"
        check = "look at the animals; close the valve back where they breathe fast"
        return Found((Condition("over limit", urgency, title, facts.now, seen, check),), judged)
    ahead = facts.payload["day_ahead"]["as_set"]
    peak_at = datetime.fromisoformat(ahead["peak_at"])
    if ahead["p_over_limit"] <= OVER_LIMIT or peak_at < facts.now:
        return Found((), judged)
    when = figures.moment(peak_at, facts.now)
    title = (
        f"As it is set CO2 may pass the animals' limit of {limit} "
        f"({figures.chance(ahead['p_over_limit'])}), most likely {when}"
    )
    seen = f"the highest ahead is {_interval(ahead['peak_co2_mg_l'])}"
    check = "look at the next step, which keeps below the limit"
    held = Condition("over limit ahead", TODAY, title, facts.now, seen, check)
    return Found((held,), judged)


def low_oxygen(facts: Facts) -> Found:
    """Oxygen believed below the animals' minimum now, or on the way there."""
    if not facts.fresh or "risk" not in facts.payload:
        return Found()
    now_s = facts.now.timestamp()
    low = bands.chance_between(facts.payload["risk"], "p_low_o2", now_s, now_s)
    if low is None:
        return Found()
    judged = frozenset({"low oxygen", "low oxygen ahead"})
    least = f"{facts.payload['limits']['o2_min_mg_l']:.3g} mg/L"
    check = "let air in, or move the surface more"
    if low > LOW_O2:
        o2 = bands.at(facts.payload["bands"], "o2", now_s)
        seen = "" if o2 is None else f"oxygen is {figures.interval(o2)}"
        urgency = NOW if low > SURELY_LOW_O2 else TODAY
        title = f"Oxygen may be below the animals' minimum of {least} ({figures.chance(low)})"
        return Found((Condition("low oxygen", urgency, title, facts.now, seen, check),), judged)
    ahead = facts.payload["day_ahead"]["as_set"]
    lowest_at = datetime.fromisoformat(ahead["o2_min_at"])
    if ahead["p_low_o2"] <= LOW_O2 or lowest_at < facts.now:
        return Found((), judged)
    when = figures.moment(lowest_at, facts.now)
    title = (
        f"Oxygen may fall below the animals' minimum of {least} "
        f"({figures.chance(ahead['p_low_o2'])}), most likely {when}"
    )
    seen = f"the lowest ahead is {_interval(ahead['o2_min_mg_l'])}"
    return Found((Condition("low oxygen ahead", TODAY, title, facts.now, seen, check),), judged)


def _interval(told: dict[str, float]) -> str:
    level = figures.level
    return f"{level(told['mean'])} mg/L, {level(told['low'])} to {level(told['high'])}"


def distress(facts: Facts) -> Found:
    """Animals that were written down to be in distress."""
    if not facts.fresh:
        return Found()
    judged = frozenset({"distress"})
    if facts.payload["step"]["action"] != "emergency":
        return Found((), judged)
    title = "The animals are in distress by the diary"
    check = "shut the gas, let air in, and open the emergency page"
    return Found((Condition("distress", NOW, title, facts.now, "", check),), judged)
