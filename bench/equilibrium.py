"""Time carbonate equilibrium side by side: Leaf & Gill, PHREEQC and PyCO2SYS, in one run.

The question is the commonest one: CO2 from pH, alkalinity, temperature and hardness, for waters
drawn at random over pH 6-8, KH 0.5-15, 18-30 °C, GH 0-15 (Ca : Mg 3 : 1, Ca as chloride, Mg as
sulfate). PHREEQC (phreeqpython, phreeqc.dat) solves one water after another; PyCO2SYS takes the
same whole array as we do. PyCO2SYS has no activity model for fresh water, so its answers are
held against our constants at zero ionic strength; PHREEQC's against our answers as they are.

    python bench/equilibrium.py [--waters N] [--solves N] [--repeats N] [--json]
"""

import argparse
import json
import time
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import phreeqpython
import PyCO2SYS

from leafgill.science import carbonate
from leafgill.science.carbonate_directions import carbon_of_ph, hydrogen_of_ph
from leafgill.science.carbonate_kernel import conditional_constants
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import CO2_G_MOL, DGH_MMOL_L, DKH_MEQ_L

SEED = 20_231


class Waters(NamedTuple):
    """Random waters: pH, alkalinity [meq/L], temperature [°C], hardness [dGH]."""

    ph: FloatArray
    alkalinity_meq_l: FloatArray
    temperature_c: FloatArray
    gh_dgh: FloatArray


def draw(count: int) -> Waters:
    rng = np.random.default_rng(SEED)
    return Waters(
        rng.uniform(6.0, 8.0, count),
        rng.uniform(0.5, 15.0, count) * DKH_MEQ_L,
        rng.uniform(18.0, 30.0, count),
        rng.uniform(0.0, 15.0, count),
    )


def ours(waters: Waters) -> FloatArray:
    answer: FloatArray = carbonate.co2_mg_l(*waters[:3], gh_dgh=waters.gh_dgh)
    return answer


def ours_ideal(waters: Waters) -> FloatArray:
    """Our equilibrium with every activity coefficient at 1 and no pairs, as PyCO2SYS has it."""
    answer = np.empty(waters.ph.size)
    for i, (ph, alkalinity, temperature, _) in enumerate(zip(*waters, strict=True)):
        k1, k2, kw, gamma_h = conditional_constants(temperature, 0.0, 0.0)
        h = hydrogen_of_ph(ph, gamma_h)
        answer[i] = carbon_of_ph(alkalinity, h, k1, k2, kw) * CO2_G_MOL
    return answer


def phreeqc(waters: Waters, engine: phreeqpython.PhreeqPython) -> FloatArray:
    answer = np.empty(waters.ph.size)
    for i, (ph, alkalinity, temperature, gh) in enumerate(zip(*waters, strict=True)):
        hardness = gh * DGH_MMOL_L
        solution = engine.add_solution(
            {
                "units": "mmol/kgw",
                "temp": temperature,
                "pH": ph,
                "Alkalinity": alkalinity,
                "Na": alkalinity,
                "Ca": 0.75 * hardness,
                "Cl": 1.5 * hardness,
                "Mg": 0.25 * hardness,
                "S(6)": 0.25 * hardness,
            }
        )
        answer[i] = solution.species["CO2"] * 1e3 * CO2_G_MOL
        solution.forget()
    return answer


def pyco2sys(waters: Waters) -> FloatArray:
    answer = PyCO2SYS.sys(
        par1=waters.alkalinity_meq_l * 1e3,
        par1_type=1,
        par2=waters.ph,
        par2_type=3,
        salinity=0.0,
        temperature=waters.temperature_c,
        opt_k_carbonic=8,
        opt_pH_scale=3,
        opt_buffers_mode=0,
    )
    return np.asarray(answer["CO2"]) * 1e-3 * CO2_G_MOL


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


def measure(waters_count: int, solves: int, repeats: int) -> dict[str, float]:
    waters, few = draw(waters_count), draw(solves)
    engine = phreeqpython.PhreeqPython(database="phreeqc.dat")
    # Compiled code, imports and first-use caches are warmed before any clock runs.
    ours(few), phreeqc(draw(50), engine), pyco2sys(few)
    our_s = best_seconds(lambda: ours(waters), max(repeats, 5)) / waters_count
    phreeqc_s = best_seconds(lambda: phreeqc(few, engine), repeats) / solves
    pyco2sys_s = best_seconds(lambda: pyco2sys(waters), repeats) / waters_count
    return {
        "waters": waters_count,
        "phreeqc_solves": solves,
        "ours_ns_per_solve": our_s * 1e9,
        "phreeqc_ns_per_solve": phreeqc_s * 1e9,
        "pyco2sys_ns_per_solve": pyco2sys_s * 1e9,
        "times_faster_than_phreeqc": phreeqc_s / our_s,
        "times_faster_than_pyco2sys": pyco2sys_s / our_s,
        "largest_difference_phreeqc_percent": largest_percent(ours(few), phreeqc(few, engine)),
        "largest_difference_pyco2sys_ideal_percent": largest_percent(
            ours_ideal(few), pyco2sys(few)
        ),
    }


def table(result: dict[str, float]) -> str:
    """Lay the result out for reading."""
    return "\n".join(
        [
            f"CO2 from pH, KH, temperature and GH: {result['waters']:,} waters"
            f" (PHREEQC: {result['phreeqc_solves']:,} of them)",
            "",
            f"{'':24}{'ns per solve':>14}{'Leaf & Gill faster':>20}{'largest difference':>26}",
            f"{'Leaf & Gill':24}{result['ours_ns_per_solve']:14,.0f}",
            f"{'PHREEQC (phreeqpython)':24}{result['phreeqc_ns_per_solve']:14,.0f}"
            f"{result['times_faster_than_phreeqc']:18,.0f} ×"
            f"{result['largest_difference_phreeqc_percent']:24.2f} %",
            f"{'PyCO2SYS, whole array':24}{result['pyco2sys_ns_per_solve']:14,.0f}"
            f"{result['times_faster_than_pyco2sys']:18,.0f} ×"
            f"{result['largest_difference_pyco2sys_ideal_percent']:18.2f} % ideal",
        ]
    )


def main() -> None:
    parser = argparse.ArgumentParser(description="Time carbonate equilibrium side by side.")
    parser.add_argument("--waters", type=int, default=200_000, help="size of the array")
    parser.add_argument("--solves", type=int, default=2_000, help="waters given to PHREEQC")
    parser.add_argument("--repeats", type=int, default=3, help="runs of each, best counts")
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    options = parser.parse_args()
    result = measure(options.waters, options.solves, options.repeats)
    print(json.dumps(result, indent=2) if options.json else table(result))


if __name__ == "__main__":
    main()
