"""What a counted bubble carries, and the count that gives the gas."""

import numpy as np
import pytest

from leafgill.advise.gas_need import gas_need
from leafgill.advise.rig.counted import bubble_mg, counted
from leafgill.advise.rig.diffuse import way_of
from leafgill.advise.rig.use import use_of
from leafgill.science.bubble_counter import bubble_co2_mg, detached_volume_ul
from leafgill.science.cited import Range

GAUGE = Range(0.6, 0.3, 1.2)


def test_a_measured_tip_gives_the_bubble_of_that_tip(need):
    made = need(151.0, rig={"counter_tip_mm": 2, "counter_liquid": "glycerol"})
    mg = bubble_mg(made, Range(0.6, 0.6, 0.6))
    volume = detached_volume_ul(2.0, 20.0, liquid="glycerol")
    assert np.median(mg) == pytest.approx(bubble_co2_mg(volume.value, 0.6, 20.0), rel=0.02)
    assert np.quantile(mg, 0.05) == pytest.approx(bubble_co2_mg(volume.low, 0.6, 20.0), rel=0.03)


def test_a_tip_that_is_not_known_is_a_wider_range(need):
    known = bubble_mg(need(151.0, rig={"counter_tip_mm": 2.5}), GAUGE)
    unknown = bubble_mg(need(151.0), GAUGE)
    assert np.std(np.log(unknown)) > 1.5 * np.std(np.log(known))


def test_glycerol_and_low_pressure_make_lighter_bubbles(need):
    water = np.median(bubble_mg(need(151.0), GAUGE))
    glycerol = np.median(bubble_mg(need(151.0, rig={"counter_liquid": "glycerol"}), GAUGE))
    assert 0.6 < glycerol / water < 0.8
    low = np.median(bubble_mg(need(151.0), Range(0.05, 0.04, 0.06)))
    assert low / water == pytest.approx(1.063 / 1.613, rel=0.1)


def test_the_count_gives_the_gas(need):
    made = need(151.0, rig={"counter_tip_mm": 2, "counter_liquid": "water"})
    use = use_of(made, way_of(made, "disc"))
    found = counted(made, use, GAUGE)
    seconds = made.gas.hours * 3600.0
    mg = bubble_mg(made, GAUGE)
    expected = np.median(use.gas_g * 1e3 / mg / seconds)
    assert found.rate.value == pytest.approx(expected)
    assert found.rate.low < found.rate.value < found.rate.high


def test_counts_in_a_diary_give_the_keepers_own(learnt, need):
    made = gas_need(learnt.tank, learnt)
    found = counted(made, use_of(made, way_of(made, "disc")), GAUGE)
    assert found.own is not None
    assert found.own.source == "belief of the diary"
    bare = need(151.0)
    assert counted(bare, use_of(bare, way_of(bare, "disc")), GAUGE).own is None
