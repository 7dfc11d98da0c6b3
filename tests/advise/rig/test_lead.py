"""How long before the lights the gas goes on."""

import math

import numpy as np
import pytest

from leafgill.advise.gas_need import gas_need
from leafgill.advise.rig.lead import lead_of
from leafgill.diary import Diary
from leafgill.tank.model import exchange_now_per_h


@pytest.fixture(scope="module")
def narrow(make_tank, make_belief):
    def make(shift=None, **day):
        tank = make_tank(day=day) if day else make_tank()
        belief = make_belief(tank, Diary().localised("UTC"), 4.0, width=0.0, count=2, shift=shift)
        return gas_need(tank, belief)

    return make


def test_it_is_the_time_the_surface_takes(narrow):
    """In the dark CO2 rises as 1 - exp(-k·t) from where it stands, once the hose is past."""
    need = narrow({"shelter_share": -6.0, "room_cos": -0.1 / 0.35, "room_sin": 0.1 / 0.35})
    k = float(exchange_now_per_h(need.belief.draws, 25.0, 0.0)[0])
    half = float(need.belief.draws.half_saturation_mg_l[0])
    part = 0.9 * 24.0 / (half + 24.0)
    fed = half * part / (1.0 - part)
    cycle = need.cycle
    start = float(np.interp(9.0, cycle.hours, cycle.co2[0]))
    per_h = float(cycle.given[0] / (need.gas.hours - need.belief.draws.line_lag_h[0]))
    breath = float(need.belief.draws.respiration_mg_l_h[0])
    rest = 1.0
    plateau = rest + (per_h + breath) / k
    expected = math.log((plateau - start) / (plateau - fed)) / k
    lag = float(need.belief.draws.line_lag_h[0])
    assert lead_of(need).fed.value == pytest.approx(expected + lag, abs=0.2)


def test_a_livelier_surface_answers_sooner(narrow):
    slow, quick = (lead_of(narrow({"exchange": shift})).fed.value for shift in (-1.0, 1.0))
    assert quick < slow


def test_full_comes_after_fed_and_what_is_advised_is_a_quarter_of_an_hour(need):
    lead = lead_of(need(151.0))
    assert lead.fed.value < lead.full.value
    assert lead.advised_h % 0.25 == 0.0
    assert abs(lead.advised_h - lead.fed.value) <= 0.125 + 1e-9 or lead.advised_h == 0.25


def test_gas_that_begins_after_midnight_is_met(narrow):
    lead = lead_of(narrow(lights_on="02:00", lights_off="10:00"))
    usual = lead_of(narrow())
    assert lead.fed.value == pytest.approx(usual.fed.value, abs=0.35)
