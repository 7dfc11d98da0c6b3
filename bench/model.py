"""Time a week of a tank by the minute: our kernel and SciPy's LSODA, in one run.

One tank, one zone, 7 days, an answer every minute: gas and light by the clock, extra air at
night, a hose that must fill, the room's daily swing, a 30 % water change on the fourth day. The
differential equation is written here once: with SciPy alone (pH by `brentq`), in plain Python on
our compiled scalar chemistry, and compiled throughout by numba. LSODA is used in two ways:

by inputs   what acts on the tank is a series of minutes, as from a diary, and the solver is kept
            from stepping over one (`solve_ivp`, max_step of a minute)
by pieces   whoever sets it up knows every switch and the smooth law in between, and starts the
            solver anew at each (`odeint`): the least work it can do, open to hand-made days only

The reference for the largest difference is the second way at a relative tolerance of 1e-11.

    python bench/model.py [--days N] [--repeats N] [--json]
"""

import argparse
import json
import math
import time
from collections.abc import Callable
from datetime import time as clock
from itertools import pairwise
from types import FunctionType

import numpy as np
from numba import njit, set_num_threads
from scipy.integrate import odeint, solve_ivp
from scipy.optimize import brentq

from leafgill.science import carbonate_kernel as ck
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import CO2_G_MOL
from leafgill.science.gases import co2_equilibrium_mg_l
from leafgill.tank.forcing import Draws, Forcing
from leafgill.tank.model import THETA, simulate
from leafgill.tank.timeline import Timeline, WaterChange
from leafgill.tank.window import Window

Law = Callable[..., float]
Constants = tuple[float, float, float, float]

TEMPERATURE_C = 25.0
LAG_H = 0.2
CHANGE_H, CHANGE_PART, NEW_CO2_MG_L, NEW_ALKALINITY = 82.0, 0.3, 2.0, 1.0
GAS, LIGHT, AIR = (8, 17), (9, 19), (21, 7)
# exchange, more with air [1/h]; gas, uptake, half saturation, breath [mmol/L, an hour]; decline;
# CO2 of water at rest with the room's mean [mmol/L]; the room's swing
WARMER = THETA ** (TEMPERATURE_C - 20.0)
REST = co2_equilibrium_mg_l(700.0, TEMPERATURE_C)
TANK = (
    0.12 * WARMER, 0.6 * WARMER, 1.1e-3 * 2.0 * 3600.0 / CO2_G_MOL, 1.5 / CO2_G_MOL,
    6.0 / CO2_G_MOL, 0.4 / CO2_G_MOL, 0.3, REST / CO2_G_MOL, -0.15, 0.1,
)  # fmt: skip
ALKALINITY, GH, SALT, START_MG_L = 1.4, 6.0, 0.5, 4.0
# LSODA's tolerances when it is timed: the largest difference it then makes is printed too.
RTOL, ATOL = 1e-6, 1e-8


def slope(
    dic: float, alkalinity: float, k: Constants, tank: tuple[float, ...],
    gas: float, light: float, phase: float, air: float, swing: float,
) -> float:  # fmt: skip
    """d(DIC)/dt [mmol/L/h]."""
    exchange, more, gain, uptake, half, breath, decline, rest, _, _ = tank
    h = ck.hydrogen_mmol_l(dic, alkalinity, k[0], k[1], k[2], 0.0)
    co2 = ck.co2_mmol_l(dic, h, k[0], k[1])
    fixed = uptake * light * (1.0 - decline * phase) * co2 / (half + co2)
    return gain * gas + (exchange + more * air) * (rest * swing - co2) + breath - fixed


