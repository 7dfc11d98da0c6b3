"""A tank in figures and its days: what the tests of the model share."""

from datetime import time

import numpy as np
import pytest

from leafgill.tank.forcing import Draws
from leafgill.tank.timeline import Timeline
from leafgill.tank.window import Window

# One zone, no trends, no acid: each test changes what it is about.
ORDINARY = {
    "exchange_per_h": 0.12,
    "exchange_air_per_h": 0.6,
    "exchange_trend_per_day": 0.0,
    "gain_mg_l": 1.1e-3,
    "gain_trend_per_day": 0.0,
    "line_lag_h": 0.0,
    "uptake_mg_l_h": 1.5,
    "uptake_trend_per_day": 0.0,
    "uptake_decline": 0.3,
    "half_saturation_mg_l": 6.0,
    "respiration_mg_l_h": 0.4,
    "room_co2_ppm": 700.0,
    "room_cos": -0.15,
    "room_sin": 0.1,
    "alkalinity_meq_l": 1.4,
    "acid_meq_l": 0.0,
    "acid_pka": 5.0,
    "alkalinity_trend_per_day": 0.0,
    "gh_dgh": 6.0,
    "extra_salt_mmol_l": 0.5,
    "new_co2_mg_l": 2.0,
    "photosynthetic_quotient": 1.2,
    "respiratory_quotient": 0.9,
    "o2_exchange": 1.0,
    "o2_saturation": 1.0,
    "shelter_share": 0.0,
    "mixing_per_h": 2.0,
    "co2_start_mg_l": 4.0,
    "co2_far_start_mg_l": 4.0,
    "o2_start_mg_l": 7.5,
}


@pytest.fixture(scope="session")
def draws():
    """Return a maker of draws: the ordinary tank, with these fields otherwise."""

    def make(*, flow=1.0, new_alkalinity=1.0, **other):
        assert not other.keys() - ORDINARY.keys()
        fields = ORDINARY | other
        flow = np.atleast_2d(np.asarray(flow, dtype=float))
        new = np.atleast_2d(np.asarray(new_alkalinity, dtype=float))
        m = max(flow.shape[0], *(np.size(value) for value in fields.values()))
        return Draws(
            **{name: np.full(m, value, dtype=float) for name, value in fields.items()},
            flow=np.ascontiguousarray(np.broadcast_to(flow, (m, flow.shape[1]))),
            new_alkalinity_meq_l=np.ascontiguousarray(np.broadcast_to(new, (m, new.shape[1]))),
        )

    return make


@pytest.fixture(scope="session")
def days():
    """Return a maker of forcing: days of gas 08-16 and light 09-18, on even steps."""

    def make(length_days, step_min, **other):
        plan = {
            "timezone": "UTC",
            "gas": ((0.0, Window(time(8), time(16))),),
            "light": ((0.0, Window(time(9), time(18))),),
            "air": ((0.0, None),),
            "setting_s": (0.0,),
            "temperature": ((0.0, 25.0),),
        }
        edges = np.arange(round(length_days * 1440 / step_min) + 1) * 60.0 * step_min
        return Timeline(**(plan | other)).forcing(edges)

    return make
