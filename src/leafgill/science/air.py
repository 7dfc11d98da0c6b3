"""Carbon dioxide in the air of a room: what a leak or a whole cylinder makes of it.

A well-mixed box of constant pressure. Real gas lies low and in corners before it mixes, so near a
leak, near the floor and in a closed cupboard there is more than any figure here. Concentrations in
ppm by volume (10 000 ppm = 1 %). Numbers or arrays, which broadcast; NaN stays NaN.
"""

import numpy as np

from leafgill.science.air_limits import EFFECTS_IN_AIR as EFFECTS_IN_AIR
from leafgill.science.air_limits import LIMITS as LIMITS
from leafgill.science.air_limits import AirEffect as AirEffect
from leafgill.science.air_limits import Limit as Limit
from leafgill.science.air_limits import effects_at as effects_at
from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.cylinder import gas_volume_l
from leafgill.science.refuse import inside, not_negative, positive

OUTDOOR_PPM = 420.0
ROOM_TEMPERATURE_C = 20.0
PPM = 1e6


def room_co2_ppm_after_release(
    mass_kg: Numeric, room_m3: Numeric, temperature_c: Numeric, outdoor_ppm: Numeric = OUTDOOR_PPM
) -> Same:
    """CO2 [ppm] of a closed room's air when all the gas has escaped at once and mixed.

    The volume of the gas over that of the room, on top of what the room held: the air it pushes out
    is taken to carry none of it away, which is the worst case of a mixed room (of ten kg into 20 m³
    27 %, where pushing out the mixture as it forms would leave 24 %). Never above 1 000 000.
    `outdoor_ppm` is what was in the air before. Raises ValueError for a negative mass, a room of
    0 or less, and ppm outside 0 to a million.
    """
    not_negative("a mass", "kg", mass_kg)
    positive("a room", "m³", room_m3)
    inside("CO2 of the air", "ppm", outdoor_ppm, 0.0, PPM)
    return _after_release(gas_volume_l(mass_kg, temperature_c), room_m3, outdoor_ppm)


@everyday
def _after_release(gas_l: Numeric, room_m3: Numeric, before_ppm: Numeric) -> Same:
    share = np.minimum(gas_l * 1e-3 / room_m3, 1.0)
    return before_ppm + (PPM - before_ppm) * share


def room_co2_ppm(
    leak_g_per_h: Numeric,
    room_m3: Numeric,
    air_changes_per_h: Numeric,
    hours: Numeric | None = None,
    *,
    outdoor_ppm: Numeric = OUTDOOR_PPM,
    start_ppm: Numeric | None = None,
    temperature_c: Numeric = ROOM_TEMPERATURE_C,
) -> Same:
    """CO2 [ppm] of a room with a steady leak, after `hours`, or in the end when None.

    Balance of a well-mixed box: gas G and fresh air n·V come in, as much of the mixture leaves, so
    dC/dt = (1e6·G + n·V·outdoor - (n·V + G)·C)/V, exponential towards
    (1e6·G + n·V·outdoor)/(n·V + G). `start_ppm` is what the room begins with, by default the
    outdoor air; `leak_g_per_h` 0 with a start shows how a room clears. A room without air change
    ends at a million ppm with any leak, and stays as it is without one. Raises ValueError for a
    negative leak, air change or time, a room of 0 or less, and ppm outside 0 to a million.
    """
    start = outdoor_ppm if start_ppm is None else start_ppm
    flow = _flow(leak_g_per_h, room_m3, air_changes_per_h, outdoor_ppm, start, temperature_c)
    if hours is None:
        return _end(*flow, outdoor_ppm, start)
    not_negative("a time", "h", hours)
    return _after(*flow, outdoor_ppm, start, hours)


def hours_to_limit(
    limit_ppm: Numeric,
    leak_g_per_h: Numeric,
    room_m3: Numeric,
    air_changes_per_h: Numeric,
    *,
    outdoor_ppm: Numeric = OUTDOOR_PPM,
    start_ppm: Numeric | None = None,
    temperature_c: Numeric = ROOM_TEMPERATURE_C,
) -> Same:
    """Hours until a room with a steady leak rises to `limit_ppm`; inf if it never does.

    0 where it begins at the limit or above. Inverse of `room_co2_ppm`; raises as that does.
    """
    start = outdoor_ppm if start_ppm is None else start_ppm
    flow = _flow(leak_g_per_h, room_m3, air_changes_per_h, outdoor_ppm, start, temperature_c)
    inside("a limit", "ppm", limit_ppm, 0.0, PPM)
    return _reached(*flow, outdoor_ppm, start, limit_ppm)


def _flow(
    leak_g_per_h: Numeric,
    room_m3: Numeric,
    air_changes_per_h: Numeric,
    outdoor_ppm: Numeric,
    start_ppm: Numeric,
    temperature_c: Numeric,
) -> tuple[Same, Numeric]:
    """Gas leaked in room volumes an hour, and the air changes, all checked."""
    not_negative("a leak", "g/h", leak_g_per_h)
    positive("a room", "m³", room_m3)
    not_negative("an air change", "per h", air_changes_per_h)
    inside("CO2 of the air", "ppm", outdoor_ppm, 0.0, PPM)
    inside("CO2 of the room", "ppm", start_ppm, 0.0, PPM)
    return _volumes(leak_g_per_h, gas_volume_l(1.0, temperature_c), room_m3), air_changes_per_h


@everyday
def _volumes(leak_g_per_h: Numeric, l_per_kg: Numeric, room_m3: Numeric) -> Same:
    return leak_g_per_h * 1e-6 * l_per_kg / room_m3


@everyday
def _end(gas: Numeric, changes: Numeric, outdoor: Numeric, start: Numeric) -> Same:
    rate = gas + changes
    still = rate == 0.0
    return np.where(still, start, (PPM * gas + changes * outdoor) / np.where(still, 1.0, rate))


@everyday
def _after(
    gas: Numeric, changes: Numeric, outdoor: Numeric, start: Numeric, hours: Numeric
) -> Same:
    end = _end(gas, changes, outdoor, start)
    return end + (start - end) * np.exp(-(gas + changes) * hours)


@everyday
def _reached(
    gas: Numeric, changes: Numeric, outdoor: Numeric, start: Numeric, limit: Numeric
) -> Same:
    end = _end(gas, changes, outdoor, start)
    with np.errstate(divide="ignore", invalid="ignore"):
        hours = np.log((end - start) / (end - limit)) / (gas + changes)
    never = np.where(np.isnan(end) | np.isnan(limit), np.nan, np.inf)
    return np.where(start >= limit, 0.0, np.where(end > limit, hours, never))
