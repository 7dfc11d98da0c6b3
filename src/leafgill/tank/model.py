"""How the tank behaves: dissolved inorganic carbon and oxygen, many draws at once.

For each draw and each of two zones (open water with diffuser and surface; sheltered water
behind plants, joined to it by the filter's flow)

    d(DIC)/dt = gain·flow·3600·gas + k(T, air)·(CO2eq - CO2) + respiration
                - uptake·light·CO2/(K + CO2) + mixing

with CO2 from DIC and alkalinity by the full carbonate equilibrium. A step is exact for
coefficients frozen at its start (exponential Rosenbrock-Euler; Hochbruck & Ostermann 2010, Acta
Numerica 19, 209-286, cited from memory), second order in the step. Two zones are stepped as
their mean and their difference, which relaxes by mixing: the difference first, with the mean's
drift reckoned ahead, then the mean with the difference's average over the step. Fluxes are
integrals of the same step, so that the carbon balance closes to rounding. The mixing of oxygen is
split from its exchange and making, which is first order.
"""

import math

import numpy as np
from numba import njit, prange

from leafgill.science import acid_kernel as ak
from leafgill.science import carbonate_kernel as ck
from leafgill.science.compiled import FloatArray, compiled
from leafgill.science.constants import CO2_G_MOL
from leafgill.science.gases import (
    co2_equilibrium_mg_l,
    o2_saturation_mg_l,
    o2_to_co2_exchange_ratio,
)
from leafgill.tank.forcing import Course, Draws, Forcing
from leafgill.tank.trends import growth

# Exchange rises by 2.4 % a kelvin (the usual θ of reaeration, 1.024; Elmore & West 1961, cited
# from memory, not checked against the paper).
THETA = 1.024
O2_PER_CO2 = 31.9988 / CO2_G_MOL
# Constants are recomputed when the water has moved this far; 0.02 K is 0.02 % of CO2.
_SAME_K = 0.02
_SAME_ALKALINITY = 1e-4
_TREND_EVERY_H = 2.0
# No room holds less than the air outside, [ppm], a little below today's.
LEAST_ROOM_PPM = 400.0


@compiled
def relaxed(rate: float, pull: float, dt: float) -> tuple[float, float]:
    """Return (change, its integral over the step) of x' = rate - pull·(x - x0) after `dt`."""
    z = pull * dt
    if z > 1e-5:
        change = -rate / pull * math.expm1(-z)
        return change, (rate * dt - change) / pull
    return rate * dt * (1.0 - 0.5 * z), rate * dt * dt * (0.5 - z / 6.0)


@compiled
def fixation(co2: float, uptake: float, half: float) -> tuple[float, float]:
    """Return (uptake at this CO2, its slope) by Michaelis-Menten, in mmol/L/h and 1/h."""
    room = half + co2
    return uptake * co2 / room, uptake * half / (room * room)


@compiled
def mixed(near: float, far: float, share_far: float, kept: float) -> tuple[float, float]:
    """Let the difference between the zones decay to the part `kept`; the total stays."""
    mean = (1.0 - share_far) * near + share_far * far
    gap = (near - far) * kept
    return mean + share_far * gap, mean - (1.0 - share_far) * gap


@compiled
def carbon_of_co2(
    co2: float, alkalinity: float, k1: float, k2: float, kw: float, acid: float, ka: float
) -> float:
    """DIC [mmol/L] of water with this CO2 [mmol/L], alkalinity and weak acid [meq/L]."""
    h = ak.hydrogen_of_co2_beside_acid(co2, alkalinity, k1, k2, kw, acid, ka)
    return co2 * (1.0 + (k1 + k1 * k2 / h) / h)


@compiled
def breathed(o2: float, saturation: float, made: float, pull: float, dt: float) -> float:
    """Oxygen [mg/L] after a step of exchange `pull` [1/h] and production `made` [mg/L/h]."""
    if pull <= 0.0:
        return max(o2 + made * dt, 0.0)
    target = saturation + made / pull
    return max(target + (o2 - target) * math.exp(-pull * dt), 0.0)


