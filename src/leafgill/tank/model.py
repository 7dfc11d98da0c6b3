"""How the tank behaves: dissolved inorganic carbon and oxygen, many draws at once.

For each draw and each of two zones (open water with diffuser and surface; sheltered water
behind plants, joined to it by the filter's flow)

    d(DIC)/dt = gain·flow·3600·gas + k(T, air)·(CO2eq - CO2) + respiration
                - uptake·light·CO2/(K + CO2) + mixing

with CO2 from DIC and alkalinity by the full carbonate equilibrium. A step is exact for
coefficients frozen at its start (exponential Rosenbrock-Euler; Hochbruck & Ostermann 2010, Acta
Numerica 19, 209-286, eq. 2.42, cited from memory), second order in the step; mixing is exact and
split symmetrically around it (Strang 1968). The course's fluxes are integrals of the same step,
so that the carbon balance closes to rounding.
"""

import math

import numpy as np
from numba import njit, prange

from leafgill.science import carbonate_kernel as ck
from leafgill.science.carbonate_directions import hydrogen_of_co2
from leafgill.science.compiled import FloatArray, compiled
from leafgill.science.constants import CO2_G_MOL
from leafgill.science.gases import (
    co2_equilibrium_mg_l,
    o2_saturation_mg_l,
    o2_to_co2_exchange_ratio,
)
from leafgill.tank.forcing import Course, Draws, Forcing

# Exchange rises by 2.4 % a kelvin (the usual θ of reaeration, 1.024; Elmore & West 1961, cited
# from memory, not checked against the paper).
THETA = 1.024
O2_PER_CO2 = 31.9988 / CO2_G_MOL
# Constants are recomputed when the water has moved this far; 0.02 K is 0.02 % of CO2.
_SAME_K = 0.02
_SAME_ALKALINITY = 1e-4
# Uptake grows and exchange drifts by at most this much either way over a course.
_TREND_BOUND = 1.0
# No room holds less than the air outside, [ppm], a little below today's.
LEAST_ROOM_PPM = 400.0


@compiled
def growth(relative_per_day: float, hours: float) -> float:
    """Return exp(trend·time), held within a factor e either way."""
    exponent = relative_per_day * hours / 24.0
    return math.exp(min(max(exponent, -_TREND_BOUND), _TREND_BOUND))


@compiled
def advance(
    dic: float,
    h: float,
    alkalinity: float,
    k1: float,
    k2: float,
    kw: float,
    source: float,
    exchange: float,
    co2_eq: float,
    uptake: float,
    half: float,
    dt: float,
) -> tuple[float, float, float, float]:
    """One zone, one step, all in mmol/L and h: (DIC, [H+], ∫CO2 dt, ∫uptake dt).

    `source` and `uptake` in mmol/L/h, `exchange` in 1/h.
    """
    co2 = ck.co2_mmol_l(dic, h, k1, k2)
    share = ck.dco2_ddic(h, k1, k2, kw, dic)
    fixed = uptake * co2 / (half + co2)
    steeper = uptake * half / ((half + co2) * (half + co2))
    rate = source + exchange * (co2_eq - co2) - fixed
    pull = (exchange + steeper) * share
    z = pull * dt
    if z > 1e-5:
        gone = -math.expm1(-z)
        gained = rate / pull * gone
        area = rate / pull * (dt - gone / pull)
    else:
        gained = rate * dt * (1.0 - 0.5 * z)
        area = rate * dt * dt * (0.5 - z / 6.0)
    co2_time = co2 * dt + share * area
    fixed_time = fixed * dt + steeper * share * area
    dic = max(dic + gained, 1e-9)
    return dic, ck.hydrogen_mmol_l(dic, alkalinity, k1, k2, kw, h), co2_time, fixed_time


@compiled
def mixed(near: float, far: float, share_far: float, kept: float) -> tuple[float, float]:
    """Let the difference between the zones decay to the part `kept`; the total stays."""
    mean = (1.0 - share_far) * near + share_far * far
    gap = (near - far) * kept
    return mean + share_far * gap, mean - (1.0 - share_far) * gap


@compiled
def carbon_of_co2(co2: float, alkalinity: float, k1: float, k2: float, kw: float) -> float:
    """DIC [mmol/L] of water with this CO2 [mmol/L] and alkalinity."""
    h = hydrogen_of_co2(co2, alkalinity, k1, k2, kw)
    return co2 * (1.0 + (k1 + k1 * k2 / h) / h)


@compiled
def arriving(fed: float, wanted: float, lag_h: float, dt: float) -> tuple[float, float]:
    """Gas at the diffuser behind a hose that fills with a lag: (mean of the step, its end)."""
    if lag_h <= 0.0:
        return wanted, wanted
    stays = math.exp(-dt / lag_h)
    return wanted + (fed - wanted) * (1.0 - stays) * lag_h / dt, wanted + (fed - wanted) * stays