def slope_alone(
    dic: float, alkalinity: float, k: Constants, tank: tuple[float, ...],
    gas: float, light: float, phase: float, air: float, swing: float,
) -> float:  # fmt: skip
    """Return what `slope` does, with nothing of ours: the charge balance solved by SciPy."""
    exchange, more, gain, uptake, half, breath, decline, rest, _, _ = tank
    k1, k2, kw, _ = k

    def charge(log_h: float) -> float:
        h = math.exp(log_h)
        hco3 = dic / (1.0 + h / k1 + k2 / h)
        return float(hco3 * (1.0 + 2.0 * k2 / h) + kw / h - h - alkalinity)

    # pH 4 to 10 in mmol/L
    h = math.exp(brentq(charge, -16.118, -2.302, xtol=1e-10))
    co2 = dic / (1.0 + k1 / h + k1 * k2 / (h * h))
    fixed = uptake * light * (1.0 - decline * phase) * co2 / (half + co2)
    return gain * gas + (exchange + more * air) * (rest * swing - co2) + breath - fixed


def by_inputs(
    t: float, y: FloatArray, alkalinity: float, k: Constants, tank: tuple[float, ...],
    inputs: FloatArray,
) -> float:  # fmt: skip
    """Return the slope from the inputs of the minute."""
    j = min(int(t * 60.0), inputs.shape[1] - 1)
    gas, light, phase, air, swing = inputs[:, j]
    return slope(y[0], alkalinity, k, tank, gas, light, phase, air, swing)


def by_piece(
    t: float, y: FloatArray, alkalinity: float, k: Constants, tank: tuple[float, ...],
    gas: float, light: float, air: float,
) -> float:  # fmt: skip
    """Return the slope while nothing switches."""
    hour = t % 24.0
    phase = (hour - 9.0) / 10.0
    angle = 2.0 * math.pi * hour / 24.0
    swing = 1.0 + tank[8] * math.cos(angle) + tank[9] * math.sin(angle)
    return slope(y[0], alkalinity, k, tank, gas, light, phase, air, swing)


def with_slope(new: Law) -> tuple[Law, Law]:
    """Return (by_inputs, by_piece) around another `slope`."""
    space = globals() | {"slope": new}
    inputs, piece = (FunctionType(law.__code__, space) for law in (by_inputs, by_piece))
    return inputs, piece


def compiled() -> tuple[Law, Law]:
    """Return (by_inputs, by_piece), each compiled throughout."""
    inputs, piece = with_slope(njit(error_model="numpy")(slope))
    return njit(error_model="numpy")(inputs), njit(error_model="numpy")(piece)


def water(alkalinity: float) -> Constants:
    strength = ck.ionic_strength_mol_l(alkalinity, GH, SALT)
    return ck.conditional_constants(TEMPERATURE_C, strength, GH)


def dic_of(co2_mg_l: float, alkalinity: float, k: Constants) -> float:
    """DIC [mmol/L] of a CO2 [mg/L], by bracketing: not by the function that the kernel uses."""

    def over(dic: float) -> float:
        return float(co2_of(np.array([dic]), alkalinity, k)[0]) - co2_mg_l

    return float(brentq(over, 1e-9, 100.0, xtol=1e-14))


def co2_of(dic: FloatArray, alkalinity: float, k: Constants) -> FloatArray:
    hs = (ck.hydrogen_mmol_l(c, alkalinity, k[0], k[1], k[2], 0.0) for c in dic)
    return np.array(
        [ck.co2_mmol_l(c, h, k[0], k[1]) * CO2_G_MOL for c, h in zip(dic, hs, strict=True)]
    )


