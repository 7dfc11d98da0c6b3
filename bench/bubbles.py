"""Time the lives of CO2 bubbles: our kernel and SciPy's LSODA, in one run on one core.

Bubbles of 0.1 to 6 mm, 0.1 to 0.8 m deep, at 20 to 28 °C, in water of 0 to 40 mg/L, with stiff and
with mobile faces, some held in the flow first. The question is what part of the CO2 dissolves.
SciPy solves the differential equation as it is written here, apart from our kernel: gas by gas
from partial pressures, the size from the cubic in closed form. It is run on plain Python and on
the same function compiled throughout, both at its customary relative tolerance of 1e-3. The
reference is DOP853 at 1e-10. Rise and transfer are ours in all.

    python bench/bubbles.py [--lives N] [--solves N] [--repeats N] [--json]
"""

import argparse
import json
import math
import time
from collections.abc import Callable
from functools import partial
from types import FunctionType
from typing import NamedTuple, cast

import numpy as np
from numba import njit
from scipy.integrate import solve_ivp

from leafgill.science.bubble_kernel import GRAVITY_M_S2, rise, transfer
from leafgill.science.bubble_life import dissolved_share
from leafgill.science.bubble_motion import GAS_VISCOSITY_PA_S
from leafgill.science.bubble_state import O2_G_MOL, Surroundings, surroundings
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import CO2_G_MOL, GAS_CONSTANT_J_MOL_K, N2_G_MOL, STANDARD_HPA

SEED = 4_117
# SciPy's tolerances: when it is timed, and as the reference.
LOOSE, TIGHT = 1e-3, 1e-10
# A bubble with this part of its CO2, or of all its gas, has come to its end.
LITTLE, NOTHING = 1e-6, 1e-9

Slope = Callable[..., tuple[float, float, float, float]]


class Bubbles(NamedTuple):
    """Random bubbles: mm, m, °C, mg/L, seconds held."""

    diameter_mm: FloatArray
    depth_m: FloatArray
    temperature_c: FloatArray
    co2_mg_l: FloatArray
    hold_s: FloatArray


def draw(count: int) -> Bubbles:
    rng = np.random.default_rng(SEED)
    return Bubbles(
        np.exp(rng.uniform(math.log(0.1), math.log(6.0), count)),
        rng.uniform(0.1, 0.8, count),
        rng.uniform(20.0, 28.0, count),
        rng.uniform(0.0, 40.0, count),
        np.where(rng.random(count) < 0.25, rng.uniform(0.0, 4.0, count), 0.0),
    )


def ours(bubbles: Bubbles, surface: str) -> FloatArray:
    d, depth, t, co2, hold = bubbles
    answer: FloatArray = dissolved_share(d, depth, t, co2_mg_l=co2, surface=surface, hold_s=hold)
    return answer


def size(moles: float, outside_pa: float, film: float, rt: float) -> float:
    """Diameter [m] from P d³ + 4σ d² = 6nRT/π, by Cardano in 1/d."""
    b = 6.0 * moles * rt / (math.pi * outside_pa)
    third, half = film / outside_pa / (3.0 * b), 0.5 / b
    under = half * half - third * third * third
    if under >= 0.0:
        root = math.sqrt(under)
        upper, lower = math.pow(half + root, 1.0 / 3.0), math.pow(half - root, 1.0 / 3.0)
        return 1.0 / (upper + lower)
    return 0.5 / (math.sqrt(third) * math.cos(math.acos(half / third**1.5) / 3.0))


def slope(
    t: float, y: FloatArray, first: float, depth_m: float, water: Surroundings, clean: bool,
    rises: bool,
) -> tuple[float, float, float, float]:  # fmt: skip
    """Return d/dt of moles of CO2, N2, O2 (of the first) and of the height [m]."""
    co2, n2, o2 = max(y[0], 0.0), max(y[1], 0.0), max(y[2], 0.0)
    total = co2 + n2 + o2
    if total < NOTHING:  # a trial step past the end
        return 0.0, 0.0, 0.0, 0.0
    dry_outside = water.air_pa + water.density * GRAVITY_M_S2 * (depth_m - y[3]) - water.vapour_pa
    d = size(total * first, dry_outside, 4.0 * water.tension, GAS_CONSTANT_J_MOL_K * water.kelvin)
    dry_pa = dry_outside + 4.0 * water.tension / d
    grams = first * (co2 * CO2_G_MOL + n2 * N2_G_MOL + o2 * O2_G_MOL)
    speed = rise(
        d, water.density, water.viscosity, water.tension, grams * 6e-3 / (math.pi * d**3),
        GAS_VISCOSITY_PA_S, clean,
    )  # fmt: skip
    face = math.pi * d * d / first
    k_co2 = transfer(d, speed, water.density, water.viscosity, water.co2_diffusivity, clean)
    k_n2 = transfer(d, speed, water.density, water.viscosity, water.n2_diffusivity, clean)
    k_o2 = transfer(d, speed, water.density, water.viscosity, water.o2_diffusivity, clean)
    return (
        face * k_co2 * (water.co2 - water.co2_solubility * dry_pa * co2 / total),
        face * k_n2 * (water.n2 - water.n2_solubility * dry_pa * n2 / total),
        face * k_o2 * (water.o2 - water.o2_solubility * dry_pa * o2 / total),
        speed if rises else 0.0,
    )


def compiled_slope() -> Slope:
    """Return `slope` compiled throughout."""
    space = globals() | {"size": njit(error_model="numpy")(size)}
    return cast(Slope, njit(error_model="numpy")(FunctionType(slope.__code__, space)))


def surfaced(t: float, y: FloatArray, first: float, depth_m: float, *_: object) -> float:
    return float(y[3] - depth_m)


