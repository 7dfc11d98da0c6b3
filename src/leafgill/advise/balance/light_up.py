"""What more light would ask of the gas, and whether this tank could give it within the limit."""

from __future__ import annotations

import numpy as np

from leafgill.advise.balance.light_now import hours_of_light, light_draws
from leafgill.advise.balance.limit import Fullness
from leafgill.advise.balance.lit_days import (
    TRIED,
    LitDay,
    allowed,
    brighter,
    day_of,
    gas_hours,
    hold,
    keep,
    some_rows,
)
from leafgill.advise.balance.result import LightStep
from leafgill.advise.balance.season import Season
from leafgill.advise.drawn import figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.forecast import Risks
from leafgill.science.compiled import FloatArray
from leafgill.science.light_response import tanh_share
from leafgill.tank.limits import Limits, limits_of

FACTORS = (1.25, 1.5, 2.0)
_MODEL = "the tank's model over a day that repeats itself (docs/theory.md)"
_RULE = "docs/safety.md, rule 1"


def light_up(season: Season, full: Fullness) -> tuple[LightStep, ...]:
    """Return what each factor of light would ask; empty where no hours of light are known."""
    window = hours_of_light(season.belief)
    if window is None or window.never:
        return ()
    rows = some_rows(season.joint.shared.row, TRIED)
    belief = season.belief.take(rows)
    limits = limits_of(season.tank)
    day = day_of(belief)
    gas = gas_hours(belief, day)
    now = hold(day, (window,), gas, limits.target_mg_l)
    ppfd, knee = light_draws(season.tank, season.joint.shared.count)
    steps = []
    for factor in FACTORS:
        raised = np.asarray(tanh_share(factor * ppfd, knee)) / np.asarray(tanh_share(ppfd, knee))
        more = brighter(belief, some_rows(raised, TRIED))
        brighter_day = day_of(more)
        then = hold(brighter_day, (window,), gas, limits.target_mg_l)
        same_gas = keep(brighter_day, (window,), gas, now.flow)
        steps.append(_step(factor, full, raised, now, then, same_gas, limits))
    return tuple(steps)


def _step(
    factor: float,
    full: Fullness,
    raised: FloatArray,
    now: LitDay,
    then: LitDay,
    same_gas: LitDay,
    limits: Limits,
) -> LightStep:
    risks = then.risks(limits)
    gas = 100.0 * (then.gas_g / np.maximum(now.gas_g, 1e-9) - 1.0)
    before = full.least
    light = np.minimum(full.parts["light"] * raised, 1.0)
    after = np.minimum(light, full.without("light"))
    growth = 100.0 * (after / np.maximum(before, 1e-6) - 1.0)
    inputs = (
        Input("light, times that of now", factor, "1", "tried"),
        given("plants' answer to it", range_of(raised), "1", "tanh(PPFD / Ik)"),
        Input("CO2 held while lit", limits.target_mg_l, "mg/L", "tank file or its limits"),
    )
    possible = allowed(risks)
    return LightStep(
        factor=factor,
        growth=_figure("growth_percent", "growth gained", growth, "%",
                       "least of light, carbon and nutrients, after / before - 1", inputs),
        uptake=_figure("uptake_mg_l_day", "CO2 taken by the plants in a day", then.cycle.fixed,
                       "mg/L", "uptake over the day", inputs),
        gas=_figure("more_gas_percent", "more gas to hold the same CO2", gas, "%",
                    "gas of the day with more light / gas of now - 1", inputs),
        co2_if_unchanged=_figure("co2_mg_l", "CO2 while lit with the gas as it is",
                                 same_gas.cycle.lit_co2, "mg/L", "median of the lit hours", inputs),
        **risk_figures(risks, then, limits, inputs),
        possible=possible,
        reason=why(possible, risks, limits),
    )  # fmt: skip


def _figure(
    key: str, label: str, value: FloatArray, unit: str, formula: str, inputs: tuple[Input, ...]
) -> Figure:
    return figure(key, label, value, unit, formula, inputs, _MODEL)


def risk_figures(
    risks: Risks, day: LitDay, limits: Limits, inputs: tuple[Input, ...]
) -> dict[str, Figure]:
    """Return the day's heights and depths and their chances as figures, by field."""
    limit = Input("animals' limit", limits.co2_mg_l, "mg/L", "tank file or its animals")
    least = Input("oxygen at least", limits.o2_min_mg_l, "mg/L", "tank file or its animals")
    cycle = day.cycle
    return {
        "peak": _figure("peak_mg_l", "highest CO2 anywhere", cycle.co2_max.max(axis=1), "mg/L",
                        "highest of the day in either zone", inputs),
        "p_over_limit": figure(
            "over_limit_percent", f"chance that CO2 somewhere passes {limits.co2_mg_l:g} mg/L",
            100.0 * risks.p_over_limit, "%", "part of the draws", (*inputs, limit), _RULE),
        "o2_min": _figure("o2_min_mg_l", "lowest oxygen", cycle.o2.min(axis=1), "mg/L",
                          "lowest of the day in the poorer zone", inputs),
        "p_low_o2": figure(
            "low_o2_percent", f"chance that oxygen falls below {limits.o2_min_mg_l:g} mg/L",
            100.0 * risks.p_low_o2, "%", "part of the draws", (*inputs, least), _RULE),
    }  # fmt: skip


def why(possible: bool, risks: Risks, limits: Limits) -> str:
    """Return in a line whether a day keeps to what advice allows, and what it breaks."""
    if possible:
        return f"within the animals' limit of {limits.co2_mg_l:g} mg/L, once tuned with care"
    wrong = []
    if risks.p_over_limit > 0.10 or risks.p_over_danger > 0.01:
        wrong.append(
            f"CO2 would pass {limits.co2_mg_l:g} mg/L with a chance of {risks.p_over_limit:.0%}"
        )
    if risks.p_low_o2 > 0.01:
        wrong.append(
            f"oxygen would fall below {limits.o2_min_mg_l:g} mg/L with a chance of "
            f"{risks.p_low_o2:.0%}"
        )
    return "not advised: " + " and ".join(wrong)
