"""Gas hours for a tank that has none: on early enough that the target is met at lights-on."""

from __future__ import annotations

from datetime import time

import numpy as np

from leafgill.advise.situation import Situation
from leafgill.estimate.belief import Belief
from leafgill.science.compiled import FloatArray
from leafgill.science.gases import co2_equilibrium_mg_l
from leafgill.tank.clock import DAY_S, seconds_of
from leafgill.tank.model import exchange_now_per_h
from leafgill.tank.schedule import Window

# The last tenth of the way takes as long as half of it, for next to nothing.
MET_PART = 0.9
# Never less than this before the lights, never more [h].
LEAST_LEAD_H = 0.5
MOST_LEAD_H = 4.0
# Timers are set to the quarter of an hour.
STEP_S = 900.0


def lead_time_h(
    target_mg_l: float,
    rest_mg_l: FloatArray,
    gas_mg_l_h: FloatArray,
    exchange_per_h: FloatArray,
) -> FloatArray:
    """Return how long gas has to run in the dark until CO2 rises from rest to the target [h], [m].

    From dC/dt = gas - exchange·(C - rest): CO2 runs towards rest + gas/exchange as
    1 - exp(-exchange·t). `rest_mg_l` is where it stands without gas, `gas_mg_l_h` what the gas
    brings, `exchange_per_h` that of CO2 at the tank's temperature. Infinite where it never gets
    there, 0 where it is there already.
    """
    climb = target_mg_l - rest_mg_l
    far = gas_mg_l_h / exchange_per_h
    reached = far > climb
    lead = -np.log1p(-climb / np.where(reached, far, np.inf)) / exchange_per_h
    hours: FloatArray = np.where(reached, np.maximum(lead, 0.0), np.inf)
    return hours


def gas_hours(situation: Situation) -> Window | None:
    """Return gas hours to propose: 90 % of the target met at lights-on, off with the lights.

    The median over the draws of the lead time, to a quarter of an hour, between half an hour and
    four hours. None where the light's hours are not known or it never goes off.
    """
    light = situation.light
    if light is None or light.never or light.hours >= DAY_S / 3600.0:
        return None
    lead = float(np.median(_lead(situation.belief, situation.limits.target_mg_l)))
    lead_s = round(min(max(lead, LEAST_LEAD_H), MOST_LEAD_H) * 3600.0 / STEP_S) * STEP_S
    # Gas hours may not swallow their own end.
    lead_s = min(lead_s, (DAY_S - light.hours * 3600.0) - STEP_S)
    on = int((seconds_of(light.on) - max(lead_s, 0.0)) % DAY_S)
    return Window(time(on // 3600, on % 3600 // 60), light.off)


def _lead(belief: Belief, target_mg_l: float) -> FloatArray:
    """Return the lead time of each draw [h], [m], with the gas that holds the target by day."""
    draws, temperature = belief.draws, belief.tank.temperature_c
    room = np.array([co2_equilibrium_mg_l(ppm, temperature) for ppm in draws.room_co2_ppm])
    by_day = exchange_now_per_h(draws, temperature, 0.0)
    uptake = draws.uptake_mg_l_h * target_mg_l / (draws.half_saturation_mg_l + target_mg_l)
    rest = room + draws.respiration_mg_l_h / by_day
    gas = np.maximum(by_day * (target_mg_l - rest), 0.0) + uptake
    # Extra air of the night runs until the lights go on, and so against the gas.
    night = exchange_now_per_h(draws, temperature, float(belief.problem.evidence.has_air))
    start = room + draws.respiration_mg_l_h / night
    return lead_time_h(MET_PART * target_mg_l, start, gas, night)