def ours(days: int) -> tuple[Forcing, Draws]:
    """Return the same week as our kernel is given it."""

    def hours(pair: tuple[int, int]) -> tuple[tuple[float, Window], ...]:
        return ((0.0, Window(clock(pair[0]), clock(pair[1]))),)

    change = WaterChange(CHANGE_H * 3600.0, CHANGE_PART)
    line = Timeline(
        timezone="UTC", gas=hours(GAS), light=hours(LIGHT), air=hours(AIR), setting_s=(0.0,),
        temperature=((0.0, TEMPERATURE_C),), changes=(change,),
    )  # fmt: skip
    figures = dict.fromkeys(Draws._fields, 0.0)
    figures |= {
        "exchange_per_h": 0.12, "exchange_air_per_h": 0.6, "gain_mg_l": 1.1e-3,
        "line_lag_h": LAG_H, "uptake_mg_l_h": 1.5, "uptake_decline": 0.3,
        "half_saturation_mg_l": 6.0, "respiration_mg_l_h": 0.4, "room_co2_ppm": 700.0,
        "room_cos": -0.15, "room_sin": 0.1, "alkalinity_meq_l": ALKALINITY, "acid_pka": 5.0,
        "gh_dgh": GH, "extra_salt_mmol_l": SALT, "new_co2_mg_l": NEW_CO2_MG_L,
        "photosynthetic_quotient": 1.2, "respiratory_quotient": 0.9, "o2_exchange": 1.0,
        "o2_saturation": 1.0, "co2_start_mg_l": START_MG_L, "co2_far_start_mg_l": START_MG_L,
        "o2_start_mg_l": 7.5,
    }  # fmt: skip
    fields = {name: np.array([value]) for name, value in figures.items()}
    fields |= {"flow": np.array([[2.0]]), "new_alkalinity_meq_l": np.array([[NEW_ALKALINITY]])}
    return line.forcing(np.arange(0.0, days * 86400.0 + 1.0, 60.0)), Draws(**fields)


def changed(dic: float, k: Constants) -> tuple[float, float, Constants]:
    """Return (DIC, alkalinity, constants) after the water change."""
    # The kernel reckons the new water's DIC with the constants of the tank.
    dic += CHANGE_PART * (dic_of(NEW_CO2_MG_L, NEW_ALKALINITY, k) - dic)
    alkalinity = ALKALINITY + CHANGE_PART * (NEW_ALKALINITY - ALKALINITY)
    return dic, alkalinity, water(alkalinity)


def lsoda_inputs(law: Law, days: int, inputs: FloatArray) -> FloatArray:
    """CO2 [mg/L] at the minutes by `solve_ivp`, one solve up to the water change and one after."""
    alkalinity, k = ALKALINITY, water(ALKALINITY)
    dic, answer = dic_of(START_MG_L, alkalinity, k), [np.array([START_MG_L])]
    for first, last in pairwise((0.0, min(CHANGE_H, days * 24.0), days * 24.0)):
        if first == last:
            continue
        if first == CHANGE_H:
            dic, alkalinity, k = changed(dic, k)
        at = np.arange(round(first * 60), round(last * 60) + 1) / 60.0
        solved = solve_ivp(
            law, (first, last), [dic], method="LSODA", t_eval=at, max_step=1.0 / 60.0,
            rtol=RTOL, atol=ATOL, args=(alkalinity, k, TANK, inputs),
        )  # fmt: skip
        dic = float(solved.y[0, -1])
        answer.append(co2_of(solved.y[0, 1:], alkalinity, k))
    return np.concatenate(answer)


def lsoda_pieces(law: Law, days: int, rtol: float = RTOL, atol: float = ATOL) -> FloatArray:
    """CO2 [mg/L] at the minutes by `odeint`, started anew at every switch."""
    alkalinity, k = ALKALINITY, water(ALKALINITY)
    dic, answer = dic_of(START_MG_L, alkalinity, k), [np.array([START_MG_L])]
    hours = {0.0, GAS[0] + LAG_H, GAS[1], *LIGHT, *AIR, 24.0}
    moments = {24.0 * day + hour for day in range(days) for hour in hours} | {CHANGE_H}
    for first, last in pairwise(sorted(moment for moment in moments if moment <= days * 24.0)):
        if first == CHANGE_H:
            dic, alkalinity, k = changed(dic, k)
        hour = 0.5 * (first + last) % 24.0
        gas = float(GAS[0] + LAG_H <= hour < GAS[1])
        light = float(LIGHT[0] <= hour < LIGHT[1])
        air = float(hour >= AIR[0] or hour < AIR[1])
        at = np.arange(round(first * 60), round(last * 60) + 1) / 60.0
        course = odeint(
            law, [dic], at, (alkalinity, k, TANK, gas, light, air), tfirst=True, rtol=rtol,
            atol=atol,
        )  # fmt: skip
        dic = float(course[-1, 0])
        answer.append(co2_of(course[1:, 0], alkalinity, k))
    return np.concatenate(answer)