@compiled
def breathed(o2: float, saturation: float, made: float, pull: float, dt: float) -> float:
    """Oxygen [mg/L] after a step of exchange `pull` [1/h] and production `made` [mg/L/h]."""
    if pull <= 0.0:
        return max(o2 + made * dt, 0.0)
    target = saturation + made / pull
    return max(target + (o2 - target) * math.exp(-pull * dt), 0.0)


@njit(cache=True, nogil=True, error_model="numpy")
def _run(i, f, d, start_h, co2_out, co2_far_out, o2_out, o2_far_out, ph_out, dic_out, flux):  # type: ignore[no-untyped-def] # noqa: E501 numba types it
    """Run draw `i` through the forcing."""
    far = d.shelter_share[i]
    near = 1.0 - far
    mixing = d.mixing_per_h[i] / (near * far) if far > 0.0 else 0.0
    gh, salt = d.gh_dgh[i], d.extra_salt_mmol_l[i]
    half = d.half_saturation_mg_l[i] / CO2_G_MOL
    respiration = d.respiration_mg_l_h[i] / CO2_G_MOL
    o2_used = d.respiration_mg_l_h[i] * O2_PER_CO2 / d.respiratory_quotient[i]
    o2_given = d.photosynthetic_quotient[i] * O2_PER_CO2 * CO2_G_MOL
    hours = start_h
    # `base` is the alkalinity without its trend; the trend counts from the clock's zero.
    trend = d.alkalinity_trend_per_day[i]
    base = d.alkalinity_meq_l[i]
    alkalinity = base * growth(trend, hours)
    temperature = f.temperature_c[0]
    k1, k2, kw, gamma = ck.conditional_constants(
        temperature, ck.ionic_strength_mol_l(alkalinity, gh, salt), gh
    )
    theta, o2_ratio, per_ppm, o2_full = _at(temperature, f.pressure_hpa[0])
    dic_near = carbon_of_co2(d.co2_start_mg_l[i] / CO2_G_MOL, alkalinity, k1, k2, kw)
    h_near = ck.hydrogen_mmol_l(dic_near, alkalinity, k1, k2, kw, 0.0)
    h_far, dic_far = h_near, dic_near
    o2_near = d.o2_start_mg_l[i]
    o2_far = o2_near
    fed = 0.0
    dic_out[i, 0] = dic_near
    co2_out[i, 0] = d.co2_start_mg_l[i]
    co2_far_out[i, 0] = d.co2_start_mg_l[i]
    o2_out[i, 0] = o2_near
    o2_far_out[i, 0] = o2_far
    ph_out[i, 0] = -math.log10(gamma * h_near * 1e-3)
    gas_in = 0.0
    exchanged = 0.0
    fixed = 0.0
    changed = 0.0
    for j in range(f.dt_h.size):
        dt = f.dt_h[j]
        stale = abs(f.temperature_c[j] - temperature) > _SAME_K
        part = f.change[j]
        if part > 0.0:
            new_alkalinity = d.new_alkalinity_meq_l[i, int(f.change_index[j])]
            new_dic = carbon_of_co2(d.new_co2_mg_l[i] / CO2_G_MOL, new_alkalinity, k1, k2, kw)
            changed += part * (new_dic - near * dic_near - far * dic_far)
            dic_near += part * (new_dic - dic_near)
            dic_far += part * (new_dic - dic_far)
            o2_near += part * (o2_full - o2_near)
            o2_far += part * (o2_full - o2_far)
            base += part * (new_alkalinity / growth(trend, hours) - base)
            stale = True
        now_alkalinity = base * growth(trend, hours)
        if stale or abs(now_alkalinity - alkalinity) > _SAME_ALKALINITY * alkalinity:
            alkalinity = now_alkalinity
            temperature = f.temperature_c[j]
            k1, k2, kw, gamma = ck.conditional_constants(
                temperature, ck.ionic_strength_mol_l(alkalinity, gh, salt), gh
            )
            theta, o2_ratio, per_ppm, o2_full = _at(temperature, f.pressure_hpa[j])
            h_near = ck.hydrogen_mmol_l(dic_near, alkalinity, k1, k2, kw, h_near)
            h_far = ck.hydrogen_mmol_l(dic_far, alkalinity, k1, k2, kw, h_far)

        wanted = f.gas[j] * d.flow[i, int(f.segment[j])]
        mean_flow, fed = arriving(fed, wanted, d.line_lag_h[i], dt)
        gas = d.gain_mg_l[i] * mean_flow * 3600.0 / CO2_G_MOL
        exchange = (
            theta
            * growth(d.exchange_trend_per_day[i], hours)
            * (d.exchange_per_h[i] + d.exchange_air_per_h[i] * f.air[j])
        )
        swing = 1.0 + d.room_cos[i] * f.room_cos[j] + d.room_sin[i] * f.room_sin[j]
        co2_eq = per_ppm * max(d.room_co2_ppm[i] * swing, LEAST_ROOM_PPM)
        uptake = 0.0
        if f.light[j] > 0.0:
            tired = max(1.0 - d.uptake_decline[i] * f.light_phase[j], 0.0)
            grown = growth(d.uptake_trend_per_day[i], hours)
            uptake = d.uptake_mg_l_h[i] / CO2_G_MOL * f.light[j] * grown * tired

        kept = math.exp(-0.5 * mixing * dt)
        if far > 0.0:
            dic_near, dic_far = mixed(dic_near, dic_far, far, kept)
            o2_near, o2_far = mixed(o2_near, o2_far, far, kept)
            h_near = ck.hydrogen_mmol_l(dic_near, alkalinity, k1, k2, kw, h_near)
            h_far = ck.hydrogen_mmol_l(dic_far, alkalinity, k1, k2, kw, h_far)
            # In the sheltered zone plants and animals alone; diffuser and surface are outside.
            dic_far, h_far, _, far_fixed = advance(
                dic_far, h_far, alkalinity, k1, k2, kw, respiration, 0.0, 0.0, uptake, half, dt
            )
            o2_far = breathed(o2_far, o2_full, o2_given * far_fixed / dt - o2_used, 0.0, dt)
            fixed += far * far_fixed
        dic_near, h_near, co2_time, near_fixed = advance(
            dic_near, h_near, alkalinity, k1, k2, kw, gas / near + respiration,
            exchange / near, co2_eq, uptake, half, dt,
        )  # fmt: skip
        made = o2_given * near_fixed / dt - o2_used
        o2_near = breathed(o2_near, o2_full, made, exchange * o2_ratio / near, dt)
        gas_in += gas * dt
        exchanged += exchange * (co2_eq * dt - co2_time)
        fixed += near * near_fixed
        if far > 0.0:
            dic_near, dic_far = mixed(dic_near, dic_far, far, kept)
            o2_near, o2_far = mixed(o2_near, o2_far, far, kept)
            h_near = ck.hydrogen_mmol_l(dic_near, alkalinity, k1, k2, kw, h_near)
            h_far = ck.hydrogen_mmol_l(dic_far, alkalinity, k1, k2, kw, h_far)
        hours += dt

        co2 = ck.co2_mmol_l(dic_near, h_near, k1, k2) * CO2_G_MOL
        co2_out[i, j + 1] = co2
        co2_far_out[i, j + 1] = (
            ck.co2_mmol_l(dic_far, h_far, k1, k2) * CO2_G_MOL if far > 0.0 else co2
        )
        o2_out[i, j + 1] = o2_near
        o2_far_out[i, j + 1] = o2_far if far > 0.0 else o2_near
        ph_out[i, j + 1] = -math.log10(gamma * h_near * 1e-3)
    dic_out[i, 1] = near * dic_near + far * dic_far
    flux[i, 0] = gas_in
    flux[i, 1] = exchanged
    flux[i, 2] = respiration * (hours - start_h)
    flux[i, 3] = -fixed
    flux[i, 4] = changed


