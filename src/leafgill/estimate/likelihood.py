"""How well each draw explains the readings; every instrument with its own error.

pH: base + slope·(true - 7) + offset + drift, where the true pH strays from the model's by an
Ornstein-Uhlenbeck process (what no model of a tank catches), taken out by a Kalman filter
(Kalman 1960; scalar form). Innovations beyond four of their own width count linearly (Huber
1964). Colours and KH are intervals: the probability that the reading falls where it was read.
"""

import math

import numpy as np
from numba import njit, prange

from leafgill.estimate.huber import huber_loss, huber_losses, trust
from leafgill.estimate.observations import Observations, Weighings
from leafgill.science import carbonate_kernel as ck
from leafgill.science.acid_kernel import hydrogen_of_co2_beside_acid
from leafgill.science.compiled import FloatArray, compiled
from leafgill.science.constants import CO2_G_MOL, DKH_MEQ_L
from leafgill.science.electrode import drifted_offset_ph, shown_ph
from leafgill.science.gases import co2_equilibrium_mg_l
from leafgill.science.indicator import lag_factors
from leafgill.tank.forcing import Course

# How long the tank stays off the model in one direction [h].
ROUGH_TIME_H = 8.0
# A thousand probe readings are not a thousand witnesses of the level: what the model gets wrong
# is wrong in the same way night after night. Each counts for this part of a reading (a power
# likelihood; Bissiri, Holmes & Walker 2016, J. R. Stat. Soc. B 78, 1103-1130, cited from memory),
# set where the 90 % intervals hold the truth of simulated tanks nine times in ten.
PROBE_WEIGHT = 0.1
SCALE_SD_G = 4.0
# How near a glass has come to the air, and its air to what is taken for it [pH] (an error budget
# of ours). In the room the air itself swings by a quarter about its mean. Outdoors it is known to
# about 5 % (0.02), its warmth to a degree (0.01), and a day's standing leaves 0.02; but cold water
# holds more CO2, 0.01 pH a kelvin, so a glass whose warmth is not written is no better than one in
# the room. Beside it the eye, where a hand test is read.
GLASS_SD = 0.10
OUTDOOR_GLASS_SD = 0.03
GLASS_EYE_SD = 0.08
OUTDOOR_PPM = 425.0
# The eye on the checker's colour [log CO2]; drops of an oxygen test [mg/L].
COLOUR_SD = 0.12
O2_SD = 0.7
# A colour is put one step off this often; a drop is miscounted this often.
_COLOUR_SLIP = 0.12
_KH_SLIP = 0.05
_TINY = 1e-4
_SAME_GAP_H = 1e-4
_LN10 = math.log(10.0)


@compiled
def normal_cdf(x: float) -> float:
    """Standard normal distribution function."""
    return 0.5 * math.erfc(-x / math.sqrt(2.0))


@compiled
def lerp(row: FloatArray, at: float) -> float:
    """Return a row's value at a position between its points."""
    k = min(int(at), row.size - 2)
    value: float = row[k] + (at - k) * (row[k + 1] - row[k])
    return value


@compiled
def waved(parts: FloatArray, waves: FloatArray) -> float:
    """Return the sum of waves with these parts."""
    total = 0.0
    for k in range(parts.size):
        total += parts[k] * waves[k]
    return total


@compiled
def colour_chance(level: int, log_co2: float, bounds: FloatArray, shift: float, sd: float) -> float:
    """Chance that a checker at this CO2 is read as `level`."""
    chance = 0.0
    for true in range(max(level - 1, 0), min(level + 1, 4) + 1):
        high = 1.0 if true == 4 else normal_cdf((bounds[true] + shift - log_co2) / sd)
        low = 0.0 if true == 0 else normal_cdf((bounds[true - 1] + shift - log_co2) / sd)
        ends = true in (0, 4)
        slip = _COLOUR_SLIP if ends else 0.5 * _COLOUR_SLIP
        chance += (high - low) * ((1.0 - _COLOUR_SLIP) if true == level else slip)
    return chance


@compiled
def kh_chance(kh: float, low: float, high: float) -> float:
    """Chance that a kit gives a drop count meaning low < KH <= high."""
    drop = high - low
    sd = math.sqrt((0.03 * kh) ** 2 + (0.1 * drop) ** 2)
    inside = normal_cdf((high - kh) / sd) - normal_cdf((low - kh) / sd)
    below = normal_cdf((low - kh) / sd) - normal_cdf((low - drop - kh) / sd)
    above = normal_cdf((high + drop - kh) / sd) - normal_cdf((high - kh) / sd)
    return (1.0 - _KH_SLIP) * inside + 0.5 * _KH_SLIP * (below + above)


