"""Time what is believed of a tank after two weeks of a probe, and name what it would cost else.

The diary is invented (bench/trial): 14 days, pH every minute, the keeper's other readings. Timed:

warm   `believe` in a process that has called it before
cold   a fresh process from start to end: imports, tank file, diary and probe file, `believe`;
       numba's cache on disk is full
LSODA  the belief's own tanks, each once through the diary's days by SciPy's `solve_ivp`, carbon
       only, on our compiled scalar chemistry and the same steps; a few are run and the time is
       scaled to all. `believe` runs some 4,000 tanks, oxygen too, to come to those 300

    python -m bench.belief [--seed N] [--repeats N] [--tanks N] [--json]
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import timedelta
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace

import numpy as np
from scipy.integrate import solve_ivp

from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.estimate.believe import believe
from leafgill.science import acid_kernel as ak
from leafgill.science import carbonate_kernel as ck
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import CO2_G_MOL
from leafgill.science.gases import co2_equilibrium_mg_l
from leafgill.tank.forcing import Draws, Forcing
from leafgill.tank.model import LEAST_ROOM_PPM, THETA, carbon_of_co2, simulate
from leafgill.tank.spec import Tank
from leafgill.tank.trends import growth

from .trial.diary import START
from .trial.simulate import simulate as invent
from .trial.simulate import write_trial

DAYS = 14
RTOL, ATOL = 1e-6, 1e-8
COLD = """
import sys
from datetime import datetime
from pathlib import Path
from leafgill.diary import Diary
from leafgill.estimate.believe import believe
from leafgill.tank.spec import Tank
folder = Path(sys.argv[1])
tank = Tank.load(folder / "tank.toml")
diary = Diary.load(folder / "diary.csv", probe=folder / "probe.csv")
believe(tank, diary, datetime.fromisoformat(sys.argv[2]))
"""


def single(draws: Draws, row: int) -> SimpleNamespace:
    """Return one draw's figures as plain floats, by name."""
    fields = zip(Draws._fields, draws, strict=True)
    return SimpleNamespace(**{name: float(v[row]) if v.ndim == 1 else v[row] for name, v in fields})


def slopes(t, y, one, base, acid, f, ends_h):  # type: ignore[no-untyped-def]
    """d(DIC)/dt of the open and the sheltered water [mmol/L/h]."""
    j = min(int(np.searchsorted(ends_h, t, side="right")), ends_h.size - 1)
    celsius = f.temperature_c[j]
    alkalinity = base * growth(one.alkalinity_trend_per_day, t)
    strength = ck.ionic_strength_mol_l(alkalinity, one.gh_dgh, one.extra_salt_mmol_l)
    k1, k2, kw, gamma = ck.conditional_constants(celsius, strength, one.gh_dgh)
    ka = 10.0 ** (3.0 - one.acid_pka) / (gamma * gamma)
    co2 = [
        ck.co2_mmol_l(c, ak.hydrogen_beside_acid(c, alkalinity, k1, k2, kw, acid, ka, 0.0), k1, k2)
        for c in y
    ]
    exchange = (one.exchange_per_h + one.exchange_air_per_h * f.air[j]) * THETA ** (celsius - 20.0)
    exchange *= growth(one.exchange_trend_per_day, t)
    swing = 1.0 + one.room_cos * f.room_cos[j] + one.room_sin * f.room_sin[j]
    room = max(one.room_co2_ppm * swing, LEAST_ROOM_PPM)
    rest = room * co2_equilibrium_mg_l(1.0, celsius, f.pressure_hpa[j]) / CO2_G_MOL
    open_part = min(f.gas[j], max(f.open_h[j] - one.line_lag_h, 0.0) / f.dt_h[j])
    gain = one.gain_mg_l * growth(one.gain_trend_per_day, t)
    gas = gain * one.flow[int(f.segment[j])] * 3600.0 * open_part / CO2_G_MOL
    full = one.uptake_mg_l_h * f.light[j] * growth(one.uptake_trend_per_day, t) / CO2_G_MOL
    full *= max(1.0 - one.uptake_decline * f.light_phase[j], 0.0)
    half, breath = one.half_saturation_mg_l / CO2_G_MOL, one.respiration_mg_l_h / CO2_G_MOL
    near_fixed, far_fixed = (full * c / (half + c) for c in co2)
    far = one.shelter_share
    mixed = one.mixing_per_h * (y[1] - y[0])
    return [
        (gas + exchange * (rest - co2[0]) + mixed) / (1.0 - far) + breath - near_fixed,
        breath - far_fixed - (mixed / far if far > 0.0 else 0.0),
    ]


