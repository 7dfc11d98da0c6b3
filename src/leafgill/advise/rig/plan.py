"""The whole rig for one tank: everything chosen, sized and priced, each number a figure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from leafgill.advise.drawn import figure
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed, gas_need
from leafgill.advise.gas_safety import gas_cautions, gas_figures
from leafgill.advise.rig import cylinders, regulators
from leafgill.advise.rig.batches import Pressures, cartridge_g
from leafgill.advise.rig.checker import checker
from leafgill.advise.rig.choose import Chosen, choose
from leafgill.advise.rig.closed import closed_figure, relief_caution
from leafgill.advise.rig.counted import Counted, counted
from leafgill.advise.rig.cylinders import Choice, choices_of
from leafgill.advise.rig.diffuse import range_of_figure
from leafgill.advise.rig.lead import Lead, lead_of
from leafgill.advise.rig.parts import Bill, Running, bill_of, running_of
from leafgill.advise.rig.regulators import (
    MOST_OVER_LIMIT,
    Regulator,
    Vessel,
    regulator_of,
    set_pressure,
)
from leafgill.advise.rig.sources import NAMES, Source, needs_of, source_of
from leafgill.advise.rig.use import USUAL_HOSE, Use, use_of
from leafgill.advise.words import per_cent
from leafgill.estimate.belief import Belief
from leafgill.science.air import ROOM_TEMPERATURE_C
from leafgill.science.cited import Range
from leafgill.science.cylinder import FILLS
from leafgill.science.generators import SOURCES
from leafgill.tank.limits import Limits, limits_of
from leafgill.tank.spec import Tank


@dataclass(frozen=True)
class RigPlan:
    """What to buy for a tank, how to set it, how long it lasts, and what each source would do.

    `peak` is the day's highest CO2 at the aim and `over` its chance of passing the animals' limit.
    `chosen` is how the gas is brought in; `choice` the cylinder; `vessel` what runs empty on this
    tank, `regulator` the kind to buy for it and `regulator_why` the reason; `lead` is None where
    the gas runs around the clock; `source` is the keeper's own among `sources`. `cautions` belong
    on every screen.
    """

    tank: Tank
    limits: Limits
    need: GasNeed
    chosen: Chosen
    use: Use
    choices: tuple[Choice, ...]
    choice: Choice
    working: Figure
    peak: Figure
    over: Figure
    vessel: Vessel
    regulators: tuple[Regulator, ...]
    regulator: str
    regulator_why: str
    counted: Counted
    lead: Lead | None
    checker: Figure
    checker_colour: str
    sources: tuple[Source, ...]
    bill: Bill
    running: tuple[Running, ...]
    doubts: tuple[str, ...]
    cautions: tuple[str, ...]
    safety: tuple[Figure, ...]

    @property
    def source(self) -> Source:
        """The keeper's own source."""
        return next(source for source in self.sources if source.kind == self.tank.rig.source)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure behind the plan, each key once."""
        found: dict[str, Figure] = {}
        for made in self._all():
            found.setdefault(made.key, made)
        return tuple(found.values())

    def _all(self) -> Iterator[Figure]:
        use = self.use
        yield from (
            use.gas,
            use.given,
            use.dissolved,
            use.lost,
            use.hose,
            use.hose_share,
            *use.hoses,
        )
        for choice in self.choices:
            yield from choice.figures
        for way in self.chosen.ways:
            yield from (way.dissolved, way.flow, way.pressure)
        yield from (self.chosen.turnover, self.chosen.excess, self.working, self.peak, self.over)
        for regulator in self.regulators:
            yield from regulator.figures
        yield from (self.counted.bubble, self.counted.rate)
        if self.counted.own is not None:
            yield self.counted.own
        if self.lead is not None:
            yield from (self.lead.fed, self.lead.full)
        yield self.checker
        for source in self.sources:
            yield from source.figures
        if self.bill.total is not None:
            yield self.bill.total
        yield from (running.cost for running in self.running if running.cost is not None)
        yield from self.safety


def plan_rig(tank: Tank, belief: Belief, target_mg_l: float | None = None) -> RigPlan:
    """Return the rig for a tank, from what is believed of it.

    `belief` is that of a diary, or of an empty one, which is the prior. `target_mg_l` stands in
    for the tank's own target and is held to the animals' limit likewise.
    """
    if target_mg_l is not None:
        tank = replace(tank, target_co2_mg_l=target_mg_l)
    limits = limits_of(tank)
    belief = replace(belief, tank=replace(belief.tank, target_co2_mg_l=limits.target_mg_l))
    need = gas_need(tank, belief, limits.target_mg_l)
    chosen = choose(need)
    way = chosen.used
    shut, always = needs_of(need)
    use, shut_use, always_use = (use_of(each, way) for each in (need, shut, always))
    choices = choices_of(tank, shut_use)
    choice = cylinders.advised(choices)
    working = set_pressure(need, way)
    vessel = _vessel(tank, choice)
    single, double = (
        regulator_of(kind, shut, shut_use, way, vessel, working.value, limits)
        for kind in ("single-stage", "two-stage")
    )
    kind, why = regulators.advised(single, double, limits, vessel)
    owned = tank.rig.regulator or kind
    pressures = Pressures(
        working.value,
        min(way.pressure_bar.value, working.value - 0.1),
        owned,
        range_of_figure((single if owned == "single-stage" else double).flow),
    )
    sources = tuple(
        source_of(source, *_of(source, (shut, shut_use), (always, always_use)), choice, limits,
                  pressures)
        for source in NAMES
    )  # fmt: skip
    ph, colour = checker(need)
    over = _over(need, limits)
    charge = choice.size.charge_kg
    stamped = tank.rig.cylinder_water_l if choice.size.own else None
    return RigPlan(
        tank=tank,
        limits=limits,
        need=need,
        chosen=chosen,
        use=use,
        choices=choices,
        choice=choice,
        working=working,
        peak=_peak(need, limits),
        over=over,
        vessel=vessel,
        regulators=(single, double),
        regulator=kind,
        regulator_why=why,
        counted=counted(need, use, way.pressure_bar),
        lead=lead_of(need) if need is shut else None,
        checker=ph,
        checker_colour=colour,
        sources=sources,
        bill=bill_of(tank, tank.rig.source, choice, way, owned, tank.rig.hose or USUAL_HOSE),
        running=tuple(running_of(tank, source) for source in sources),
        doubts=(*_held(target_mg_l, limits), *belief.findings,
                *_doubts(tank, way.pressure_bar, over, need)),
        cautions=(*gas_cautions(charge, tank.room.volume_m3, ROOM_TEMPERATURE_C,
                                water_l=stamped), relief_caution()),
        safety=(*gas_figures(charge, tank.room.volume_m3, ROOM_TEMPERATURE_C,
                             water_l=stamped), closed_figure()),
    )  # fmt: skip


def _of(source: str, shut: tuple[GasNeed, Use], always: tuple[GasNeed, Use]) -> tuple[GasNeed, Use]:
    return shut if SOURCES[source].shuts_at_night else always


def _vessel(tank: Tank, choice: Choice) -> Vessel:
    """Return what runs empty on this tank: the keeper's cartridge, or the cylinder chosen."""
    if tank.rig.source != "cartridge":
        size = choice.size
        name = f"{'' if size.own else 'a '}{size.short} cylinder"
        return Vessel(name, size.charge_kg, size.water_l)
    kg = cartridge_g(tank)[0] * 1e-3
    return Vessel(f"a cartridge of {kg * 1e3:.3g} g", kg, kg / FILLS["capsule"].kg_per_l)


