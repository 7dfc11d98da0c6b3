"""What acts on the tank from outside, step by step: the input of the simulation kernel."""

from typing import NamedTuple

import numpy as np

from leafgill.science.compiled import FloatArray


class Forcing(NamedTuple):
    """What is the same for every draw, on n steps between n + 1 edges.

    A step's figure is its mean. `segment` numbers the stretches of one valve setting: a draw's
    bubble rate is given a segment, not a step (`Draws.flow`).
    """

    dt_h: FloatArray  # [n] length of the step [h]
    gas: FloatArray  # [n] part of the step the solenoid is open [1]
    open_h: FloatArray  # [n] time since it opened, at the end of the open part of the step [h]
    segment: FloatArray  # [n] (integer) which column of Draws.flow is in force
    light: FloatArray  # [n] photosynthetic drive, 1 at the tank's full light [1]
    light_phase: FloatArray  # [n] part of the photoperiod gone by [1]
    air: FloatArray  # [n] part of the step extra aeration runs [1]
    temperature_c: FloatArray  # [n]
    room_cos: FloatArray  # [n] cosine of the hour of the day [1]
    room_sin: FloatArray  # [n] its sine
    change: FloatArray  # [n] part of the water changed at the start of the step [1]
    change_index: FloatArray  # [n] (integer) column of Draws.new_alkalinity_meq_l, -1 for none
    pressure_hpa: FloatArray  # [n]

    @property
    def steps(self) -> int:
        """Number of steps n."""
        return int(self.dt_h.size)


class Draws(NamedTuple):
    """One tank's unknowns, m draws of them; every field [m] but the two that say otherwise."""

    exchange_per_h: FloatArray  # surface exchange of CO2 at 20 °C [1/h]
    exchange_air_per_h: FloatArray  # what extra aeration adds [1/h]
    exchange_trend_per_day: FloatArray  # relative change of exchange a day [1/d]
    gain_mg_l: FloatArray  # CO2 dissolved in the tank per counted bubble [mg/L]
    gain_trend_per_day: FloatArray  # relative change of that a day: a diffuser clogs [1/d]
    line_lag_h: FloatArray  # dead time until the first gas reaches the diffuser [h]
    uptake_mg_l_h: FloatArray  # CO2 fixed at full light and ample CO2 [mg/L/h]
    uptake_trend_per_day: FloatArray  # relative growth of uptake a day [1/d]
    uptake_decline: FloatArray  # part of uptake lost by the end of the photoperiod [1]
    half_saturation_mg_l: FloatArray  # CO2 at which uptake is half [mg/L]
    respiration_mg_l_h: FloatArray  # CO2 given off by everything alive [mg/L/h]
    room_co2_ppm: FloatArray  # mean CO2 of the room's air [ppm]
    room_cos: FloatArray  # its daily swing, relative: cosine part [1]
    room_sin: FloatArray  # sine part [1]
    alkalinity_meq_l: FloatArray  # as a kit titrates it, less its drift since hour 0 [meq/L]
    acid_meq_l: FloatArray  # weak acid that a kit counts as alkalinity [meq/L]
    acid_pka: FloatArray
    alkalinity_trend_per_day: FloatArray  # relative drift of alkalinity a day [1/d]
    gh_dgh: FloatArray
    extra_salt_mmol_l: FloatArray
    new_co2_mg_l: FloatArray  # CO2 of the water brought by a water change [mg/L]
    photosynthetic_quotient: FloatArray  # O2 given per CO2 fixed [mol/mol]
    respiratory_quotient: FloatArray  # CO2 given per O2 used [mol/mol]
    o2_exchange: FloatArray  # exchange of O2 against CO2's by Schmidt numbers [1]
    o2_saturation: FloatArray  # saturation of O2 against that at the forcing's pressure [1]
    shelter_share: FloatArray  # part of the water behind plants and stones [1]
    mixing_per_h: FloatArray  # water exchanged between the two zones, tank volumes an hour [1/h]
    co2_start_mg_l: FloatArray  # in the open water
    co2_far_start_mg_l: FloatArray  # in the sheltered zone
    o2_start_mg_l: FloatArray  # in both
    flow: FloatArray  # [m, segments] bubbles a second while the gas is on [1/s]
    new_alkalinity_meq_l: FloatArray  # [m, changes] of the water of each water change

    @property
    def number(self) -> int:
        """Number of draws m."""
        return int(self.gain_mg_l.size)

    def take(self, rows: np.ndarray) -> "Draws":
        """Return the draws of these rows."""
        return Draws(*(np.ascontiguousarray(field[rows]) for field in self))


class Course(NamedTuple):
    """How the tank went, at the n + 1 edges, m draws. Storages and fluxes for the balance.

    `co2_mg_l`, `o2_mg_l` and `ph` are of the open water; the `_far` ones of the sheltered zone.
    """

    co2_mg_l: FloatArray  # [m, n+1]
    co2_far_mg_l: FloatArray  # [m, n+1]
    o2_mg_l: FloatArray  # [m, n+1]
    o2_far_mg_l: FloatArray  # [m, n+1]
    ph: FloatArray  # [m, n+1] of the open water
    alkalinity_meq_l: FloatArray  # [m, n+1] as a kit titrates it
    dic_mmol_l: FloatArray  # [m, 2] mean at the start and at the end
    fluxes_mmol_l: FloatArray  # [m, 5] gas in, exchange in, respiration, -uptake, water changes
    share_far: FloatArray  # [m] part of the water that is sheltered

    def co2_mean_mg_l(self) -> FloatArray:
        """CO2 of the whole water, [m, n+1]."""
        far = self.share_far[:, None]
        mean: FloatArray = (1.0 - far) * self.co2_mg_l + far * self.co2_far_mg_l
        return mean

    def o2_min_mg_l(self) -> FloatArray:
        """Oxygen of the poorer zone, [m, n+1]."""
        least: FloatArray = np.minimum(self.o2_mg_l, self.o2_far_mg_l)
        return least
