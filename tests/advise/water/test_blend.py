import pytest

from leafgill.advise.water.blend import blend, part_for
from leafgill.errors import InputError


@pytest.fixture
def waters(water):
    return water(kh=10.0, gh=15.0, co2=8.0, name="tap water", nitrate=20.0), water(
        kh=0.0, gh=0.0, co2=1.0, name="pure water", nitrate=0.0
    )


def test_the_part_that_meets_a_hardness(waters):
    assert part_for(*waters, "kh_dkh", 4.0) == pytest.approx(0.6)
    assert part_for(*waters, "gh_dgh", 15.0) == 0.0
    told = blend(*waters, 50.0, kh_dkh=4.0)
    assert told.part.value == pytest.approx(0.6)
    assert (told.tap_l.value, told.pure_l.value) == pytest.approx((20.0, 30.0))
    assert told.kh.value == pytest.approx(4.0)
    assert told.gh.value == pytest.approx(6.0)
    assert told.levels[0].value == pytest.approx(8.0)
    assert told.met == "kh_dkh"


def test_a_stated_part(waters):
    told = blend(*waters, 10.0, part=0.25)
    assert told.kh.value == pytest.approx(7.5)
    assert told.met == ""
    made = told.as_make_up()
    assert made.kh_dkh.value == pytest.approx(7.5)
    assert made.levels["nitrate"].value == pytest.approx(15.0)
    assert made.origin("kh_dkh") == "mixed"


def test_a_guess_of_the_tap_stays_one(make_tank):
    from leafgill.advise.water.sources import pure_water, tap_of

    tap = tap_of(make_tank(tap={"kh_dkh": 9.0}))
    made = blend(tap, pure_water(tap), 10.0, part=0.5).as_make_up()
    assert made.origin("gh_dgh").startswith("assumed")
    assert made.origin("kh_dkh") == "mixed"


@pytest.mark.parametrize("wanted", [{"kh_dkh": 11.0}, {"gh_dgh": 16.0}])
def test_more_than_the_tap_has_takes_minerals(waters, wanted):
    with pytest.raises(InputError, match="takes minerals, not mixing"):
        blend(*waters, 10.0, **wanted)


@pytest.mark.parametrize("given", [{}, {"kh_dkh": 4.0, "part": 0.5}, {"kh_dkh": 4, "gh_dgh": 5}])
def test_one_of_the_three_is_needed(waters, given):
    with pytest.raises(InputError, match="one of a KH, a GH or a part"):
        blend(*waters, 10.0, **given)