@compiled
def _at(temperature: float, pressure: float) -> tuple[float, float, float, float]:
    """Return what depends on temperature: (θ factor, O2 exchange ratio, CO2eq [mmol/L/ppm], O2)."""
    return (
        THETA ** (temperature - 20.0),
        o2_to_co2_exchange_ratio(temperature),
        co2_equilibrium_mg_l(1.0, temperature, pressure) / CO2_G_MOL,
        o2_saturation_mg_l(temperature, pressure),
    )


@njit(cache=True, parallel=True, nogil=True, error_model="numpy")
def _simulate(f, d, start_h, co2, co2_far, o2, o2_far, ph, dic, flux):  # type: ignore[no-untyped-def] # numba types it
    for i in prange(co2.shape[0]):
        _run(i, f, d, start_h, co2, co2_far, o2, o2_far, ph, dic, flux)


def simulate(forcing: Forcing, draws: Draws, start_h: float = 0.0) -> Course:
    """Return the course of every draw over the forcing's steps.

    `start_h` is the time of the first edge on the clock of the draws' trends [h]: a forecast
    that starts ten days into a diary passes 240. Trends act at most by a factor e.
    """
    m, n = draws.count, forcing.steps
    course = Course(
        *(np.empty((m, n + 1)) for _ in range(5)),
        np.empty((m, 2)),
        np.empty((m, 5)),
        np.ascontiguousarray(draws.shelter_share, dtype=np.float64),
    )
    _simulate(forcing, draws, float(start_h), *course[:7])
    return course


def exchange_now_per_h(draws: Draws, temperature_c: float, air: float) -> FloatArray:
    """Exchange of CO2 [1/h] at a temperature, with a part `air` of the extra aeration, [m]."""
    rate: FloatArray = (draws.exchange_per_h + air * draws.exchange_air_per_h) * THETA ** (
        temperature_c - 20.0
    )
    return rate
