"""How the tank goes on: two zones of water, gas, air, light and life, minute by minute.

Open water takes the bubbles and most of the air; sheltered water (behind plants and wood) takes
no bubbles and less air, and the two are stirred into each other. Carbon is counted as dissolved
carbon, oxygen as O2. Part of what the KH kit titrates may be an organic acid's anion, which
gives way as pH falls. What came and went by each way is kept, so that the balance can be closed
from outside.
"""

from typing import NamedTuple

import numba
import numpy as np

from .chemistry import CO2_G_MOL, PHS, FloatArray, co2_of_ph, ph_of_dic, profile

SUBSTEPS = 6
O2_PER_CO2_G = 31.998 / 44.0095
O2_EXCHANGE_RATIO = 1.07  # of O2's surface exchange to that of CO2, from their diffusion
O2_HALF_MG_L = 0.5  # respiration flags where oxygen runs out
PEARLING_FROM = 1.4  # times saturation: beyond it O2 also leaves as bubbles on the leaves
PEARLING_H = 2.0

# places in the state vector
DIC_OPEN, DIC_SHELTERED, O2_OPEN, O2_SHELTERED, PH_OPEN, PH_SHELTERED = range(6)
CHECKER, BUBBLING, USED_G = range(6, 9)
STATE_SIZE = 9
# places in the budget vector, per litre of tank: CO2 [mg], then O2 [mg]
GAS, AIR, UPTAKE, RESPIRATION, CHANGED, O2_AIR, O2_LIFE, O2_CHANGED = range(8)
BUDGET_SIZE = 8


class Constants(NamedTuple):
    """What does not change in a tank."""

    sheltered_share: float
    sheltered_surface: float
    mixing_h: float
    organic_pka: float
    dissolved_fall: float
    line_lag_min: float
    line_fill_min: float
    bubble_g: float
    content_g: float
    uptake_half_mg_l: float
    photosynthetic_quotient: float
    sheltered_plants: float
    checker_lag_h: float
    checker_sheltered: bool


class Course(NamedTuple):
    """Arrays over minutes that drive the tank [see weather.Weather], and the schedule's."""

    temperature_c: FloatArray
    co2_equilibrium_mg_l: FloatArray
    o2_saturation_mg_l: FloatArray
    exchange_h: FloatArray
    alkalinity_meq_l: FloatArray  # carbonate alkalinity and organic anion together
    organic_meq_l: FloatArray  # the organic acid, with and without its proton
    rate: FloatArray  # bubbles a second while the gas is open and the line is full
    gas_open_min: FloatArray  # minutes since the solenoid opened, negative while it is shut
    gain_mg_l: FloatArray
    uptake_mg_l_h: FloatArray  # light and time of day already in it
    respiration_mg_l_h: FloatArray


class Track(NamedTuple):
    """Arrays over minutes that the tank leaves behind, each at the end of its minute."""

    co2_mean: FloatArray
    co2_max: FloatArray
    o2_min: FloatArray
    ph: FloatArray
    rate: FloatArray


@numba.njit(cache=True)
def anion_share(ph: float, pka: float) -> float:
    """Share of the organic acid that has given up its proton at a pH."""
    return float(1.0 / (1.0 + 10.0 ** (pka - ph)))


@numba.njit(cache=True)
def carbonate_meq_l(alkalinity: float, organic: float, pka: float, ph: float) -> float:
    """Carbonate alkalinity [meq/L]: all alkalinity less the organic anion there is at a pH."""
    return float(alkalinity - organic * anion_share(ph, pka))


@numba.njit(cache=True)
def bubbling(c: Constants, course: Course, i: int, state: FloatArray) -> float:
    """Bubbles a second during minute i: late after the solenoid, fading with the cylinder."""
    open_min = course.gas_open_min[i]
    wanted = course.rate[i] if open_min >= c.line_lag_min else 0.0
    left = max(c.content_g - state[USED_G], 0.0) / (0.03 * c.content_g)
    wanted *= min(left, 1.0)
    state[BUBBLING] += (wanted - state[BUBBLING]) * (1.0 - np.exp(-1.0 / c.line_fill_min))
    state[USED_G] += 60.0 * state[BUBBLING] * c.bubble_g
    return float(state[BUBBLING])


