"""Where gas hours could begin and end."""

from dataclasses import replace

import numpy as np
import pytest

from leafgill.advise.beside.settled_day import SettledDay
from leafgill.advise.beside.shift import (
    KEPT_PART,
    best_lead,
    best_tail,
    lead_h,
    tail_h,
    window_of,
)
from leafgill.tank.schedule import parse_window

LIGHT = parse_window("10:00-18:00")


@pytest.mark.parametrize(
    ("gas", "lead", "tail"),
    [
        ("09:00-17:30", 1.0, -0.5),
        ("10:45-18:00", -0.75, 0.0),
        ("23:30-19:00", 10.5, 1.0),
    ],
)
def test_lead_and_tail_and_back(gas, lead, tail):
    window = parse_window(gas)
    assert (lead_h(window, LIGHT), tail_h(window, LIGHT)) == (lead, tail)
    assert window_of(LIGHT, lead, tail) == window


def test_across_midnight():
    light, gas = parse_window("00:30-09:00"), parse_window("23:15-08:00")
    assert (lead_h(gas, light), tail_h(gas, light)) == (1.25, -1.0)
    assert window_of(light, 1.25, -1.0) == gas


def test_the_lead_is_the_shortest_with_nine_tenths_at_lights_on(settled, around):
    """By halving and by trying every quarter of an hour, which is the other road."""
    day = SettledDay.of(around(settled("08:00-17:00", shift={"exchange": 0.8, "bubble_mass": 1.5})))
    aim = float(np.median(day.as_it_is.lit_co2))

    def level(lead):
        return float(np.median(day.at_on(day.under(window_of(LIGHT, lead, -1.0)))))

    leads = np.arange(0.5, 4.01, 0.25)
    expected = next(float(lead) for lead in leads if level(lead) >= 0.9 * aim)
    assert best_lead(day, aim) == expected
    assert 0.5 < expected < 4.0


def test_the_lead_grows_by_two_hours_at_most_and_ends_at_four(settled, around):
    slow = {"exchange": -0.5}
    assert best_lead(SettledDay.of(around(settled("09:00-17:00", shift=slow))), 40.0) == 3.0
    assert best_lead(SettledDay.of(around(settled("07:00-17:00", shift=slow))), 40.0) == 4.0


def test_the_tail_keeps_the_level_until_an_hour_before_dark(settled, around):
    for exchange in (0.0, 1.5):
        day = SettledDay.of(around(settled(shift={"exchange": exchange, "bubble_mass": 1.5})))
        tail = best_tail(day, 3.0)
        full = day.late(day.under(window_of(LIGHT, 3.0, 0.0)))

        def part(at, day=day, full=full):
            return float(np.median(day.late(day.under(window_of(LIGHT, 3.0, at))) / full))

        assert -1.5 <= tail <= -1.0
        assert part(tail) >= KEPT_PART
        assert part(tail - 0.25) < KEPT_PART


def test_a_calm_surface_holds_its_level_longer(settled, around):
    """What is left a quarter of an hour after gas-off, an hour before dark."""
    left = []
    for by in (-1.5, 0.0, 2.0):
        day = SettledDay.of(around(settled(shift={"exchange": by, "uptake": -2.0})))
        full, less = (day.late(day.under(window_of(LIGHT, 3.0, at))) for at in (0.0, -1.75))
        left.append(float(np.median(less / full)))
        assert best_tail(day, 3.0) <= -1.0
    assert left == sorted(left, reverse=True) and left[0] > 0.8 > left[2] + 0.2


def test_no_settled_day_where_hours_are_unknown_or_without_end(settled, around):
    situation = around(settled())
    assert SettledDay.of(situation) is not None
    for hours in (None, parse_window("off"), parse_window("00:00-24:00")):
        assert SettledDay.of(replace(situation, gas=hours)) is None
        assert SettledDay.of(replace(situation, light=hours)) is None


def test_an_hour_of_gas_is_what_the_bubbles_weigh(settled, around):
    told = settled()
    belief = told[2]
    day = SettledDay.of(around(told))
    rate = belief.problem.rates(belief.z, bent=False)[:, -1]
    grams = belief.problem.value(belief.z, "bubble_mass") * 1e-3 * rate * 3600.0
    assert day.gas_g_h == pytest.approx(grams)
    # four bubbles a second of some tenths of a milligram
    assert 0.5 < grams.mean() < 10.0