def best_seconds(work: Callable[[], object], repeats: int) -> float:
    """Shortest of several runs, in processor time: other work on the machine does not count."""
    times = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def measure(days: int, repeats: int) -> dict[str, float]:
    # One tank is one thread's work; a second would only be waited for.
    set_num_threads(1)
    forcing, draws = ours(days)
    gas = np.clip((forcing.open_h - LAG_H) / forcing.dt_h, 0.0, forcing.gas)
    swing = 1.0 + TANK[8] * forcing.room_cos + TANK[9] * forcing.room_sin
    inputs = np.stack([gas, forcing.light, forcing.light_phase, forcing.air, swing])
    jit_inputs, jit_piece = compiled()
    alone_inputs, alone_piece = with_slope(slope_alone)
    reference = lsoda_pieces(jit_piece, days, 1e-11, 1e-13)
    answers: dict[str, Callable[[], FloatArray]] = {
        "kernel": lambda: simulate(forcing, draws).co2_mg_l[0],
        "inputs_alone": lambda: lsoda_inputs(alone_inputs, days, inputs),
        "inputs_plain": lambda: lsoda_inputs(by_inputs, days, inputs),
        "inputs_compiled": lambda: lsoda_inputs(jit_inputs, days, inputs),
        "pieces_alone": lambda: lsoda_pieces(alone_piece, days),
        "pieces_plain": lambda: lsoda_pieces(by_piece, days),
        "pieces_compiled": lambda: lsoda_pieces(jit_piece, days),
    }
    result: dict[str, float] = {"days": days, "steps": forcing.steps}
    for name, work in answers.items():
        # The first answer, which also warms what is compiled, is not timed.
        result[f"{name}_difference_mg_l"] = float(np.max(np.abs(work() - reference)))
        result[f"{name}_ms"] = best_seconds(work, repeats * (20 if name == "kernel" else 1)) * 1e3
        result[f"{name}_ratio"] = result[f"{name}_ms"] / result["kernel_ms"]
    return result


def table(result: dict[str, float]) -> str:
    """Lay the result out for reading."""
    rows = {
        "kernel": "Leaf & Gill",
        "inputs_alone": "LSODA by inputs, SciPy alone",
        "inputs_plain": "LSODA by inputs, our chemistry",
        "inputs_compiled": "LSODA by inputs, compiled law",
        "pieces_alone": "LSODA by pieces, SciPy alone",
        "pieces_plain": "LSODA by pieces, our chemistry",
        "pieces_compiled": "LSODA by pieces, compiled law",
    }
    lines = [
        f"One tank, {result['days']:.0f} days by the minute ({result['steps']:,.0f} steps);"
        f" LSODA (SciPy) at rtol {RTOL:g}",
        "",
        f"{'':32}{'ms':>10}{'of ours':>12}{'largest difference':>22}",
    ]
    for name, shown in rows.items():
        lines.append(
            f"{shown:32}{result[f'{name}_ms']:10,.2f}{result[f'{name}_ratio']:10,.1f} ×"
            f"{result[f'{name}_difference_mg_l']:17.5f} mg/L"
        )
    return "\n".join(lines)


def main() -> None:
    parser = argparse.ArgumentParser(description="Time a week of a tank beside SciPy's LSODA.")
    parser.add_argument("--days", type=int, default=7, help="length of the course")
    parser.add_argument("--repeats", type=int, default=3, help="runs of each, best counts")
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    options = parser.parse_args()
    result = measure(options.days, options.repeats)
    print(json.dumps(result, indent=2) if options.json else table(result))


if __name__ == "__main__":
    main()
