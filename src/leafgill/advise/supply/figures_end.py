"""The figures of the cylinder's end: when the gauge falls, what surges, what that does."""

from __future__ import annotations

from leafgill.advise.drawn import figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.forecast import Risks
from leafgill.advise.rules import MOST_OVER_LIMIT
from leafgill.advise.supply.guard import SurgeRisk
from leafgill.advise.supply.supply import Supply
from leafgill.science.cited import Range
from leafgill.science.regulator import EFFECTS
from leafgill.tank.limits import limits_of

SPAN = "Span & Wagner 1996"
_TANK_MODEL = "the tank model on the belief's draws, a day from now (docs/theory.md)"
_NEEDLE = (
    "supply-pressure effect as makers quote it; needle between an orifice (isentropic) and a long "
    "gap (Poiseuille)"
)


def end_figures(supply: Supply) -> tuple[Figure, ...]:
    """Return the figures of the end, of both kinds of regulator."""
    return (
        *_falling(supply),
        *(() if supply.guard.as_set is None else _peaks("as_set", supply, supply.guard.as_set)),
        *(one for kind in supply.guard.kinds.values() for one in _surge(supply, kind)),
        *_change(supply),
    )


def word(kind: str) -> str:
    """Return a kind of regulator as a part of a key: "single_stage"."""
    return kind.replace("-", "_")


def _room(supply: Supply) -> Input:
    origin = "given" if supply.room_known else "assumed"
    return Input("room", supply.room_c, "°C", origin)


def _falling(supply: Supply) -> tuple[Figure, ...]:
    every, guard = supply.every, supply.guard
    water = given("water capacity", range_of(every.state.water_l), "L", "tank file or inferred")
    return (
        figure(
            "liquid_gauge_bar", "cylinder gauge while there is liquid", guard.saturation_bar,
            "bar", "saturation pressure at the room's temperature, less 1.013 bar",
            (_room(supply),), SPAN,
        ),
        figure(
            "last_liquid_kg", "gas left when the gauge begins to fall",
            _kg(guard.last_liquid_g), "kg", "water capacity · density of the vapour",
            (water, _room(supply)), SPAN,
        ),
        figure(
            "liquid_days", "days until the gauge begins to fall", range_of(every.liquid_days),
            "days", "(gas left - gas at the last liquid) / use",
            (given("use", supply.use_g_day, "g/day", "see there"),),
            "balance of mass, draw by draw",
        ),
    )  # fmt: skip


def _surge(supply: Supply, risk: SurgeRisk) -> tuple[Figure, ...]:
    guard, kind = supply.guard, risk.kind
    effect = EFFECTS[kind]
    whence = "tank file" if guard.working_known else "assumed, 1.3 to 3 bar"
    inputs = (
        given("supply-pressure effect", effect.size, "", str(effect.source)),
        Input("stages", float(effect.stages), "", kind),
        Input("working pressure", guard.working_bar, "bar", whence),
        given("behind the valve", guard.back_bar, "bar", "diffuser and water above it"),
    )
    found = [
        figure(
            f"surge_{word(kind)}", f"most gas at the end, {kind} regulator, valve untouched",
            risk.ratio, "times", "flow of the needle at the risen pressure / at the set one",
            inputs, _NEEDLE,
        )
    ]  # fmt: skip
    if risk.worst is not None:
        found += _peaks(word(kind), supply, risk.worst, risk.ratio)
    return tuple(found)


def _peaks(
    name: str, supply: Supply, day: Risks, ratio: Range | None = None
) -> tuple[Figure, Figure]:
    limits = limits_of(supply.tank)
    said = "as set" if ratio is None else f"at the end, {name.replace('_', '-')} regulator"
    gas = (
        Input("gas", 1.0, "times the setting", "as set")
        if ratio is None
        else given("gas", ratio, "times the setting", "see there")
    )
    limit = Input("animals' limit", limits.co2_mg_l, "mg/L", "tank file or its animals")
    return (
        figure(
            f"peak_{name}_mg_l", f"highest CO2 in a day {said}",
            Range(day.peak.mean, day.peak.low, day.peak.high), "mg/L",
            "highest CO2 anywhere in the tank, over a day from now", (gas,), _TANK_MODEL,
        ),
        figure(
            f"over_limit_{name}_percent", f"chance that CO2 passes the limit {said}",
            100.0 * day.p_over_limit, "%", "part of the draws whose peak passes the limit",
            (gas, limit), _TANK_MODEL,
        ),
    )  # fmt: skip


def _change(supply: Supply) -> tuple[Figure, ...]:
    risk = supply.surge
    if risk.change_g is None or risk.change_bar is None:
        return ()
    inputs = (
        Input("chance accepted", 100.0 * MOST_OVER_LIMIT, "%", "docs/safety.md, rule 1"),
        given("gas at the last liquid", _kg(supply.guard.last_liquid_g), "kg", "see there"),
        Input("part of it", risk.change_part or 0.0, "", "from the chances at each part"),
    )
    text = "before the chance of passing the limit exceeds what is accepted"
    return (
        figure(
            "change_kg", "gas left at which to change the cylinder", _kg(risk.change_g), "kg",
            text, inputs, _TANK_MODEL,
        ),
        figure(
            "change_gauge_bar", "what the cylinder gauge shows then", risk.change_bar, "bar",
            "pressure of CO2 at that mean density and the room's temperature",
            (*inputs, _room(supply)), SPAN,
        ),
    )  # fmt: skip


def _kg(grams: Range) -> Range:
    return Range(*(1e-3 * part for part in grams))
