"""The figures of a supply, each with its formula, what went into it and on what grounds."""

from __future__ import annotations

from datetime import datetime

from leafgill.advise.drawn import figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_safety import gas_figures
from leafgill.advise.supply.figures_end import end_figures
from leafgill.advise.supply.stock import Stock, hours_of
from leafgill.advise.supply.supply import Supply
from leafgill.advise.supply.unknowns import LEAKY_PART
from leafgill.science.cited import Range

BALANCE = "balance of mass over draws of what is unknown, weighed by every reading (Bayes)"
SPAN = "Span & Wagner 1996"
NAMES = {"scale": "by the scale", "gauge": "by the gauge", "bubbles": "by bubbles counted"}


def name_of(supply: Supply, source: str) -> str:
    """Return a source in words: "by the scale"; without bubbles it is what such tanks use."""
    if source == "bubbles" and not supply.taking.use.stretches:
        return "by what such tanks use"
    return NAMES[source]


def supply_figures(supply: Supply) -> tuple[Figure, ...]:
    """Return every figure that a supply is told with, those of people's safety last."""
    return (
        *_together(supply),
        *(one for name in supply.stocks for one in _of_source(supply, name)),
        *_leak(supply),
        *end_figures(supply),
        *gas_figures(
            supply.tank.rig.cylinder_kg,
            supply.tank.room.volume_m3,
            supply.room_c,
            water_l=supply.tank.rig.cylinder_water_l,
        ),
    )


def readings_of(supply: Supply) -> tuple[Input, ...]:
    """Return the readings of this filling as inputs, the newest weighing and gauge with the day."""
    life = supply.taking.log.now
    found = []
    for reading in life.weighings[:1] + life.weighings[1:][-1:]:
        origin = f"diary, {_day(supply, reading.at_s)}"
        on = "with" if reading.regulator else "without"
        found.append(Input(f"weight {on} regulator", reading.gross_g, "g", origin))
    for gauge in life.gauges[-1:]:
        origin = f"diary, {_day(supply, gauge.at_s)}"
        found.append(Input("cylinder gauge", gauge.gauge_bar, "bar", origin))
    return tuple(found)


def tank_inputs(supply: Supply) -> tuple[Input, ...]:
    """Return what the tank file says of the cylinder, or what was taken for it."""
    rig, state = supply.tank.rig, supply.every.state
    found = []
    for name, known, draws, unit in (
        ("a full cylinder holds", rig.cylinder_kg, state.charge_g * 1e-3, "kg"),
        ("empty weight", rig.cylinder_tare_kg, state.tare_g * 1e-3, "kg"),
        ("water capacity", rig.cylinder_water_l, state.water_l, "L"),
    ):
        if known is not None:
            found.append(Input(name, known, unit, "tank file"))
        else:
            found.append(given(name, range_of(draws), unit, "inferred"))
    return tuple(found)


def _day(supply: Supply, at_s: float) -> str:
    at = datetime.fromtimestamp(at_s, supply.now.tzinfo)
    return f"{at.day} {at:%B %Y}"


def _together(supply: Supply) -> tuple[Figure, ...]:
    every, readings, tank = supply.every, readings_of(supply), tank_inputs(supply)
    bubble = range_of(every.state.bubble_g * 1e3)
    hours = hours_of(supply.taking)
    use = (
        (
            given("CO2 in a bubble at 1/s", bubble, "mg", "belief and weights"),
            Input("gas hours", hours, "h/day", "diary or tank file"),
            given("leak", range_of(every.leak_g_day), "g/day", "weights"),
        )
        if supply.taking.use.stretches
        else (Input("what the tank wants", supply.use_g_day.value, "g/day", "prior"),)
    )
    left = given("gas left", _kg(supply.left_g), "kg", "see there")
    a_day = given("use", supply.use_g_day, "g/day", "see there")
    return (
        figure(
            "gas_left_kg", "gas left in the cylinder", _kg(supply.left_g), "kg",
            "first mass - mg a bubble · bubbles counted - leak, held against scale and gauge",
            (*readings, *tank), BALANCE,
        ),
        figure(
            "use_g_per_day", "gas used a day, from now on", supply.use_g_day, "g/day",
            "mg a bubble · rate^(1 + swell) · gas hours, with any leak", use, BALANCE,
        ),
        figure(
            "days_left_days", "days until the cylinder is empty", supply.days, "days",
            "(gas left - what stays at the working pressure) / use", (left, a_day),
            "balance of mass, draw by draw",
        ),
        figure(
            "change_days", "days until it is better changed", supply.change_days, "days",
            "(gas left - mass at which to change) / use; see the end of the cylinder",
            (left, a_day), "balance of mass, draw by draw",
        ),
        figure(
            "bubble_mg", "CO2 in a counted bubble, at one a second", bubble, "mg",
            "of the belief (pH, counts), weighed by the scale and the counter's tip",
            readings, BALANCE,
        ),
    )  # fmt: skip


def _of_source(supply: Supply, name: str) -> tuple[Figure, ...]:
    if name == "all":
        return ()
    stock: Stock = supply.stocks[name]
    readings = readings_of(supply) if name != "bubbles" else ()
    inputs, how = (*readings, *tank_inputs(supply)), name_of(supply, name)
    return (
        figure(
            f"gas_left_{name}_kg", f"gas left {how}", range_of(stock.left_g * 1e-3), "kg",
            "as gas left, from these readings alone", inputs, BALANCE,
        ),
        figure(
            f"days_left_{name}_days", f"days left {how}", range_of(stock.days), "days",
            "as days left, from these readings alone", inputs, BALANCE,
        ),
    )  # fmt: skip


def _leak(supply: Supply) -> tuple[Figure, ...]:
    leak = supply.leak
    prior = Input("cylinders that leak", 100.0 * LEAKY_PART, "%", "a choice of ours, no source")
    found = [
        figure(
            "leak_chance_percent", "chance that gas leaks before the counter", 100.0 * leak.chance,
            "%", "part of the draws with a leak, weighed by the readings",
            (prior, *readings_of(supply)), BALANCE,
        )
    ]  # fmt: skip
    if leak.if_any_g_day is not None:
        found.append(
            figure(
                "leak_g_per_day", "what leaks a day, if any does", leak.if_any_g_day, "g/day",
                "draws with a leak, weighed by the readings", (prior, *readings_of(supply)),
                BALANCE,
            )
        )  # fmt: skip
    if leak.gone_g is not None and leak.counted_g is not None:
        span = Input("between the two weighings", leak.days, "days", "diary")
        found += [
            figure(
                "gone_g", "gas gone by the scale", leak.gone_g, "g",
                "first weight - last weight, with the scale's error", readings_of(supply),
                "difference of two weighings",
            ),
            figure(
                "counted_g", "gas that bubbles account for meanwhile", leak.counted_g, "g",
                "mg a bubble · bubbles counted, without the scale", (span,),
                "counts of the diary, bubble mass of the belief",
            ),
        ]  # fmt: skip
    return tuple(found)


def _kg(grams: Range) -> Range:
    return Range(*(1e-3 * part for part in grams))