@compiled
def rest_ph(
    room_ppm: float,
    alkalinity: float,
    temperature: float,
    gh: float,
    salt: float,
    acid_share: float,
    acid_pka: float,
) -> float:
    """pH of a glass of the tank's water that has come to rest with the room's air."""
    ionic = ck.ionic_strength_mol_l(alkalinity, gh, salt)
    k1, k2, kw, gamma = ck.conditional_constants(temperature, ionic, gh)
    ka = 10.0 ** (3.0 - acid_pka) / (gamma * gamma)
    co2 = co2_equilibrium_mg_l(room_ppm, temperature) / CO2_G_MOL
    h = hydrogen_of_co2_beside_acid(co2, alkalinity, k1, k2, kw, acid_share * alkalinity, ka)
    return -math.log10(gamma * h * 1e-3)


@njit(cache=True, nogil=True, error_model="numpy")
def shown_by(i, true, probe, epoch, hours, t):  # type: ignore[no-untyped-def] # numba types it
    """pH that draw i's instrument shows for a true pH, noise aside: electrode or hand test."""
    if probe > 0.5:
        offset = drifted_offset_ph(t.offset[i, int(epoch)], t.drift[i], hours / 24.0)
        return shown_ph(true, offset, t.slope[i])
    return true + t.hand[i]


@compiled
def corrected(mean: float, variance: float, spread: float, error: float) -> tuple[float, float]:
    """(mean, variance) of the straying after a reading, by the Kalman filter.

    `spread` is the variance of what was expected of the reading, `error` how many of its widths
    the reading is off. A wild one moves the belief no further than one HUBER widths off would.
    """
    part = trust(error) * variance
    return mean + part / math.sqrt(spread) * error, variance * (1.0 - part / spread)


@njit(cache=True, nogil=True, error_model="numpy")
def seen_ph(i, ph, o, j, mean, variance, t):  # type: ignore[no-untyped-def] # numba types it
    """Hold reading j against draw i: (variance expected of it, its error in widths)."""
    true = lerp(ph, o.ph_at[j]) + waved(t.daily[i], o.ph_daily[j])
    shown = shown_by(i, true, o.ph_probe[j], o.ph_epoch[j], o.ph_h[j], t)
    # The straying is counted as the instrument shows it: its slope, near 1, is left out, or a
    # large slope would seem to explain a wide spread.
    spread = variance + o.ph_sd[j] * o.ph_sd[j]
    return spread, (o.ph[j] - shown - mean) / math.sqrt(spread)


@njit(cache=True, nogil=True, error_model="numpy")
def _ph_errors(i, ph, o, t, e):  # type: ignore[no-untyped-def] # numba types it
    """Filter draw i's pH readings: fills e with standardised innovations, returns -log lik."""
    rough = t.roughness[i]
    mean, variance = 0.0, rough * rough
    loss = 0.0
    before = last_gap = 0.0
    kept = 1.0
    for j in range(o.ph.size):
        gap = o.ph_h[j] - before if j else 0.0
        before = o.ph_h[j]
        # Readings come in even steps, so the decay is worked out anew only when the step changes.
        if abs(gap - last_gap) > _SAME_GAP_H:
            last_gap, kept = gap, math.exp(-gap / ROUGH_TIME_H)
        mean *= kept
        variance = kept * kept * variance + rough * rough * (1.0 - kept * kept)
        spread, error = seen_ph(i, ph, o, j, mean, variance, t)
        weight = PROBE_WEIGHT if o.ph_probe[j] > 0.5 else 1.0
        e[j] = error * math.sqrt(weight)
        loss += weight * (huber_loss(error) + 0.5 * math.log(spread))
        mean, variance = corrected(mean, variance, spread, error)
    return loss


@compiled
def glass_sd(known_air: bool, by_probe: bool) -> float:
    """Width of what a glass of degassed water shows about what it should [pH].

    `known_air` where it stood outdoors and its warmth was read too.
    """
    stood = OUTDOOR_GLASS_SD if known_air else GLASS_SD
    return stood if by_probe else math.sqrt(stood**2 + GLASS_EYE_SD**2)


@njit(cache=True, nogil=True, error_model="numpy")
def _glass_errors(i, alkalinity, temperature, o, t, e):  # type: ignore[no-untyped-def] # numba types it
    """Degassed samples of draw i: fills e, returns -log likelihood."""
    loss = 0.0
    for j in range(o.glass_ph.size):
        ppm = OUTDOOR_PPM if o.glass_outdoors[j] > 0.5 else t.room_ppm[i]
        drawn = lerp(alkalinity, o.glass_at[j])
        share, pka = t.non_carbonate[i], t.acid_pka[i]
        told = not math.isnan(o.glass_c[j])
        warmth = o.glass_c[j] if told else temperature
        true = rest_ph(ppm, drawn, warmth, t.gh[i], t.salt[i], share, pka)
        shown = shown_by(i, true, o.glass_probe[j], o.glass_epoch[j], o.glass_h[j], t)
        sd = glass_sd(told and o.glass_outdoors[j] > 0.5, o.glass_probe[j] > 0.5)
        e[j] = (o.glass_ph[j] - shown) / sd
        loss += huber_loss(e[j]) + math.log(sd)
    return loss


