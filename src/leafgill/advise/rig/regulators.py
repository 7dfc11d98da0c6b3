"""The regulator: what to set, and what each kind does to this tank as a cylinder empties."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from leafgill.advise.drawn import drawn, figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed, surged
from leafgill.advise.rig.diffuse import Way
from leafgill.advise.rig.use import Use
from leafgill.advise.words import per_cent
from leafgill.science.air import ROOM_TEMPERATURE_C
from leafgill.science.cited import Mark, Range, Source
from leafgill.science.regulator import EFFECTS
from leafgill.science.surge import Course, Surge, surge
from leafgill.tank.limits import Limits

# Over what the diffuser needs, so that a clogging disc does not stop the gas [bar], and the least
# a regulator holds well (both choices of ours).
SPARE_BAR = 0.5
LEAST_SET_BAR = 1.0
SPARE = Source("room for a disc that clogs", Mark.CHOICE)
# The chances that no advice of ours goes beyond.
MOST_OVER_LIMIT, MOST_OVER_DANGER = 0.10, 0.01
# Change the cylinder before its end gives this much more than was set.
CHANGE_AT_RATIO = 1.2
_MOST_RATIO = 30.0


@dataclass(frozen=True)
class Regulator:
    """One kind of regulator at the end of the cylinder, its valve untouched.

    `flow` is the most gas against the setting, `peak` the day's highest CO2 then [mg/L], `over`
    and `danger` the chances of passing the animals' limit and 1.25 times it, `climb_days` the days
    from the gauge's first fall to the most gas, None where the flow never rises. `change_gauge`
    is the gauge at which to change the cylinder, None where it never comes to a fifth more.
    """

    kind: str
    flow: Figure
    peak: Figure
    over: Figure
    danger: Figure
    climb_days: Figure | None
    change_gauge: Figure | None

    @property
    def bearable(self) -> bool:
        """Whether its end stays within the chances advice keeps to."""
        return self.over.value <= MOST_OVER_LIMIT and self.danger.value <= MOST_OVER_DANGER

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All of them that there are."""
        found = (self.flow, self.peak, self.over, self.danger, self.climb_days, self.change_gauge)
        return tuple(made for made in found if made is not None)


def set_pressure(need: GasNeed, way: Way) -> Figure:
    """Return the working pressure: as it is set, or what the diffuser needs and some to spare."""
    rig = need.belief.tank.rig
    least = given("the diffuser needs at least", way.pressure_bar, "bar", "computed above")
    if rig.working_pressure_bar is not None:
        return figure("working_pressure_bar", "Working pressure", rig.working_pressure_bar, "bar",
                      "as it is set", (least, Input("set", rig.working_pressure_bar, "bar",
                                                    "tank file")), "tank file")  # fmt: skip
    bar = max(math.ceil((way.pressure_bar.high + SPARE_BAR) * 10.0 - 1e-6) / 10.0, LEAST_SET_BAR)
    return figure("working_pressure_bar", "Working pressure to set", bar, "bar",
                  f"most the diffuser may need + {SPARE_BAR:g} bar, at least {LEAST_SET_BAR:g} bar",
                  (least, Input("to spare", SPARE_BAR, "bar", str(SPARE))),
                  "hydrostatics; Young-Laplace equation")  # fmt: skip


class Vessel(NamedTuple):
    """What runs empty: its name, its charge [kg] and its water capacity [L]."""

    name: str
    charge_kg: float
    water_l: float