def spent(t: float, y: FloatArray, *_: object) -> float:
    return float(y[0] - LITTLE)


def vanished(t: float, y: FloatArray, *_: object) -> float:
    return float(y[0] + y[1] + y[2] - LITTLE)


surfaced.terminal = spent.terminal = vanished.terminal = True  # type: ignore[attr-defined]


def solved(
    law: Slope, bubbles: Bubbles, surface: str, rtol: float, method: str = "LSODA"
) -> FloatArray:
    """Return the shares by SciPy: the time held first, then the rise to the surface."""
    answer = np.empty(bubbles.depth_m.size)
    for i, (d_mm, depth, t, co2, hold) in enumerate(zip(*bubbles, strict=True)):
        water = surroundings(t, co2, STANDARD_HPA)
        d = 1e-3 * d_mm
        pressure = water.air_pa + water.density * GRAVITY_M_S2 * depth - water.vapour_pa
        pressure += 4.0 * water.tension / d
        first = pressure * math.pi * d**3 / 6.0 / (GAS_CONSTANT_J_MOL_K * water.kelvin)
        y = np.array([1.0, 0.0, 0.0, 0.0])
        for seconds, rises in ((hold, False), (1e5, True)):
            if seconds == 0.0:
                continue
            ends = (surfaced, spent, vanished) if rises else (spent, vanished)
            solution = solve_ivp(
                law, (0.0, seconds), y, method=method, rtol=rtol, atol=1e-3 * rtol, events=ends,
                args=(first, depth, water, surface == "clean", rises),
            )  # fmt: skip
            y = solution.y[:, -1]
            if solution.status == 1:
                break
        answer[i] = 1.0 - y[0]
    return answer


def reference(law: Slope, bubbles: Bubbles, surface: str) -> FloatArray:
    """Return the shares by a tight solution; one-step, for LSODA stalls where the laws jump."""
    return solved(law, bubbles, surface, TIGHT, "DOP853")


def best_seconds(work: Callable[[], object], repeats: int) -> float:
    """Shortest of several runs: what the work takes when nothing else disturbs it."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def largest_percent(answer: FloatArray, reference: FloatArray) -> float:
    return float(np.max(np.abs(answer / reference - 1.0)) * 100.0)


def measure(lives: int, solves: int, repeats: int) -> dict[str, float]:
    many, few, fast = draw(lives), draw(solves), compiled_slope()
    surfaces = ("dirty", "clean")
    for surface in surfaces:  # compiled before any clock runs
        ours(few, surface), solved(fast, draw(1), surface, LOOSE)
    tight = {s: reference(fast, few, s) for s in surfaces}

    def seconds_per_life(work: Callable[[str], object], count: int) -> float:
        both = [best_seconds(partial(work, surface), repeats) for surface in surfaces]
        return sum(both) / (2 * count)

    def error(work: Callable[[str], FloatArray]) -> float:
        return max(largest_percent(work(s), tight[s]) for s in surfaces)

    our_s = seconds_per_life(lambda s: ours(many, s), lives)
    fast_s = seconds_per_life(lambda s: solved(fast, few, s, LOOSE), solves)
    plain_s = seconds_per_life(lambda s: solved(slope, few, s, LOOSE), solves)
    return {
        "lives": 2 * lives,
        "scipy_lives": 2 * solves,
        "lives_per_second": 1.0 / our_s,
        "our_us_per_life": our_s * 1e6,
        "scipy_compiled_us_per_life": fast_s * 1e6,
        "scipy_plain_us_per_life": plain_s * 1e6,
        "times_faster_than_scipy_compiled": fast_s / our_s,
        "times_faster_than_scipy_plain": plain_s / our_s,
        "largest_error_percent": error(lambda s: ours(few, s)),
        "scipy_largest_error_percent": error(lambda s: solved(fast, few, s, LOOSE)),
    }


def table(result: dict[str, float]) -> str:
    """Lay the result out for reading."""
    scipy_error = f"{result['scipy_largest_error_percent']:18.2f} %"
    return "\n".join(
        [
            f"Part of a bubble's CO2 that dissolves: {result['lives']:,} lives on one core"
            f" (SciPy: {result['scipy_lives']:,} of them)",
            "",
            f"{'':28}{'µs a life':>12}{'Leaf & Gill faster':>20}{'largest error':>20}",
            f"{'Leaf & Gill':28}{result['our_us_per_life']:12,.1f}{'':20}"
            f"{result['largest_error_percent']:18.2f} %",
            f"{'LSODA, compiled slope':28}{result['scipy_compiled_us_per_life']:12,.0f}"
            f"{result['times_faster_than_scipy_compiled']:18,.0f} ×{scipy_error}",
            f"{'LSODA, slope in Python':28}{result['scipy_plain_us_per_life']:12,.0f}"
            f"{result['times_faster_than_scipy_plain']:18,.0f} ×{scipy_error}",
            "",
            f"{result['lives_per_second']:,.0f} lives a second; errors against DOP853 at a relative"
            f" tolerance of {TIGHT:.0e}",
        ]
    )


def main() -> None:
    parser = argparse.ArgumentParser(description="Time the lives of CO2 bubbles side by side.")
    parser.add_argument("--lives", type=int, default=50_000, help="bubbles of each surface, ours")
    parser.add_argument("--solves", type=int, default=150, help="of them given to SciPy")
    parser.add_argument("--repeats", type=int, default=3, help="runs of each, best counts")
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    options = parser.parse_args()
    result = measure(options.lives, options.solves, options.repeats)
    print(json.dumps(result, indent=2) if options.json else table(result))


if __name__ == "__main__":
    main()
