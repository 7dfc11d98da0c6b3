"""What is left and how fast it goes, by the scale, by the gauge, by bubbles, and by all of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from leafgill.advise.supply.anneal import anneal
from leafgill.advise.supply.readings import ALL, NONE, Given, Stocktaking
from leafgill.advise.supply.unknowns import State
from leafgill.science.co2_fluid import thin_gas_density_kg_m3, vapour_density_kg_m3
from leafgill.science.compiled import FloatArray
from leafgill.tank.spec import Tank

# Nobody plans a refill further ahead [days].
MOST_DAYS = 3650.0
_USUAL_WORKING_BAR = 2.0
SOURCES: dict[str, Given] = {
    "scale": Given(True, False),
    "gauge": Given(False, True),
    "bubbles": NONE,
    "all": ALL,
}


@dataclass(frozen=True)
class Stock:
    """Draws of a cylinder as some of its readings leave it.

    `left_g` [m] in it now, `use_g_day` [m] what goes in a day from now on, leak included, and
    `empty_g` [m] what stays in it at the working pressure; `last_liquid_g` [m] is the mass at
    which the gauge begins to fall. `errors` [m, n] are those of every reading, listened to or not.
    """

    z: FloatArray
    state: State
    left_g: FloatArray
    use_g_day: FloatArray
    leak_g_day: FloatArray
    empty_g: FloatArray
    last_liquid_g: FloatArray
    counted_g: FloatArray
    errors: FloatArray

    @cached_property
    def days(self) -> FloatArray:
        """Days until the cylinder is empty, at the setting of now, [m]."""
        return days_until(self.left_g, self.empty_g, self.use_g_day)

    @cached_property
    def liquid_days(self) -> FloatArray:
        """Days until the last liquid has gone and the gauge falls, [m]; 0 when it has."""
        return days_until(self.left_g, self.last_liquid_g, self.use_g_day)

    @cached_property
    def still_liquid(self) -> float:
        """Chance that there is liquid in it now, 0 to 1."""
        return float(np.mean(self.left_g > self.last_liquid_g))


def days_until(left_g: FloatArray, level_g: FloatArray, use_g_day: FloatArray) -> FloatArray:
    """Return the days until the mass has fallen to a level, 0 when it has, at most ten years."""
    days: FloatArray = np.maximum(left_g - level_g, 0.0) / np.maximum(use_g_day, 1e-6)
    return np.minimum(days, MOST_DAYS)


def stock_of(
    taking: Stocktaking, tank: Tank, given: Given, rng: np.random.Generator, count: int = 1500
) -> Stock:
    """Return the draws that some of the readings leave of a cylinder."""
    z = anneal(lambda z: taking.losses(z, given), taking.unknowns.size, rng, count).z
    state = taking.unknowns.of(z)
    per_second = taking.per_second(state)
    counted = per_second @ taking.now_seconds.T if taking.use.stretches else np.zeros((count, 1))
    working = tank.rig.working_pressure_bar or _USUAL_WORKING_BAR
    rest = np.asarray(thin_gas_density_kg_m3(working + 1.0, state.room_c))
    vapour = np.asarray(vapour_density_kg_m3(np.clip(state.room_c, -20.0, 30.9)))
    leak = state.leak_g_day[:, -1] if taking.use.stretches else np.zeros(count)
    return Stock(
        z=z,
        state=state,
        left_g=np.maximum(taking.left_g(state, per_second), 0.0),
        use_g_day=_use(taking, state, per_second) + leak,
        leak_g_day=leak,
        empty_g=rest * state.water_l,
        last_liquid_g=vapour * state.water_l,
        counted_g=counted[:, 0],
        errors=taking.errors(state, per_second, ALL),
    )


def _use(taking: Stocktaking, state: State, per_second: FloatArray) -> FloatArray:
    """Return grams of gas a day from now on, without a leak, [m]."""
    use = taking.use
    running = np.flatnonzero(use.flow.shut < 0.5) if use.stretches else np.zeros(0, np.int64)
    if not running.size:
        return state.uncounted_g_day
    a_day: FloatArray = per_second[:, running[-1]] * hours_of(taking) * 3600.0 * state.ahead
    return a_day


def hours_of(taking: Stocktaking) -> float:
    """Return the gas hours a day that the days ahead are counted with."""
    use = taking.use
    if use.hours_a_day:
        return use.hours_a_day
    known = [w.hours for _, w in use.gas if w is not None and not w.never]
    return known[-1] if known else 0.0
