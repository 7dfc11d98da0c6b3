"""What a cylinder can do to people is said in full, with figures that are right."""

import re

import pytest

from leafgill.advise.gas_safety import TOPICS, by_topic, gas_cautions, gas_figures


def figures(*given, **more):
    return {figure.key: figure for figure in gas_figures(*given, **more)}


# What has to be said, in words of this test's own; each must be found in exactly its caution.
SAID = {
    "room": r"closed room of .* m³.*4 % .*immediately dangerous.*0\.5 %.*1\.5 %.*3 %",
    "upright": r"upright and fasten",
    "ventilate": r"ventilated.*cannot be seen or smelt.*leave at once",
    "cupboard": r"Never keep a cylinder in a closed cupboard",
    "heat": r"Never leave a cylinder in a car in the sun.* bar at 50 °C",
    "warm up": r"come to the room's temperature before",
    "leak test": r"[Ll]eak test every joint",
    "skin": r"freezes skin and eyes",
    "supplier": r"Only a supplier fills, inspects",
    "local rules": r"Local codes.*licensed practice come before",
}


def test_every_topic_is_said_once():
    said = gas_cautions(2.0, 30.0, 20.0)
    assert len(said) == len(TOPICS) == len(SAID)
    for topic, pattern in SAID.items():
        assert sum(re.search(pattern, text) is not None for text in said) == 1, topic
        assert re.search(pattern, by_topic(2.0, 30.0, 20.0)[topic])


def test_the_room_by_hand():
    # 2 kg · 543.7 L/kg at 20 °C in 30 000 L: 3.62 %, on top of 420 ppm outdoors
    ppm = figures(2.0, 30.0, 20.0)["room_co2_ppm"].value
    assert ppm == pytest.approx(420.0 + (1e6 - 420.0) * 2.0 * 543.7 / 30_000.0, rel=1e-3)
    assert "holds 3.7 % CO2" in gas_cautions(2.0, 30.0, 20.0)[0]


@pytest.mark.parametrize(
    ("charge", "room", "says"),
    [
        (0.05, 50.0, "below them"),
        (0.5, 30.0, "above the limit of a working day"),
        (1.0, 30.0, "above a limit of 15 minutes"),
        (2.27, 30.0, "above the danger line"),
        (9.07, 20.0, "convulsions, death"),
    ],
)
def test_which_limit_is_passed(charge, room, says):
    assert says in gas_cautions(charge, room, 20.0)[0]


def test_the_room_that_would_do():
    found = figures(2.0, 30.0, 20.0)
    least = found["smallest_room_m3"].value
    # in a room of that size all of it just reaches the line
    assert figures(2.0, least, 20.0)["room_co2_ppm"].value == pytest.approx(40_000.0, rel=1e-6)
    day = found["all_day_room_m3"].value
    assert figures(2.0, day, 20.0)["room_co2_ppm"].value == pytest.approx(5_000.0, rel=1e-6)


def test_a_full_cylinder_in_a_car():
    # Span & Wagner 1996: 0.68 kg/L at 50 °C 142.6 bar absolute, 0.667 138.4, 0.76 181.9
    hot = figures(2.0, 30.0, 20.0)["full_at_50_c_bar"]
    assert hot.value == pytest.approx(141.6, abs=0.2)
    assert (hot.low, hot.high) == pytest.approx((137.4, 180.9), abs=0.2)
    own = figures(2.0, 30.0, 20.0, water_l=2.67)["full_at_50_c_bar"]
    assert own.low is None
    assert own.value == pytest.approx(174.0, abs=1.0)
    assert "stands at 174 bar at 50 °C" in gas_cautions(2.0, 30.0, 20.0, water_l=2.67)[4]


def test_without_room_or_charge_it_says_what_it_took():
    said = gas_cautions(None, None, 20.0)[0]
    assert said.startswith("For each kilogram of gas that escapes into a closed room of 30 m³")
    assert "assumed; write it into the tank file" in said
    assert "assumed" not in gas_cautions(2.0, 30.0, 20.0)[0]
    origins = {
        given.name: given.origin for given in figures(None, None, 20.0)["room_co2_ppm"].inputs
    }
    assert origins["CO2"] == origins["room"] == "assumed"


def test_warmer_gas_fills_more_of_the_room():
    cold, warm = (figures(2.0, 30.0, t)["room_co2_ppm"].value for t in (10.0, 30.0))
    assert warm / cold == pytest.approx(303.15 / 283.15, rel=0.01)


def test_each_limit_comes_with_its_source():
    room = figures(2.0, 30.0, 20.0)["room_co2_ppm"]
    found = {given.value: given.origin for given in room.inputs if given.unit == "ppm"}
    assert set(found) == {5_000.0, 15_000.0, 30_000.0, 40_000.0}
    assert "NIOSH" in found[40_000.0]


@pytest.mark.parametrize("given", [(-1.0, 30.0, 20.0), (2.0, 0.0, 20.0)])
def test_what_cannot_be(given):
    with pytest.raises(ValueError, match="accepted"):
        gas_cautions(*given)
