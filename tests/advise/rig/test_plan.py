"""The whole rig: every number a figure, every output with its cautions."""

import math

import pytest

from leafgill.advise.gas_safety import gas_cautions
from leafgill.advise.rig.closed import closed_figure, relief_caution

TANKS = {
    "plain": {},
    "cartridge": {"rig": {"source": "cartridge", "cylinder_kg": 0.095}},
    "acid": {"rig": {"source": "acid-bicarbonate"}},
    "yeast": {"rig": {"source": "yeast", "diffuser": "bell"}},
    "full": {
        "rig": {"cylinder_kg": 2, "cylinder_water_l": 2.67, "hose": "silicone", "diffuser": "disc",
                "regulator": "single-stage", "working_pressure_bar": 1.5},
        "room": {"volume_m3": 20},
        "prices": {"regulator": 50},
    },
}  # fmt: skip


@pytest.mark.parametrize("name", TANKS)
def test_every_figure_opens(plan, name):
    figures = plan(80.0, **TANKS[name]).figures
    assert len(figures) > 80
    keys = [figure.key for figure in figures]
    assert len(set(keys)) == len(keys)
    for figure in figures:
        assert figure.formula, figure.key
        assert figure.source, figure.key
        assert math.isfinite(figure.value), figure.key
        if figure.low is not None:
            assert figure.low <= figure.value <= figure.high, figure.key
        for given in figure.inputs:
            assert given.name, figure.key
            assert given.origin, (figure.key, given.name)


@pytest.mark.parametrize("name", TANKS)
def test_cautions_are_those_of_the_cylinder_it_sizes_and_of_vessels_that_make_gas(plan, name):
    made = plan(80.0, **TANKS[name])
    room = made.tank.room.volume_m3
    water = made.tank.rig.cylinder_water_l if made.choice.size.own else None
    safety = gas_cautions(made.choice.size.charge_kg, room, 20.0, water_l=water)
    assert made.cautions == (*safety, relief_caution())
    keys = {figure.key for figure in made.figures}
    assert {"room_co2_ppm", "smallest_room_m3", "closed_vessel_bar"} <= keys


def test_a_target_asked_for_wins_and_is_held_to_the_limit(plan):
    assert plan(80.0, aim=12.0).need.target_mg_l == 12.0
    assert plan(80.0, aim=12.0).use.gas.value < plan(80.0).use.gas.value
    high = plan(80.0, aim=50.0)
    assert high.need.target_mg_l == high.limits.co2_mg_l == 30.0
    assert any("is held to it" in line for line in high.doubts)
    assert any("passes the animals' limit" in line for line in high.doubts)


def test_a_diffuser_that_cannot_open_is_told(plan):
    made = plan(80.0, rig={"diffuser": "disc", "working_pressure_bar": 0.3})
    assert any("no gas may come" in line for line in made.doubts)


def test_around_the_clock_there_is_no_lead(plan):
    made = plan(80.0, rig={"source": "yeast"}, day={"gas_on": "00:00", "gas_off": "24:00"})
    assert made.lead is None
    assert plan(80.0).lead is not None


def test_what_is_assumed_is_told(plan):
    doubts = plan(80.0).doubts
    assert "no hours of gas are written; taken as 09:00-17:00" in doubts


def test_the_end_is_that_of_what_runs_empty_here(plan):
    assert plan(80.0, **TANKS["cartridge"]).vessel.name == "a cartridge of 95 g"
    assert plan(80.0, **TANKS["full"]).vessel == ("your 2 kg cylinder", 2.0, 2.67)
    found = plan(80.0)
    assert found.vessel.name == f"a {found.choice.size.short} cylinder"
    assert found.vessel.charge_kg == found.choice.size.charge_kg


def test_a_closed_vessel_is_no_toy():
    """130 g of CO2 in 1.4 L of gas and 0.6 L of water, by hand and by Henry's law."""
    bar = closed_figure().value
    held = 1.4 * 44.01 / (0.083145 * 298.15) + 0.6 * 1.475
    assert bar == pytest.approx(137.4 / held, rel=0.02)
    assert f"about {bar:.0f} bar" in relief_caution()
    assert "must always have a way out" in relief_caution()
