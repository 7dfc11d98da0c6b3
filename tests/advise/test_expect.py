from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise import instruments
from leafgill.advise.expect import close_back, expect_at, likely_colours
from leafgill.advise.forecast import Plan, look_ahead
from leafgill.advise.situation import look_around
from leafgill.science.indicator import COLOURS

BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "kh", 4.0),
    (25.0, "gas_day", "09:00-18:00"),
    (25.0, "bubble_rate", 4.0),
)


def ahead_of(belief, hours=20.0):
    now = belief.now.timestamp()
    return look_ahead(belief, Plan(), now, now + 3600.0 * hours)


def situation_of(tank, diary, belief):
    return look_around(tank, diary, belief, belief.now, (8, 22))


@pytest.fixture
def by_probe(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE, (31.0, "ph_probe", 7.0))
    return situation_of(tank, diary, make_belief(tank, diary, 51.0, count=200))


@pytest.fixture
def by_hand(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE, (31.0, "ph", 7.0))
    return situation_of(tank, diary, make_belief(tank, diary, 51.0, count=200))


def test_ph_is_what_the_instrument_shows(by_probe, make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE, (31.0, "ph_probe", 7.0))
    shift = {"probe_offset": 3.0, "probe_slope": -5.0, "hand_offset": 9.0, "bubble_mass": 2.0}
    off = make_belief(tank, diary, 51.0, count=200, shift=shift)
    at = off.now + timedelta(hours=4)
    true = ahead_of(off).at("ph", at.timestamp()).mean()
    seen = expect_at(situation_of(tank, diary, off), ahead_of(off), at)
    assert seen.instrument == "probe"
    traits = off.problem.traits(off.z)
    offset, slope = traits.offset.mean(), traits.slope.mean()
    assert slope < 0.9 and offset > 0.15 and true < 6.7
    assert seen.ph.mean == pytest.approx(7.0 + offset + slope * (true - 7.0), abs=0.02)


def test_a_hand_test_has_its_bias_and_a_wider_interval(by_hand, by_probe):
    at = by_hand.now + timedelta(hours=4)
    hand = expect_at(by_hand, ahead_of(by_hand.belief), at)
    probe = expect_at(by_probe, ahead_of(by_probe.belief), at)
    assert hand.instrument == "hand"
    assert hand.ph.high - hand.ph.low > 2 * 1.64 * 0.10
    assert hand.ph.high - hand.ph.low > (probe.ph.high - probe.ph.low) + 0.1


def test_a_probe_out_of_use_is_not_expected_to_be_read(make_tank, make_diary, make_belief):
    tank = make_tank()
    both = make_diary(*BASE, (26.0, "ph_probe", 7.0), (50.5, "ph", 7.0))
    assert instruments.instrument_of(make_belief(tank, both, 51.0, count=10)) == "hand"
    same_day = make_diary(*BASE, (50.0, "ph_probe", 7.0), (50.5, "ph", 7.0))
    assert instruments.instrument_of(make_belief(tank, same_day, 51.0, count=10)) == "probe"
    neither = make_diary(*BASE)
    assert instruments.instrument_of(make_belief(tank, neither, 51.0, count=10)) == "hand"


def test_colours_lag_and_belong_to_the_co2(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE)
    poor = make_belief(tank, diary, 51.0, shift={"bubble_mass": -2.0})
    rich = make_belief(tank, diary, 51.0, shift={"bubble_mass": 3.5})
    late = timedelta(hours=6.5)
    assert likely_colours(poor, ahead_of(poor), poor.now + late) == ("blue", "blue-green")
    dark = likely_colours(rich, ahead_of(rich), rich.now + late)
    assert "blue" not in dark and "yellow" in dark
    # At 11:00, two hours of gas: the checker still shows less than the water has.
    soon = rich.now + timedelta(minutes=10)
    early = instruments.checker_shows(
        rich,
        np.append(rich.edges_s[rich.edges_s < soon.timestamp()], soon.timestamp()),
        rich.through(
            "model_co2",
            np.append(rich.edges_s[rich.edges_s < soon.timestamp()], soon.timestamp()),
        ),
        soon.timestamp(),
    )
    assert early.mean() < 0.8 * rich.at("co2", soon).mean()
    assert COLOURS.index(likely_colours(rich, ahead_of(rich), soon)[0]) < COLOURS.index(dark[-1])


def test_colours_named_are_neighbours(by_probe):
    for hours in (0.5, 3.0, 6.0, 12.0):
        at = by_probe.now + timedelta(hours=hours)
        names = likely_colours(by_probe.belief, ahead_of(by_probe.belief), at)
        places = [COLOURS.index(name) for name in names]
        assert places == list(range(places[0], places[-1] + 1))


def test_the_reading_to_close_back_at_is_that_of_the_limit(by_probe):
    """A belief sure of all but CO2: below that reading CO2 is above the limit, above it not."""
    belief = by_probe.belief
    at = by_probe.now + timedelta(hours=6)
    ahead = ahead_of(belief)
    back = close_back(by_probe, ahead, at, "shut the gas")
    co2_max = ahead.at("co2_max", at.timestamp())
    ph = ahead.at("ph", at.timestamp())
    at_limit = np.median(ph + np.log10(co2_max / by_probe.limits.co2_mg_l))
    shown = 7.0 + 0.97 * (at_limit - 7.0)
    assert back.ph == pytest.approx(shown, abs=0.12)
    assert back.words.endswith("shut the gas") and f"{back.ph:.2f}" in back.words
    assert "yellow" in back.words


def test_a_stricter_limit_closes_back_sooner(make_tank, make_diary, make_belief):
    diary = make_diary(*BASE, (31.0, "ph_probe", 7.0))
    readings = []
    for limit in (40.0, 30.0, 20.0):
        tank = make_tank(livestock={"co2_limit_mg_l": limit})
        belief = make_belief(tank, diary, 51.0, shift={"bubble_mass": -1.0})
        at = belief.now + timedelta(hours=5)
        back = close_back(situation_of(tank, diary, belief), ahead_of(belief), at, "shut")
        readings.append(back.ph)
    assert readings == sorted(readings)
    assert readings[2] - readings[0] == pytest.approx(0.97 * np.log10(2.0), abs=0.03)


def test_a_hand_test_closes_back_on_a_step_of_its_card(by_hand):
    at = by_hand.now + timedelta(hours=5)
    back = close_back(by_hand, ahead_of(by_hand.belief), at, "shut the gas")
    assert round(10.0 * back.ph, 6) == round(10.0 * back.ph)
    assert "by the hand test" in back.words


def test_colours_above_a_level(by_probe):
    assert instruments.colours_above(by_probe.belief, 30.0) == ("yellow-green", "yellow")
    assert instruments.colours_above(by_probe.belief, 15.0)[0] == "green"
    assert instruments.colours_above(by_probe.belief, 200.0) == ("yellow",)


def test_errors_are_near_those_of_the_belief():
    """The same instruments as in the likelihood, so the same errors."""
    from leafgill.estimate import likelihood

    assert instruments.COLOUR_SD == likelihood.COLOUR_SD
    assert instruments.glass_sd is likelihood.glass_sd
    assert instruments.O2_SD == likelihood.O2_SD
    assert instruments.OUTDOOR_PPM == likelihood.OUTDOOR_PPM
