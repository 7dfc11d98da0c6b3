"""The end of a cylinder: how flow through an untouched needle valve changes as the gas runs out."""

from dataclasses import dataclass

import numpy as np

from leafgill.science.co2_fluid import STANDARD_BAR
from leafgill.science.compiled import FloatArray, Same
from leafgill.science.cylinder import cylinder_pressure_bar, last_liquid_kg
from leafgill.science.regulator import (
    EFFECTS,
    Passage,
    needle_flow_ratio,
    outlet_gauge_bar,
    two_stage_outlet_gauge_bar,
)

_LIQUID_POINTS, _GAS_POINTS = 25, 160


@dataclass(frozen=True, slots=True)
class Course:
    """One way it may go, at the masses of its Surge.

    `outlet_gauge_bar` [n] working pressure; `flow_ratio` [n] flow against the setting [1]; `days`
    [n] since the first mass, None without a rate; inf once nothing flows any more.
    """

    effect: float
    passage: Passage
    outlet_gauge_bar: FloatArray
    flow_ratio: FloatArray
    days: FloatArray | None

    @property
    def most(self) -> float:
        """Highest flow against the setting [1]."""
        return float(self.flow_ratio.max())


@dataclass(frozen=True, slots=True)
class Surge:
    """Flow against the setting as a cylinder empties, from its charge to nothing.

    `mass_g` [n] falls; `inlet_bar` [n] absolute pressure in the cylinder. `low`, `middle` and
    `high` are courses with the smallest, the usual and the largest supply-pressure effect.
    `last_liquid_g` is the mass when the gauge begins to fall, NaN above 30.978 °C.
    """

    mass_g: FloatArray
    inlet_bar: FloatArray
    last_liquid_g: float
    low: Course
    middle: Course
    high: Course

    def change_at_gauge_bar(self, most_ratio: float) -> float | None:
        """Cylinder gauge [bar] at which to change it, lest the flow pass `most_ratio`.

        By the course with the largest effect; None where it never comes to that. Raises ValueError
        for a ratio below 1.
        """
        if not most_ratio >= 1.0:
            raise ValueError(f"a flow of {most_ratio:g} times the setting; accepted: 1 or more")
        over = np.flatnonzero(self.high.flow_ratio > most_ratio)
        if over.size == 0:
            return None
        # the last mass before the ratio is passed: to change there is in time
        return float(self.inlet_bar[max(over[0] - 1, 0)]) - STANDARD_BAR


def surge(
    water_capacity_l: float,
    temperature_c: float,
    *,
    charge_kg: float,
    set_gauge_bar: float,
    back_gauge_bar: float = 0.1,
    regulator: str = "single-stage",
    g_per_day: float | None = None,
) -> Surge:
    """Follow a cylinder to its end at a steady temperature, nobody touching the valve.

    The valve was set with the cylinder at `charge_kg`, to `g_per_day` (a day's mean; hours without
    gas only stretch the time). `back_gauge_bar` stands behind the needle valve: water, counter and
    the diffuser's own pressure. `low` takes the smallest effect of EFFECTS and a nozzle for the
    needle, `middle` the usual effect and a capillary, `high` the largest and a capillary: see
    `needle_flow_ratio`. Days follow from the flow itself, which uses the rest the faster.

    What is not in it: a regulator that creeps or whose seat is worn, which passes more than any of
    these. Raises ValueError for a regulator that is not in EFFECTS, and as its parts do.
    """
    if regulator not in EFFECTS:
        raise ValueError(f'a regulator "{regulator}"; accepted: {", ".join(EFFECTS)}')
    if not set_gauge_bar > back_gauge_bar:
        raise ValueError(
            f"{set_gauge_bar:g} bar before the valve and {back_gauge_bar:g} bar behind it pass no "
            "gas; accepted: more before than behind"
        )
    if g_per_day is not None and not g_per_day > 0.0:
        raise ValueError(f"{g_per_day:g} g a day; accepted: more than 0")
    last_kg = float(last_liquid_kg(water_capacity_l, temperature_c))
    mass_kg = _masses(charge_kg, last_kg)
    inlet = np.asarray(cylinder_pressure_bar(mass_kg, water_capacity_l, temperature_c))
    size = EFFECTS[regulator].size

    def course(effect: float, passage: Passage) -> Course:
        outlet = np.asarray(_outlet(regulator, set_gauge_bar, inlet, effect))
        ratio = np.asarray(needle_flow_ratio(outlet, outlet[0], back_gauge_bar, passage=passage))
        days = None if g_per_day is None else _days(mass_kg * 1e3, ratio, g_per_day)
        return Course(effect, passage, outlet, ratio, days)

    return Surge(
        mass_kg * 1e3,
        inlet,
        last_kg * 1e3,
        course(size.low, "nozzle"),
        course(size.value, "capillary"),
        course(size.high, "capillary"),
    )


def _masses(charge_kg: float, last_kg: float) -> FloatArray:
    """Masses [kg] from the charge down to 0, close together where the pressure falls."""
    if not charge_kg > 0.0:
        raise ValueError(f"a charge of {charge_kg:g} kg; accepted: more than 0 kg")
    if not last_kg < charge_kg:
        return np.linspace(charge_kg, 0.0, _LIQUID_POINTS + _GAS_POINTS)
    liquid = np.linspace(charge_kg, last_kg, _LIQUID_POINTS, endpoint=False)
    return np.concatenate([liquid, np.linspace(last_kg, 0.0, _GAS_POINTS)])


def _outlet(regulator: str, set_gauge_bar: float, inlet: FloatArray, effect: float) -> Same:
    if EFFECTS[regulator].stages == 2:
        return two_stage_outlet_gauge_bar(set_gauge_bar, inlet, inlet[0], effect)
    return outlet_gauge_bar(set_gauge_bar, inlet, inlet[0], effect)


def _days(mass_g: FloatArray, ratio: FloatArray, g_per_day: float) -> FloatArray:
    """Days to each mass [n]: the integral of dm/(flow), by the trapezium rule on 1/flow."""
    with np.errstate(divide="ignore"):
        slowness = 1.0 / (g_per_day * ratio)
    steps = 0.5 * (slowness[1:] + slowness[:-1]) * -np.diff(mass_g)
    days: FloatArray = np.concatenate([[0.0], np.cumsum(steps)])
    return days
