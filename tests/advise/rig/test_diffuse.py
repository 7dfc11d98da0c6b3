"""What part of the gas each way dissolves, and what it needs."""

import numpy as np
import pytest

from leafgill.advise.rig import kinds
from leafgill.advise.rig.diffuse import depth_of, way_of
from leafgill.science.plume import plume_share


def median(way):
    return float(np.median(way.share))


def test_finer_and_longer_held_dissolves_more(need):
    made = need(151.0)
    share = {kind: median(way_of(made, kind)) for kind in ("airstone", "disc", "inline", "reactor")}
    assert share["airstone"] < share["disc"] < share["inline"] < share["reactor"]
    assert share["reactor"] > 0.98
    assert median(way_of(made, "disc", 2)) > share["disc"]


def test_every_share_is_a_part_of_the_gas(need):
    for kind in (*kinds.KINDS, "bell"):
        share = way_of(need(151.0), kind).share
        assert ((share > 0.0) & (share <= 1.0)).all(), kind


def test_the_share_is_that_of_the_plume(need):
    """A disc's median at its median bubbles, against the plume asked for it by hand."""
    made = need(30.0)
    way = way_of(made, "disc")
    flow = np.median(way.ml_min)
    assert flow < kinds.REFERENCE_ML_MIN  # so the bubbles are those of the table
    by_hand = plume_share(0.9, kinds.SPREAD, 0.35, 25.0, co2_mg_l=made.target_mg_l)
    assert median(way) == pytest.approx(by_hand, abs=0.03)


def test_more_gas_through_one_makes_larger_bubbles_and_dissolves_less(need):
    assert median(way_of(need(400.0), "disc")) < median(way_of(need(60.0), "disc")) - 0.1


def test_a_deeper_tank_dissolves_more(need):
    shallow = need(151.0, rig={"diffuser_depth_cm": 15})
    deep = need(151.0, rig={"diffuser_depth_cm": 60})
    assert median(way_of(deep, "disc")) > median(way_of(shallow, "disc")) + 0.1


def test_gas_through_each_is_what_the_hours_and_the_number_make_of_it(need):
    made = need(151.0)
    way = way_of(made, "disc", 2)
    grams = made.given_g / way.share
    ml = grams / 1.808 * 1e3  # 1.808 g/L at 25 °C
    assert way.ml_min == pytest.approx(ml / (60.0 * made.gas.hours) / 2.0, rel=2e-3)


def test_a_bell_passes_what_its_face_can(need):
    small, large = (way_of(need(litres), "bell") for litres in (20.0, 300.0))
    assert median(small) > 0.8
    assert median(large) < 0.3


def test_pressure_is_water_and_pores(need):
    way = way_of(need(151.0, rig={"diffuser_depth_cm": 40}), "disc")
    water = 0.0979 * 0.4
    # 4·72.0 mN/m over 5 µm is 0.576 bar
    assert way.pressure.value == pytest.approx(water + 0.576, abs=0.002)
    assert way.pressure.low == pytest.approx(water + 0.240, abs=0.002)
    assert way.pressure.high == pytest.approx(water + 1.152, abs=0.004)


def test_the_keepers_own_pressure_is_believed_for_the_keepers_own_diffuser(need):
    made = need(151.0, rig={"diffuser": "disc", "diffuser_bar": 0.9, "diffuser_depth_cm": 40})
    own = way_of(made, "disc").pressure
    assert own.value == pytest.approx(0.939, abs=0.001)
    assert own.low is None
    assert way_of(made, "inline").pressure.low is not None


def test_depth_is_told_or_taken_from_the_tank_or_assumed(described):
    assert depth_of(described(151.0, rig={"diffuser_depth_cm": 22})) == (0.22, "tank file")
    depth, origin = depth_of(described(60.0, tank={"height_cm": 40}))
    assert depth == pytest.approx(0.31)
    assert origin == "depth of the tank less 5 cm"
    assert depth_of(described(151.0)) == (0.35, "assumed")


def test_words(need):
    made = need(151.0)
    assert (way_of(made, "disc").one, way_of(made, "disc", 2).one) == ("a disc", "2 discs")
    assert way_of(made, "inline").one == "an inline diffuser"
