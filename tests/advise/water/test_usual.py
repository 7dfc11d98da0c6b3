import pytest

from leafgill.advise.water.sources import tap_of
from leafgill.advise.water.usual import new_water, usual_change


def test_of_the_file_or_thirty_percent_a_week(make_tank):
    assert usual_change(make_tank()) == (0.3, 7.0, False, False)
    told = usual_change(make_tank(water_change={"percent": 50.0, "every_days": 10.0}))
    assert told == (0.5, 10.0, True, True)


def test_what_goes_in(make_tank):
    tap = {"kh_dkh": 10.0, "gh_dgh": 15.0, "co2_mg_l": 5.0}
    plain = make_tank(tap=tap)
    assert new_water(plain, tap_of(plain)).kh_dkh.value == 10.0
    half = make_tank(tap=tap, water_change={"tap_percent": 50.0})
    assert new_water(half, tap_of(half)).kh_dkh.value == pytest.approx(5.1, abs=0.05)
    assert new_water(half, tap_of(half), pure_part=0.0).kh_dkh.value == 10.0
    pure = new_water(half, tap_of(half), ["nitrate"], 1.0)
    assert pure.kh_dkh.value < 0.3
    assert pure.origin("nitrate").startswith("assumed")
