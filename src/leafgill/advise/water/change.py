"""What one water change does: at once by the parts, and over the hours by the belief's own days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

import numpy as np

from leafgill.advise.drawn import drawn, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.forecast import Outlook, risks
from leafgill.advise.water.animals import Strain, strains_of
from leafgill.advise.water.make_up import MakeUp, WaterDraws, draws_of, mixed
from leafgill.advise.water.renew import renewed
from leafgill.estimate.belief import Band, Belief, band
from leafgill.science import carbonate
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import DKH_MEQ_L
from leafgill.tank.limits import Limits, limits_of

# So long the hours after a change are followed; by then the gas has set CO2 anew [h].
AHEAD_H = 8.0
# The moments told of [min]: close together while CO2 runs.
MINUTES = (0, 5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 360, 480)
# CO2 is back when it is this near to what it would have been without the change.
_BACK = 0.05
_MASS = "balance of mass"
_LAW = "carbonate equilibrium (Plummer & Busenberg 1982; Davies activities)"
_MODEL = "the tank's model, draw by draw: exchange, gas, uptake, respiration, carbonate equilibrium"


@dataclass(frozen=True)
class Course:
    """CO2, its highest place and pH after a change at `minutes` [n], with it and without it."""

    minutes: FloatArray
    co2: Band
    co2_max: Band
    ph: Band
    o2: Band
    co2_left: Band
    ph_left: Band


@dataclass(frozen=True)
class Change:
    """A change of a part of the water, at a moment of a belief's days.

    `levels` are (before, after) by substance; `course` runs on from the moment; `strains` are
    what the animals feel of it; `kh_known` how the belief's KH widens until it is tested again.
    """

    belief: Belief
    at: datetime
    part: float
    new: MakeUp
    limits: Limits
    co2_before: Figure
    co2_after: Figure
    ph_before: Figure
    ph_after: Figure
    kh_before: Figure
    kh_after: Figure
    gh_before: Figure
    gh_after: Figure
    warmth: Figure
    levels: tuple[tuple[Figure, Figure], ...]
    peak: Figure
    over: Figure
    o2_min: Figure
    back: Figure
    strains: tuple[Strain, ...]
    course: Course

    @cached_property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure."""
        both = (one for pair in self.levels for one in pair)
        return (
            self.co2_before, self.co2_after, self.ph_before, self.ph_after, self.kh_before,
            self.kh_after, self.gh_before, self.gh_after, self.warmth, *both, self.peak,
            self.over, self.o2_min, self.back, *(strain.jump for strain in self.strains),
        )  # fmt: skip

    def start_of_series(self) -> dict[str, Range]:
        """Return "KH", "GH" and the levels before it, to begin a series of changes with."""
        found = {"KH": _range(self.kh_before), "GH": _range(self.gh_before)}
        for one, _ in self.levels:
            found[one.key.removeprefix("before_").removesuffix("_mg_l")] = _range(one)
        return found


def change_of(
    belief: Belief,
    at: datetime,
    part: float,
    new: MakeUp,
    levels: Mapping[str, Range] | None = None,
    *,
    origins: Mapping[str, str] | None = None,
) -> Change:
    """Return what changing a `part` (0 to 1) of the water for `new` does from an aware moment.

    `levels` are what the tank's water holds of what tests are of [mg/L], as far as known, and
    `origins` where each comes from. Raises InputError for a moment outside the belief's days.
    """
    water = draws_of(new, belief.count)
    now = _tank_water(belief, at, levels or {})
    after = mixed(now, water, part)
    outlook = renewed(belief, at, part, water, AHEAD_H)
    limits = limits_of(belief.tank)
    told = _Told(belief, at, part, new, origins or {})
    before_state, after_state = now.state(), after.state()
    kh = belief.through("alkalinity_meq_l", np.array([at.timestamp()]))[:, 0] / DKH_MEQ_L
    ahead = risks(outlook.changed, limits)
    return Change(
        belief=belief,
        at=at,
        part=part,
        new=new,
        limits=limits,
        co2_before=told.before("co2", "CO2", before_state.co2_mg_l, "mg/L"),
        co2_after=told.state("co2", "CO2", after_state.co2_mg_l, "mg/L"),
        ph_before=told.before("ph", "pH", before_state.ph, "pH"),
        ph_after=told.state("ph", "pH", after_state.ph, "pH"),
        kh_before=told.before("kh", "KH", kh, "dKH"),
        kh_after=told.mixed("kh", "KH", kh + part * (water.kh_dkh - kh), "dKH", "kh_dkh"),
        gh_before=told.before("gh", "GH", belief.draws.gh_dgh, "dGH"),
        gh_after=told.mixed("gh", "GH", after.gh_dgh, "dGH", "gh_dgh"),
        warmth=told.mixed("temperature", "Warmth", after.temperature_c, "°C", "temperature_c"),
        levels=tuple(
            (
                told.before(name, name.capitalize(), now.levels[name], "mg/L"),
                told.mixed(name, name.capitalize(), after.levels[name], "mg/L", name),
            )
            for name in after.levels
        ),
        peak=told.model("change_peak_co2_mg_l", "Highest CO2 anywhere in the hours after",
                        outlook.changed.co2_max.max(axis=1), "mg/L"),
        over=told.model("change_over_limit", "Chance that CO2 passes the animals' limit then",
                        ahead.p_over_limit, ""),
        o2_min=told.model("change_o2_min_mg_l", "Lowest oxygen in the hours after",
                          outlook.changed.o2.min(axis=1), "mg/L"),
        back=told.model("change_back_h", "CO2 is back to what it would have been after",
                        _back(outlook.changed, outlook.left), "h"),
        strains=strains_of(now, after, part, new, belief.tank.livestock.kinds),
        course=_course(outlook.changed, outlook.left),
    )  # fmt: skip


