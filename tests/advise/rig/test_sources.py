"""The sources of gas side by side."""

import numpy as np
import pytest

from leafgill.advise.rig.batches import ACID_G, SUGAR_G
from leafgill.advise.rig.sources import NAMES, needs_of
from leafgill.science.generators import co2_g_per_g


def by_kind(plan):
    return {source.kind: source for source in plan.sources}


def test_all_four_are_shown_and_the_keepers_own_among_them(plan):
    made = plan(100.0, rig={"source": "acid-bicarbonate"})
    assert [source.kind for source in made.sources] == list(NAMES)
    assert made.source.kind == "acid-bicarbonate"


def test_what_cannot_be_shut_runs_all_night_and_takes_more(plan):
    found = by_kind(plan(100.0))
    assert [found[kind].at_night for kind in NAMES] == [False, False, False, True]
    assert str(found["yeast"].hours) == "00:00-24:00"
    assert found["yeast"].gas.value > 1.8 * found["cylinder"].gas.value
    night = [np.median(found[kind].cycle.at("co2", 6.0)) for kind in ("cylinder", "yeast")]
    assert night[1] > 2.0 * night[0]
    assert found["yeast"].dawn.value > found["cylinder"].dawn.value


def test_each_holds_the_aim_while_lit(plan):
    made = plan(100.0)
    for source in made.sources:
        assert np.median(source.cycle.lit_co2) == pytest.approx(made.need.target_mg_l, rel=0.02)


def test_hours_that_leave_no_night_are_the_usual_ones_for_what_can_be_shut(need):
    round_the_clock = need(100.0, rig={"source": "yeast"}, day={"gas_on": "00:00",
                                                                "gas_off": "24:00"})  # fmt: skip
    shut, always = needs_of(round_the_clock)
    assert always is round_the_clock
    assert str(shut.gas) == "09:00-17:00"
    usual = need(100.0)
    assert needs_of(usual)[0] is usual


def test_fillings_a_year_are_gas_over_what_one_gives(plan):
    found = by_kind(plan(100.0, rig={"cylinder_kg": 2}))
    cylinder = found["cylinder"]
    assert cylinder.year.value == pytest.approx(365.25 * cylinder.gas.value / 2000.0, rel=1e-3)
    assert cylinder.lasts.value == pytest.approx(2000.0 / cylinder.gas.value, rel=1e-3)


def test_acid_and_yeast_give_less_than_their_equations_and_not_much_less(plan):
    found = by_kind(plan(100.0))
    acid = co2_g_per_g("citric-sodium", "citric acid") * ACID_G
    sugar = co2_g_per_g("sucrose", "sucrose") * SUGAR_G
    for kind, theory in (("acid-bicarbonate", acid), ("yeast", sugar)):
        batch = found[kind].batch
        assert 0.7 * theory < batch.grams.low <= batch.grams.value <= batch.grams.high < theory
    amounts = {stuff.price: stuff.amount for stuff in found["acid-bicarbonate"].batch.stuff}
    # 1.312 g of NaHCO3 a gram of acid
    assert amounts["bicarbonate_kg"] / amounts["citric_acid_kg"] == pytest.approx(1.312, abs=1e-3)


def test_the_strongest_day_is_never_weaker_than_the_usual_one(plan):
    for source in plan(100.0).sources:
        assert source.worst.value >= source.peak.value - 0.05


def test_the_end_of_a_cylinder_is_worse_on_one_stage_than_on_two(plan):
    single, double = (
        by_kind(plan(100.0, rig={"regulator": kind}))["cylinder"]
        for kind in ("single-stage", "two-stage")
    )
    assert single.worst.value > double.worst.value + 2.0
    assert single.peak == double.peak


def test_many_bottles_begun_in_turn_swing_less_than_one(plan):
    one = by_kind(plan(10.0))["yeast"].batch
    many = by_kind(plan(200.0))["yeast"].batch
    assert many.at_once > 5 > one.at_once
    assert many.swing.value < one.swing.value
    assert many.swing.high < one.swing.high


def test_a_keepers_cartridge_is_counted_in(plan):
    small = by_kind(plan(20.0, rig={"source": "cartridge", "cylinder_kg": 0.016}))["cartridge"]
    usual = by_kind(plan(20.0))["cartridge"]
    assert small.batch.stuff[0].words == "16 g"
    assert usual.batch.stuff[0].words == "95 g"
    assert small.year.value > 4.0 * usual.year.value
    priced = by_kind(plan(20.0, prices={"cartridge": 1, "cartridge_g": 45}))["cartridge"]
    assert priced.batch.stuff[0].words == "45 g"
