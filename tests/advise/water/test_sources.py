import pytest

from leafgill.advise.water.sources import (
    TAP_CO2,
    kit_range,
    pure_water,
    stated,
    tap_of,
    with_guesses,
)
from leafgill.science import carbonate
from leafgill.science.constants import DKH_MEQ_L


def test_what_the_file_says_of_the_tap(make_tank):
    tank = make_tank(tap={"kh_dkh": 9.0, "gh_dgh": 14.0, "co2_mg_l": 5.0, "nitrate_mg_l": 20.0})
    tap = tap_of(tank)
    assert (tap.kh_dkh.value, tap.gh_dgh.value, tap.co2_mg_l.value) == (9.0, 14.0, 5.0)
    assert tap.kh_dkh.low < 9.0 < tap.kh_dkh.high
    assert (tap.levels["nitrate"].low, tap.levels["nitrate"].high) == (15.0, 25.0)
    assert set(tap.levels) == {"nitrate"}
    assert {tap.origin(what) for what in ("kh_dkh", "gh_dgh", "co2_mg_l")} == {"tank file"}


def test_without_it_the_tanks_own_wide_and_marked(make_tank):
    tap = tap_of(make_tank(water={"kh_dkh": 5.0, "gh_dgh": 8.0}))
    assert tap.kh_dkh.value == 5.0
    assert tap.kh_dkh.high / tap.kh_dkh.low == pytest.approx(1.3**2)
    assert tap.co2_mg_l == TAP_CO2
    for what in ("kh_dkh", "gh_dgh", "co2_mg_l"):
        assert tap.origin(what).startswith("assumed")


def test_co2_from_the_taps_own_ph_and_kh(make_tank):
    tap = tap_of(make_tank(tap={"kh_dkh": 9.0, "gh_dgh": 14.0, "ph": 7.6}))
    expected = carbonate.co2_mg_l(7.6, 9.0 * DKH_MEQ_L, 25.0, gh_dgh=14.0)
    assert tap.co2_mg_l.value == pytest.approx(expected)
    assert tap.co2_mg_l.high / tap.co2_mg_l.low == pytest.approx(10**0.3, rel=0.02)
    assert "pH and KH" in tap.origin("co2_mg_l")


def test_warmth_is_the_tanks_within_a_degree_or_as_stated(make_tank):
    assert tuple(tap_of(make_tank()).temperature_c) == (25.0, 24.0, 26.0)
    told = tap_of(make_tank(), 18.0)
    assert (told.temperature_c.low, told.origin("temperature_c")) == (18.0, "given")


def test_pure_water_holds_next_to_nothing(make_tank):
    tap = tap_of(make_tank(tap={"kh_dkh": 10.0, "gh_dgh": 15.0, "nitrate_mg_l": 30.0}), 21.0)
    pure = pure_water(tap)
    assert pure.kh_dkh.high == pytest.approx(0.5)
    assert pure.levels["nitrate"].value == pytest.approx(0.6)
    assert pure.temperature_c == tap.temperature_c
    assert pure.origin("kh_dkh") == "a choice of ours, no source"


def test_what_is_stated_wins(make_tank):
    tap = stated(tap_of(make_tank()), kh_dkh=7.0, levels={"nitrate": 4.0})
    assert tap.kh_dkh.value == 7.0
    assert tap.origin("kh_dkh") == "given"
    assert tap.levels["nitrate"].low == 2.0  # a test is off by at least 2 mg/L
    assert tap.origin("gh_dgh").startswith("assumed")


def test_what_is_not_known_of_the_tap_is_guessed_and_marked(make_tank):
    tap = with_guesses(tap_of(make_tank(tap={"nitrate_mg_l": 3.0})),
                       ["nitrate", "ammonia", "dissolved solids"])  # fmt: skip
    assert tap.levels["nitrate"].value == 3.0
    assert tap.levels["ammonia"].high == 0.2
    assert tap.origin("ammonia").startswith("assumed")
    assert "dissolved solids" not in tap.levels


def test_a_test_by_colour():
    assert tuple(kit_range(20.0, 2.0)) == (20.0, 15.0, 25.0)
    assert tuple(kit_range(1.0, 2.0)) == (1.0, 0.0, 3.0)