@compiled
def chance_error(chance: float) -> float:
    """Error [widths] that costs as much as a reading of this chance: √(-2 ln chance)."""
    return math.sqrt(max(-2.0 * math.log(min(chance, 1.0)), 0.0) + 1e-4)


@njit(cache=True, nogil=True, error_model="numpy")
def _kh_errors(alkalinity, o, e):  # type: ignore[no-untyped-def] # numba types it
    """KH tests of one draw: fills e, returns -log likelihood."""
    loss = 0.0
    for j in range(o.kh_low.size):
        kh = lerp(alkalinity, o.kh_at[j]) / DKH_MEQ_L
        chance = kh_chance(kh, o.kh_low[j], o.kh_high[j]) + _TINY
        loss -= math.log(chance)
        e[j] = chance_error(chance)
    return loss


@njit(cache=True, nogil=True, error_model="numpy")
def _colour_errors(i, co2, dt_h, o, t, e):  # type: ignore[no-untyped-def] # numba types it
    """Colours of draw i's drop checker, which lags the water: fills e, returns -log likelihood."""
    loss = 0.0
    if o.colour.size == 0:
        return loss
    sd = math.sqrt(COLOUR_SD**2 + (_LN10 * t.roughness[i]) ** 2)
    shift = math.log(t.checker_kh[i] / 4.0)
    shown = co2[0]
    j = 0
    last_dt = decay = ramp = 0.0
    for k in range(dt_h.size):
        if dt_h[k] != last_dt:
            last_dt = dt_h[k]
            decay, ramp = lag_factors(last_dt, t.checker_lag[i])
        after = co2[k + 1] + (shown - co2[k]) * decay + (co2[k + 1] - co2[k]) * ramp
        while j < o.colour.size and o.colour_at[j] <= k + 1:
            part = min(max(o.colour_at[j] - k, 0.0), 1.0)
            value = math.log(max(shown + part * (after - shown), 1e-3))
            chance = colour_chance(int(o.colour[j]), value, o.colour_bounds[j], shift, sd) + _TINY
            loss -= math.log(chance)
            e[j] = chance_error(chance)
            j += 1
        shown = after
    return loss


@njit(cache=True, nogil=True, error_model="numpy")
def _o2_errors(o2, o, e):  # type: ignore[no-untyped-def] # numba types it
    """Oxygen tests of one draw: fills e, returns -log likelihood."""
    loss = 0.0
    for j in range(o.o2.size):
        e[j] = (o.o2[j] - lerp(o2, o.o2_at[j])) / O2_SD
        loss += huber_loss(e[j])
    return loss


@njit(cache=True, parallel=True, nogil=True, error_model="numpy")
def _score(ph, co2, alkalinity, o2, dt_h, temperature, o, t, errors, loss):  # type: ignore[no-untyped-def] # numba types it
    glass = o.ph.size
    kh = glass + o.glass_ph.size
    colour = kh + o.kh_low.size
    oxygen = colour + o.colour.size
    for i in prange(loss.size):
        e = errors[i]
        loss[i] = (
            _ph_errors(i, ph[i], o, t, e[:glass])
            + _glass_errors(i, alkalinity[i], temperature, o, t, e[glass:kh])
            + _kh_errors(alkalinity[i], o, e[kh:colour])
            + _colour_errors(i, co2[i], dt_h, o, t, e[colour:oxygen])
            + _o2_errors(o2[i], o, e[oxygen:])
        )


def score(
    course: Course,
    dt_h: FloatArray,
    temperature_c: float,
    observations: Observations,
    traits: "tuple[FloatArray, ...]",
) -> tuple[FloatArray, FloatArray]:
    """Return (standardised errors [m, n], minus log likelihood [m]) of the readings."""
    m = course.ph.shape[0]
    errors, loss = np.zeros((m, observations.size)), np.empty(m)
    _score(course.ph, course.co2_mg_l, course.alkalinity_meq_l, course.o2_min_mg_l(), dt_h,
           temperature_c, observations, traits, errors, loss)  # fmt: skip
    return errors, loss


def weigh(
    weighings: Weighings, bubble_mg: FloatArray, rates: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return (errors [m, n], minus log likelihood [m]) of the cylinder's weights.

    Each cylinder's full mass is unknown and taken out exactly (a flat prior on it leaves the
    deviations from the mean). `rates` [m, stretches] are bubbles a second.
    """
    used_g = bubble_mg[:, None] * 1e-3 * (rates @ weighings.gas_s.T)
    full = weighings.mass_g[None, :] + used_g
    errors = np.zeros_like(full)
    for which in np.unique(weighings.cylinder):
        mine = weighings.cylinder == which
        errors[:, mine] = (full[:, mine] - full[:, mine].mean(axis=1, keepdims=True)) / SCALE_SD_G
    # A scale read wrong once shall not bend the tank: as with pH, linear beyond four widths.
    return errors, huber_losses(errors).sum(axis=1)