def _range(known: Figure) -> Range:
    low, high = known.low, known.high
    return Range(known.value, known.value if low is None else low,
                 known.value if high is None else high)  # fmt: skip


def _tank_water(belief: Belief, at: datetime, levels: Mapping[str, Range]) -> WaterDraws:
    """Return the tank's water as drawn; its carbonate alkalinity is what CO2 and pH make of it."""
    times, warmths = zip(*belief.problem.evidence.timeline.temperature, strict=True)
    warm = float(np.interp(at.timestamp(), np.array(times), np.array(warmths)))
    state = carbonate.equilibrium(
        ph=belief.at("ph", at),
        co2_mg_l=belief.at("co2", at),
        temperature_c=warm,
        gh_dgh=belief.draws.gh_dgh,
        extra_salt_mmol_l=belief.draws.extra_salt_mmol_l,
    )
    count = belief.count
    return WaterDraws(
        np.asarray(state.alkalinity_meq_l),
        np.asarray(state.dic_mmol_l),
        belief.draws.gh_dgh,
        np.full(count, warm),
        {name: drawn(known, count, f"tank water: {name}") for name, known in levels.items()},
    )


def _back(changed: Outlook, left: Outlook) -> FloatArray:
    """Return hours until CO2 is and stays as near as `_BACK` to what it would have been, [m].

    Held at the end of the hours looked at.
    """
    times = np.asarray(60.0 * np.arange(0, (changed.times_s[-1] - changed.times_s[0]) / 60.0 + 1))
    times = np.minimum(changed.times_s[0] + times, changed.times_s[-1])
    with_it, without = changed.through("co2", times), left.through("co2", times)
    off = np.abs(with_it - without) > _BACK * without
    hours = (times - times[0]) / 3600.0
    last = np.where(off.any(axis=1), off.shape[1] - np.argmax(off[:, ::-1], axis=1), 0)
    found: FloatArray = hours[np.minimum(last, hours.size - 1)]
    return found


def _course(changed: Outlook, left: Outlook) -> Course:
    until = (changed.times_s[-1] - changed.times_s[0]) / 60.0
    minutes = np.array([m for m in MINUTES if m <= until], dtype=np.float64)
    times = changed.times_s[0] + 60.0 * minutes
    return Course(
        minutes,
        *(band(changed.through(what, times)) for what in ("co2", "co2_max", "ph", "o2")),
        *(band(left.through(what, times)) for what in ("co2", "ph")),
    )


@dataclass(frozen=True)
class _Told:
    """Makes the figures of one change, each with what went into it."""

    belief: Belief
    at: datetime
    part: float
    new: MakeUp
    origins: Mapping[str, str]

    def before(self, name: str, label: str, values: object, unit: str) -> Figure:
        """Return what the tank has before it."""
        believed = name in ("co2", "ph", "kh", "gh")
        origin = "belief of the diary" if believed else self.origins.get(name, "test")
        return figure(f"before_{_key(name, unit)}", f"{label} before", np.asarray(values), unit,
                      "what is believed of the tank's water" if believed else "as tested",
                      (Input("at", f"{self.at:%Y-%m-%d %H:%M}", "", origin),), origin)  # fmt: skip

    def mixed(self, name: str, label: str, values: FloatArray, unit: str, what: str) -> Figure:
        """Return what the mix has of something that keeps its amount."""
        known = self.new.levels[what] if what in self.new.levels else getattr(self.new, what)
        return figure(f"after_{_key(name, unit)}", f"{label} after", values, unit,
                      "before + part × (new - before)",
                      (self._part(), given("new water", known, unit, self.new.origin(what))),
                      _MASS)  # fmt: skip

    def state(self, name: str, label: str, values: object, unit: str) -> Figure:
        """Return what follows from alkalinity and carbon of the mix."""
        return figure(f"after_{_key(name, unit)}", f"{label} after", np.asarray(values), unit,
                      "alkalinity and dissolved carbon by their parts, then the equilibrium",
                      (self._part(),
                       given("CO2 of the new water", self.new.co2_mg_l, "mg/L",
                             self.new.origin("co2_mg_l")),
                       given("KH of the new water", self.new.kh_dkh, "dKH",
                             self.new.origin("kh_dkh"))), _LAW)  # fmt: skip

    def model(self, key: str, label: str, values: FloatArray | float, unit: str) -> Figure:
        """Return what the tank's model says of the hours after."""
        return figure(key, label, values, unit, "the day run on with the change in it",
                      (self._part(), Input("hours looked at", AHEAD_H, "h", "a choice of ours"),
                       given("surface exchange", range_of(self.belief.draws.exchange_per_h), "1/h",
                             "belief of the diary")), _MODEL)  # fmt: skip

    def _part(self) -> Input:
        return Input("part changed", self.part, "", "given")


def _key(name: str, unit: str) -> str:
    return {"mg/L": f"{name}_mg_l", "dKH": f"{name}_dkh", "dGH": f"{name}_dgh",
            "°C": f"{name}_c"}.get(unit, name)  # fmt: skip