@numba.njit(cache=True)
def o2_escape(exchange: float, saturation: float, o2: float) -> float:
    """O2 to the air (negative when it comes from there) [mg/L/h], pearling included."""
    pearls = PEARLING_H * max(o2 - PEARLING_FROM * saturation, 0.0)
    return O2_EXCHANGE_RATIO * exchange * (o2 - saturation) + pearls


@numba.njit(cache=True)
def advance(
    first: int,
    last: int,
    water: FloatArray,
    constants: Constants,
    course: Course,
    state: FloatArray,
    budget: FloatArray,
    track: Track,
) -> None:
    """Let minutes first..last-1 pass; `state`, `budget` and `track` are filled in place."""
    c = constants
    share = np.array([1.0 - c.sheltered_share, c.sheltered_share])
    plants = np.array([1.0, c.sheltered_plants])
    plants /= (share * plants).sum()
    surface = np.array([1.0, c.sheltered_surface])
    surface /= (share * surface).sum()
    bubbles = np.array([1.0 / share[0], 0.0])
    row, alkalinity, co2 = np.empty((2, 2, PHS.size)), np.empty(2), np.empty(2)
    step_h = 1.0 / (60.0 * SUBSTEPS)
    # the difference of the zones decays at this pace, their common mean stays
    mixed = 1.0 - np.exp(-c.mixing_h / share[0] * step_h)
    checked = 1.0 - np.exp(-step_h / c.checker_lag_h)
    for i in range(first, last):
        for z in range(2):
            alkalinity[z] = carbonate_meq_l(
                course.alkalinity_meq_l[i],
                course.organic_meq_l[i],
                c.organic_pka,
                state[PH_OPEN + z],
            )
            profile(water, course.temperature_c[i], alkalinity[z], row[z])
        rate = bubbling(c, course, i, state)
        gas = course.gain_mg_l[i] * rate * 3600.0 * max(rate, 0.05) ** (-c.dissolved_fall)
        exchange, air = course.exchange_h[i], course.co2_equilibrium_mg_l[i]
        o2_air = course.o2_saturation_mg_l[i]
        for _ in range(SUBSTEPS):
            for z in range(2):
                ph = ph_of_dic(row[z], alkalinity[z], state[DIC_OPEN + z], state[PH_OPEN + z])
                state[PH_OPEN + z], co2[z] = ph, co2_of_ph(row[z], ph)
                o2 = state[O2_OPEN + z]
                gassed = gas * bubbles[z]
                aired = exchange * surface[z] * (air - co2[z])
                eaten = course.uptake_mg_l_h[i] * plants[z] * co2[z] / (c.uptake_half_mg_l + co2[z])
                breathed = course.respiration_mg_l_h[i] * o2 / (O2_HALF_MG_L + o2)
                state[DIC_OPEN + z] += step_h * (gassed + aired + breathed - eaten) / CO2_G_MOL
                escaped = o2_escape(exchange * surface[z], o2_air, o2)
                made = O2_PER_CO2_G * (c.photosynthetic_quotient * eaten - breathed)
                state[O2_OPEN + z] += step_h * (made - escaped)
                budget[GAS] += step_h * share[z] * gassed
                budget[AIR] += step_h * share[z] * aired
                budget[UPTAKE] -= step_h * share[z] * eaten
                budget[RESPIRATION] += step_h * share[z] * breathed
                budget[O2_AIR] -= step_h * share[z] * escaped
                budget[O2_LIFE] += step_h * share[z] * made
            for o in (DIC_OPEN, O2_OPEN):
                gap = mixed * (state[o] - state[o + 1])
                state[o] -= share[1] * gap
                state[o + 1] += share[0] * gap
            hung = co2[1] if c.checker_sheltered else co2[0]
            state[CHECKER] += checked * (hung - state[CHECKER])
        for z in range(2):
            ph = ph_of_dic(row[z], alkalinity[z], state[DIC_OPEN + z], state[PH_OPEN + z])
            state[PH_OPEN + z], co2[z] = ph, co2_of_ph(row[z], ph)
        track.co2_mean[i] = (share * co2).sum()
        track.co2_max[i] = co2.max()
        track.o2_min[i] = min(state[O2_OPEN], state[O2_SHELTERED])
        track.ph[i] = state[PH_OPEN]
        track.rate[i] = rate