def lsoda(forcing: Forcing, draws: Draws, row: int) -> FloatArray:
    """Return DIC of the open water [mmol/L] at the last edge, by SciPy's LSODA."""
    one = single(draws, row)
    edges_h = np.concatenate([[0.0], np.cumsum(forcing.dt_h)])
    base, acid = one.alkalinity_meq_l, one.acid_meq_l

    def carbon(co2_mg_l: float, alkalinity: float, celsius: float, beside: float) -> float:
        strength = ck.ionic_strength_mol_l(base, one.gh_dgh, one.extra_salt_mmol_l)
        k1, k2, kw, gamma = ck.conditional_constants(celsius, strength, one.gh_dgh)
        ka = 10.0 ** (3.0 - one.acid_pka) / (gamma * gamma)
        dic: float = carbon_of_co2(co2_mg_l / CO2_G_MOL, alkalinity, k1, k2, kw, beside, ka)
        return dic

    start = carbon(one.co2_start_mg_l, base, float(forcing.temperature_c[0]), acid)
    state = np.array([start, start])
    stops = [0, *np.flatnonzero(forcing.change), forcing.steps]
    for first, last in pairwise(stops):
        part = forcing.change[first]
        if part > 0.0:
            new = float(one.new_alkalinity_meq_l[int(forcing.change_index[first])])
            celsius = float(forcing.temperature_c[first])
            state = state + part * (carbon(one.new_co2_mg_l, new, celsius, 0.0) - state)
            grown = growth(one.alkalinity_trend_per_day, edges_h[first])
            base += part * (new / grown - base)
            acid *= 1.0 - part
        if first < last:
            solved = solve_ivp(
                slopes, (edges_h[first], edges_h[last]), state, method="LSODA",
                t_eval=edges_h[first : last + 1], max_step=float(forcing.dt_h.min()),
                rtol=RTOL, atol=ATOL, args=(one, base, acid, forcing, edges_h[1:]),
            )  # fmt: skip
            state = solved.y[:, -1]
    return state


def mean_dic_apart(belief: Belief, forcing: Forcing, rows: list[int]) -> tuple[float, float]:
    """Return (seconds a tank by LSODA, largest difference of the last mean DIC [%])."""
    ours = simulate(forcing, belief.draws).dic_mmol_l[:, 1]
    taken, apart = 0.0, 0.0
    lsoda(forcing, belief.draws, rows[0])
    for row in rows:
        start = time.perf_counter()
        near, far = lsoda(forcing, belief.draws, row)
        taken += time.perf_counter() - start
        share = float(belief.draws.shelter_share[row])
        mean = (1.0 - share) * near + share * far
        apart = max(apart, abs(mean / ours[row] - 1.0) * 100.0)
    return taken / len(rows), apart


def seconds(work: Callable[[], object], repeats: int) -> float:
    """Shortest of several runs: what the work takes when nothing else disturbs it."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def measure(seed: int, repeats: int, tanks: int) -> dict[str, float]:
    now = START + timedelta(days=DAYS)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_trial(invent(seed, DAYS), folder)
        tank, diary = load(folder)
        belief = believe(tank, diary, now)
        warm_s = seconds(lambda: believe(tank, diary, now), repeats)
        processor = time.process_time()
        believe(tank, diary, now)
        processor_s = time.process_time() - processor
        command = [sys.executable, "-c", COLD, str(folder), now.isoformat()]
        cold_s = seconds(lambda: subprocess.run(command, check=True), repeats)
    forcing = belief.problem.evidence.forcing
    rows = list(range(0, belief.draws.number, max(belief.draws.number // tanks, 1)))[:tanks]
    lsoda_s, apart = mean_dic_apart(belief, forcing, rows)
    return {
        "probe_readings": float(diary_size(diary)),
        "steps": forcing.steps,
        "draws": belief.draws.number,
        "warm_s": warm_s,
        "warm_processor_s": processor_s,
        "cold_s": cold_s,
        "lsoda_tank_s": lsoda_s,
        "lsoda_tanks_run": len(rows),
        "lsoda_scaled_s": lsoda_s * belief.draws.number,
        "lsoda_ratio": lsoda_s * belief.draws.number / warm_s,
        "lsoda_difference_percent": apart,
        "load_average": os.getloadavg()[0],
        "cores": float(os.cpu_count() or 0),
    }


def load(folder: Path) -> tuple[Tank, Diary]:
    return (
        Tank.load(folder / "tank.toml"),
        Diary.load(folder / "diary.csv", probe=folder / "probe.csv"),
    )


def diary_size(diary: Diary) -> int:
    """Number of the probe's readings."""
    return sum(stream.values.size for stream in diary.streams.values())


def table(result: dict[str, float]) -> str:
    """Lay the result out for reading."""
    r = result
    return "\n".join(
        [
            f"Two weeks of an invented tank, {r['probe_readings']:,.0f} readings of a probe;"
            f" {r['draws']:.0f} draws kept; {r['cores']:.0f} cores, load {r['load_average']:.1f}",
            "",
            f"belief, warm                    {r['warm_s']:8.2f} s"
            f"   ({r['warm_processor_s']:.2f} s of processor time on all cores)",
            f"belief, a fresh process         {r['cold_s']:8.2f} s",
            f"LSODA, {r['draws']:.0f} of those tanks once  {r['lsoda_scaled_s']:8.1f} s"
            f"   ({r['lsoda_tanks_run']:.0f} run, {r['lsoda_tank_s']:.2f} s each, scaled;"
            f" {r['lsoda_ratio']:.0f} × our whole belief)",
            f"carbon at the end apart by at most {r['lsoda_difference_percent']:.2f} %",
        ]
    )


def main() -> None:
    parser = argparse.ArgumentParser(description="Time a belief after two weeks of a probe.")
    parser.add_argument("--seed", type=int, default=0, help="the invented tank's seed")
    parser.add_argument("--repeats", type=int, default=3, help="runs of each, best counts")
    parser.add_argument("--tanks", type=int, default=4, help="tanks given to LSODA")
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    options = parser.parse_args()
    result = measure(options.seed, options.repeats, options.tanks)
    print(json.dumps(result, indent=2) if options.json else table(result))


if __name__ == "__main__":
    main()
