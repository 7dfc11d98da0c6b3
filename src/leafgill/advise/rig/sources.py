"""The sources of gas side by side: what a year takes of each, and the day it makes of the tank."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.advise.drawn import drawn, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed, in_hours, surged, usual_hours
from leafgill.advise.rig.batches import Batch, Pressures, batch_of
from leafgill.advise.rig.cylinders import Choice
from leafgill.advise.rig.use import Use
from leafgill.advise.steady_day import ALWAYS_ON, Cycle
from leafgill.science.generators import SOURCES
from leafgill.tank.clock import seconds_of
from leafgill.tank.limits import Limits
from leafgill.tank.schedule import Window

NAMES = {
    "cylinder": "cylinder",
    "cartridge": "cartridges",
    "acid-bicarbonate": "acid",
    "yeast": "yeast",
}
DAYS_A_YEAR = 365.25
# Gas for longer leaves no night to speak of.
_NO_NIGHT_H = 22.0


@dataclass(frozen=True)
class Source:
    """One source on this tank.

    `hours` in which its gas flows; `cycle` its usual day and `strongest` the day when a filling
    gives most; `gas` a day, `year` how many fillings a year, `lasts` days of one, `peak` the
    highest CO2 of the usual day and `worst` of the strongest [mg/L], `over` the chance that the
    latter passes the animals' limit, `dawn` CO2 and `dawn_o2` the oxygen when the lights go on.
    """

    kind: str
    name: str
    hours: Window
    at_night: bool
    batch: Batch
    cycle: Cycle
    strongest: Cycle
    gas: Figure
    year: Figure
    lasts: Figure
    peak: Figure
    worst: Figure
    over: Figure
    dawn: Figure
    dawn_o2: Figure

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All of them."""
        return (self.gas, self.year, self.lasts, self.peak, self.worst, self.over, self.dawn,
                self.dawn_o2, *self.batch.figures)  # fmt: skip


def needs_of(need: GasNeed) -> tuple[GasNeed, GasNeed]:
    """Return the need of sources whose gas is shut at night, and that of one which never stops.

    The first runs in the hours given, or in the usual ones where those leave no night.
    """
    stops = need.gas.hours < _NO_NIGHT_H
    shut = need if stops else in_hours(need, usual_hours(need.day.light))
    always = need if need.gas.hours >= ALWAYS_ON.hours else in_hours(need, ALWAYS_ON)
    return shut, always


def source_of(
    kind: str,
    need: GasNeed,
    use: Use,
    choice: Choice,
    limits: Limits,
    pressures: Pressures,
) -> Source:
    """Return what a source ("cylinder", "cartridge", "acid-bicarbonate", "yeast") means here.

    `need` and `use` are those of its hours: `needs_of` has them.
    """
    keeps = SOURCES[kind].shuts_at_night
    hours, flow, cycle, grams = need.gas, need.flow, need.cycle, use.gas_g
    batch = batch_of(kind, need, grams, choice, pressures)
    swing = drawn(batch.swing, need.belief.count, f"swing of {kind}")
    strongest = need.day.settle(surged(need.belief, flow, swing), hours, cycle)
    key = kind.replace("-", "_")
    name = NAMES[kind]
    dawn_h = seconds_of(need.day.light.on) / 3600.0 if need.day.light.hours else 8.0
    run_on = (
        Input("hours of gas", str(hours), "", "shut at night" if keeps else "cannot be shut"),
        Input("target", need.target_mg_l, "mg/L", "target"),
    )
    law = "the tank's day, draw by draw"
    fillings = grams * DAYS_A_YEAR / np.maximum(drawn(batch.grams, grams.size, kind), 1e-6)
    return Source(
        kind,
        name,
        hours,
        not keeps,
        batch,
        cycle,
        strongest,
        figure(f"{key}_gas_g_per_day", f"Gas a day, {name}", grams, "g/day",
               "CO2 that must dissolve in its hours / part that dissolves + hose", run_on, law),
        figure(f"{key}_fillings_a_year", f"{batch.what.capitalize()}s a year", fillings, "a year",
               "gas a day · 365 / gas of one", (given("gas a day", range_of(grams), "g/day",
               "computed above"), given("gas of one", batch.grams, "g", batch.origin)),
               "balance of mass"),
        figure(f"{key}_lasts_days", f"Days one {batch.what} lasts", batch.lasts_days, "days",
               batch.lasts_formula, (given("gas of one", batch.grams, "g", batch.origin),),
               batch.source),
        figure(f"{key}_peak_mg_l", f"Highest CO2 of the day, {name}", cycle.co2_max.max(axis=1),
               "mg/L", "highest anywhere on a day that repeats itself", run_on, law),
        figure(f"{key}_worst_mg_l", f"Highest CO2 when it is strongest, {name}",
               strongest.co2_max.max(axis=1), "mg/L", "the same with the most gas of a filling",
               (*run_on, given("most gas against usual", batch.swing, "", batch.origin)), law),
        figure(f"{key}_over_limit", f"Chance of passing the animals' limit then, {name}",
               strongest.risks(limits).p_over_limit, "", "part of the draws that pass it",
               (*run_on, Input("limit", limits.co2_mg_l, "mg/L", "tank file or kind")), law),
        figure(f"{key}_dawn_mg_l", f"CO2 when the lights go on, {name}", cycle.at("co2", dawn_h),
               "mg/L", "CO2 of the whole water at lights-on", run_on, law),
        figure(f"{key}_dawn_o2_mg_l", f"Oxygen when the lights go on, {name}",
               cycle.at("o2", dawn_h), "mg/L", "lowest in the tank at lights-on", run_on, law),
    )  # fmt: skip