@njit(cache=True, nogil=True, error_model="numpy")
def _run(  # type: ignore[no-untyped-def] # numba types it
    i, f, d, start_h, co2_out, co2_far_out, o2_out, o2_far_out, ph_out, alk_out, dic_out, flux
):
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
    acid = d.acid_meq_l[i]
    # `base` is the alkalinity without its trend; the trend counts from the clock's zero.
    trend = d.alkalinity_trend_per_day[i]
    base = d.alkalinity_meq_l[i]
    alkalinity = base * growth(trend, hours)
    temperature = f.temperature_c[0]
    k1, k2, kw, gamma = ck.conditional_constants(
        temperature, ck.ionic_strength_mol_l(alkalinity, gh, salt), gh
    )
    # The acid's constant in concentrations: one charge is made, so gamma squared divides it.
    ka = 10.0 ** (3.0 - d.acid_pka[i]) / (gamma * gamma)
    theta, o2_ratio, per_ppm, o2_full = _at(temperature, f.pressure_hpa[0])
    o2_full *= d.o2_saturation[i]
    o2_ratio *= d.o2_exchange[i]
    dic_near = carbon_of_co2(d.co2_start_mg_l[i] / CO2_G_MOL, alkalinity, k1, k2, kw, acid, ka)
    h_near = ak.hydrogen_beside_acid(dic_near, alkalinity, k1, k2, kw, acid, ka, 0.0)
    dic_far = carbon_of_co2(d.co2_far_start_mg_l[i] / CO2_G_MOL, alkalinity, k1, k2, kw, acid, ka)
    h_far = ak.hydrogen_beside_acid(dic_far, alkalinity, k1, k2, kw, acid, ka, 0.0)
    o2_near = d.o2_start_mg_l[i]
    o2_far = o2_near
    dic_out[i, 0] = near * dic_near + far * dic_far
    alk_out[i, 0] = alkalinity
    co2_out[i, 0] = d.co2_start_mg_l[i]
    co2_far_out[i, 0] = d.co2_far_start_mg_l[i] if far > 0.0 else d.co2_start_mg_l[i]
    o2_out[i, 0] = o2_near
    o2_far_out[i, 0] = o2_far
    ph_out[i, 0] = -math.log10(gamma * h_near * 1e-3)
    gas_in = 0.0
    exchanged = 0.0
    fixed = 0.0
    changed = 0.0
    trends_at = -math.inf
    alkalinity_grown = exchange_grown = gain_grown = uptake_grown = 1.0
    last_dt = kept = 0.0
    steep_far = fixed_far = share_far = 0.0
    co2_near = ck.co2_mmol_l(dic_near, h_near, k1, k2)
    co2_far = ck.co2_mmol_l(dic_far, h_far, k1, k2)
    for j in range(f.dt_h.size):
        dt = f.dt_h[j]
        if dt != last_dt:
            last_dt, kept = dt, math.exp(-mixing * dt)
        if hours - trends_at > _TREND_EVERY_H:
            trends_at = hours
            alkalinity_grown = growth(trend, hours)
            exchange_grown = growth(d.exchange_trend_per_day[i], hours)
            gain_grown = growth(d.gain_trend_per_day[i], hours)
            uptake_grown = growth(d.uptake_trend_per_day[i], hours)
        stale = abs(f.temperature_c[j] - temperature) > _SAME_K
        part = f.change[j]
        if part > 0.0:
            new_alkalinity = d.new_alkalinity_meq_l[i, int(f.change_index[j])]
            # Tap water brings next to none of the tank's organic acid.
            new_dic = carbon_of_co2(
                d.new_co2_mg_l[i] / CO2_G_MOL, new_alkalinity, k1, k2, kw, 0.0, ka
            )
            changed += part * (new_dic - near * dic_near - far * dic_far)
            dic_near += part * (new_dic - dic_near)
            dic_far += part * (new_dic - dic_far)
            o2_near += part * (o2_full - o2_near)
            o2_far += part * (o2_full - o2_far)
            base += part * (new_alkalinity / alkalinity_grown - base)
            acid *= 1.0 - part
            stale = True
        now_alkalinity = base * alkalinity_grown
        if stale or abs(now_alkalinity - alkalinity) > _SAME_ALKALINITY * alkalinity:
            alkalinity = now_alkalinity
            temperature = f.temperature_c[j]
            k1, k2, kw, gamma = ck.conditional_constants(
                temperature, ck.ionic_strength_mol_l(alkalinity, gh, salt), gh
            )
            theta, o2_ratio, per_ppm, o2_full = _at(temperature, f.pressure_hpa[j])
            o2_full *= d.o2_saturation[i]
            o2_ratio *= d.o2_exchange[i]
            h_near = ak.hydrogen_beside_acid(dic_near, alkalinity, k1, k2, kw, acid, ka, h_near)
            h_far = ak.hydrogen_beside_acid(dic_far, alkalinity, k1, k2, kw, acid, ka, h_far)
            co2_near = ck.co2_mmol_l(dic_near, h_near, k1, k2)
            co2_far = ck.co2_mmol_l(dic_far, h_far, k1, k2)

        # What is outside: gas past the hose's dead time, surface, light.
        gas_h = min(f.gas[j] * dt, max(f.open_h[j] - d.line_lag_h[i], 0.0))
        bubbles = d.flow[i, int(f.segment[j])] * 3600.0 * gas_h
        gas = d.gain_mg_l[i] * gain_grown / CO2_G_MOL * bubbles / dt
        exchange = (
            theta * exchange_grown * (d.exchange_per_h[i] + d.exchange_air_per_h[i] * f.air[j])
        )
        swing = 1.0 + d.room_cos[i] * f.room_cos[j] + d.room_sin[i] * f.room_sin[j]
        co2_eq = per_ppm * max(d.room_co2_ppm[i] * swing, LEAST_ROOM_PPM)
        uptake = 0.0
        if f.light[j] > 0.0:
            tired = max(1.0 - d.uptake_decline[i] * f.light_phase[j], 0.0)
            uptake = d.uptake_mg_l_h[i] / CO2_G_MOL * f.light[j] * uptake_grown * tired

        # Diffuser and surface belong to the open water, plants and breath to both zones.
        share_near = ak.dco2_ddic_beside_acid(h_near, k1, k2, kw, dic_near, acid, ka)
        fixed_near, steep_near = fixation(co2_near, uptake, half)
        pull_near = (exchange / near + steep_near) * share_near
        rate = gas + respiration + exchange * (co2_eq - co2_near) - near * fixed_near
        pull = near * pull_near
        gap_moved = gap_area = 0.0
        if far > 0.0:
            share_far = ak.dco2_ddic_beside_acid(h_far, k1, k2, kw, dic_far, acid, ka)
            fixed_far, steep_far = fixation(co2_far, uptake, half)
            pull_far = steep_far * share_far
            gap_rate = (rate - respiration) / near + fixed_far - mixing * (dic_near - dic_far)
            rate -= far * fixed_far
            pull += far * pull_far
            gap_pull = mixing + far * pull_near + near * pull_far
            # The mean moves on meanwhile, by this much on average over the step.
            drift = 0.5 * rate * dt / (1.0 + pull * dt / 3.0)
            gap_rate -= (pull_near - pull_far) * drift
            gap_moved, gap_area = relaxed(gap_rate, gap_pull, dt)
            rate -= near * far * (pull_near - pull_far) * gap_area / dt
        moved, area = relaxed(rate, pull, dt)
        dic_near = max(dic_near + moved + far * gap_moved, 1e-9)
        dic_far = max(dic_far + moved - near * gap_moved, 1e-9)
        h_near = ak.hydrogen_beside_acid(dic_near, alkalinity, k1, k2, kw, acid, ka, h_near)
        area_near = share_near * (area + far * gap_area)
        gas_in += gas * dt
        exchanged += exchange * ((co2_eq - co2_near) * dt - area_near)
        near_fixed = fixed_near * dt + steep_near * area_near
        fixed += near * near_fixed
        made = o2_given * near_fixed / dt - o2_used
        o2_near = breathed(o2_near, o2_full, made, exchange * o2_ratio / near, dt)
        co2_near = ck.co2_mmol_l(dic_near, h_near, k1, k2)
        if far > 0.0:
            h_far = ak.hydrogen_beside_acid(dic_far, alkalinity, k1, k2, kw, acid, ka, h_far)
            far_fixed = fixed_far * dt + steep_far * share_far * (area - near * gap_area)
            fixed += far * far_fixed
            co2_far = ck.co2_mmol_l(dic_far, h_far, k1, k2)
            o2_far = max(o2_far + o2_given * far_fixed - o2_used * dt, 0.0)
            o2_near, o2_far = mixed(o2_near, o2_far, far, kept)
        hours += dt

        alk_out[i, j + 1] = alkalinity
        co2_out[i, j + 1] = co2_near * CO2_G_MOL
        co2_far_out[i, j + 1] = (co2_far if far > 0.0 else co2_near) * CO2_G_MOL
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
def _simulate(f, d, start_h, co2, co2_far, o2, o2_far, ph, alk, dic, flux):  # type: ignore[no-untyped-def] # numba types it
    for i in prange(co2.shape[0]):
        _run(i, f, d, start_h, co2, co2_far, o2, o2_far, ph, alk, dic, flux)


def simulate(forcing: Forcing, draws: Draws, start_h: float = 0.0) -> Course:
    """Return the course of every draw over the forcing's steps.

    `start_h` is the time of the first edge on the clock of the draws' trends [h]: a forecast
    that starts ten days into a diary passes 240. Trends act at most by a factor e.
    """
    m, n = draws.number, forcing.steps
    rows = [np.empty((m, n + 1)) for _ in range(6)]
    dic, fluxes = np.empty((m, 2)), np.empty((m, 5))
    course = Course(
        rows[0], rows[1], rows[2], rows[3], rows[4], rows[5], dic, fluxes,
        np.ascontiguousarray(draws.shelter_share, dtype=np.float64),
    )  # fmt: skip
    _simulate(forcing, draws, float(start_h), *course[:8])
    return course


def exchange_now_per_h(draws: Draws, temperature_c: float, air: float) -> FloatArray:
    """Exchange of CO2 [1/h] at a temperature, with a part `air` of the extra aeration, [m]."""
    rate: FloatArray = (draws.exchange_per_h + air * draws.exchange_air_per_h) * THETA ** (
        temperature_c - 20.0
    )
    return rate