def _peak(need: GasNeed, limits: Limits) -> Figure:
    return figure(
        "peak_mg_l",
        "Highest CO2 of the day at the target",
        need.cycle.co2_max.max(axis=1),
        "mg/L",
        "highest anywhere in the tank on a day that repeats itself",
        (Input("target", need.target_mg_l, "mg/L", "target"),
         Input("animals' limit", limits.co2_mg_l, "mg/L", "tank file or kind")),
        "the tank's day, draw by draw",
    )  # fmt: skip


def _over(need: GasNeed, limits: Limits) -> Figure:
    return figure(
        "peak_over_limit",
        "Chance of passing the animals' limit on a day that holds the aim",
        need.cycle.risks(limits).p_over_limit,
        "",
        "part of the draws whose highest CO2 passes it",
        (Input("target", need.target_mg_l, "mg/L", "target"),
         Input("animals' limit", limits.co2_mg_l, "mg/L", "tank file or kind")),
        "the tank's day, draw by draw",
    )  # fmt: skip


def _held(target_mg_l: float | None, limits: Limits) -> tuple[str, ...]:
    if target_mg_l is None or target_mg_l <= limits.co2_mg_l:
        return ()
    return (f"an aim of {target_mg_l:g} mg/L is above the animals' limit, and is held to it",)


def _doubts(tank: Tank, needs: Range, over: Figure, need: GasNeed) -> Iterator[str]:
    if over.value > MOST_OVER_LIMIT:
        how = f"with a chance of {per_cent(over.value)}" if over.value < 0.99 else "almost surely"
        yield (
            f"a day that holds the aim of {need.target_mg_l:.3g} mg/L passes the animals' limit "
            f"{how}: aim lower"
        )
    own = tank.rig.working_pressure_bar
    if own is not None and own < needs.value:
        yield (
            f"the working pressure of {own:g} bar is below the {needs.value:.1f} bar that the "
            "diffuser needs: no gas may come"
        )
    if need.assumed:
        yield f"no hours of gas are written; taken as {need.gas}"
    never = float((need.flow <= 0.0).mean())
    if never > 0.05:
        yield (
            f"in {never:.0%} of what is believed possible the water holds the target without any "
            "gas; a diary of pH and KH would tell"
        )