def regulator_of(
    kind: str, need: GasNeed, use: Use, way: Way, vessel: Vessel, working_bar: float, limits: Limits
) -> Regulator:
    """Return what "single-stage" or "two-stage" does when a cylinder or cartridge runs out."""
    back = min(way.pressure_bar.value, working_bar - 0.1)
    end = surge(
        vessel.water_l,
        ROOM_TEMPERATURE_C,
        charge_kg=vessel.charge_kg,
        set_gauge_bar=working_bar,
        back_gauge_bar=max(back, 0.0),
        regulator=kind,
        g_per_day=max(use.gas.value, 1e-3),
    )
    ratio = _most(end)
    m = need.belief.count
    more = surged(need.belief, need.flow, drawn(ratio, m, "surge of a regulator"))
    risks = need.day.settle(more, need.gas, need.cycle)
    met = risks.risks(limits)
    effect = EFFECTS[kind]
    key = kind.replace("-", "_")
    inputs = (
        given("outlet gained per bar of inlet lost", effect.size, "", str(effect.source)),
        Input("set at", working_bar, "bar", "working pressure"),
        given("behind the needle valve", way.pressure_bar, "bar", "what the diffuser needs"),
        Input("charge", vessel.charge_kg, "kg", vessel.name),
    )
    flow = figure(f"{key}_end_flow_ratio", f"Most gas at the cylinder's end, {kind}", ratio,
                  "times the setting", "flow through the untouched needle valve as the inlet "
                  "falls: orifice to capillary, least to largest effect", inputs,
                  "supply-pressure effect; flow of an ideal gas")  # fmt: skip
    into = (given("gas against the setting", ratio, "", "computed above"),
            Input("animals' limit", limits.co2_mg_l, "mg/L", "tank file or kind"))  # fmt: skip
    source = "the tank's day, draw by draw"
    return Regulator(
        kind,
        flow,
        figure(f"{key}_end_peak_mg_l", f"Highest CO2 then, {kind}", risks.co2_max.max(axis=1),
               "mg/L", "the day run on with that much more gas until it repeats itself", into,
               source),
        figure(f"{key}_end_over_limit", f"Chance of passing the limit then, {kind}",
               met.p_over_limit, "", "part of the draws whose peak passes the limit", into, source),
        figure(f"{key}_end_danger", f"Chance of passing 1.25 times the limit then, {kind}",
               met.p_over_danger, "", "part of the draws whose peak passes it", into, source),
        _climb(key, kind, end, use),
        _change(key, kind, end, inputs),
    )  # fmt: skip


def _most(end: Surge) -> Range:
    """Most flow against the setting while gas is left: middle, least and most."""
    peaks = [min(course.most, _MOST_RATIO) for course in (end.middle, end.low, end.high)]
    return Range(peaks[0], min(peaks), max(peaks))


def _climb(key: str, kind: str, end: Surge, use: Use) -> Figure | None:
    courses = (end.middle, end.low, end.high)
    days = [_days_to_most(end, course) for course in courses]
    if end.middle.most < 1.0 + 1e-3 or any(value is None for value in days):
        return None
    known = [value for value in days if value is not None]
    return figure(f"{key}_climb_days", f"Days over which it climbs, {kind}",
                  Range(known[0], min(known), max(known)), "days",
                  "time from the last liquid to the most gas, at the gas a day",
                  (Input("gas a day", use.gas.value, "g/day", "computed above"),),
                  "balance of mass; Span & Wagner 1996")  # fmt: skip


def _days_to_most(end: Surge, course: Course) -> float | None:
    if course.days is None:
        return None
    first = int(np.searchsorted(-end.mass_g, -end.last_liquid_g))
    last = int(np.argmax(course.flow_ratio))
    return max(float(course.days[last] - course.days[min(first, last)]), 0.0)


def _change(key: str, kind: str, end: Surge, inputs: tuple[Input, ...]) -> Figure | None:
    gauge = end.change_at_gauge_bar(CHANGE_AT_RATIO)
    if gauge is None:
        return None
    return figure(f"{key}_change_gauge_bar", f"Change the cylinder at, {kind}", gauge, "bar",
                  f"gauge before the gas passes {CHANGE_AT_RATIO:g} times the setting, with the "
                  "largest effect", inputs,
                  "supply-pressure effect; Span & Wagner 1996")  # fmt: skip


def advised(
    single: Regulator, double: Regulator, limits: Limits, vessel: Vessel
) -> tuple[str, str]:
    """Return the kind to buy, and why in one sentence."""
    limit = f"the animals' limit of {limits.co2_mg_l:.3g} mg/L"
    if single.bearable:
        return "single-stage", (
            f"left alone at the end of {vessel.name} it would pass {limit} with a chance of "
            f"{per_cent(single.over.value)}; change it in time all the same"
        )
    return "two-stage", (
        f"left alone at the end of {vessel.name}, a single-stage one would pass {limit} with a "
        f"chance of {per_cent(single.over.value)}, a two-stage one with "
        f"{per_cent(double.over.value)}"
    )
