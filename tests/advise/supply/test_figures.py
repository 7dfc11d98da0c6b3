"""Every figure of a supply opens, and no two share a key."""

import pytest

from leafgill.advise.supply import supply
from leafgill.advise.supply.figures import supply_figures


@pytest.fixture(scope="module")
def figures(make_world):
    world = make_world(weigh_every=14, gauge_every=14, rig={"cylinder_tare_kg": 3.6})
    return supply_figures(supply(world.tank, world.diary, world.now))


def test_they_open(figures):
    keys = [figure.key for figure in figures]
    assert len(keys) == len(set(keys)) > 20
    for figure in figures:
        assert figure.formula and figure.source and figure.label, figure.key
        assert figure.inputs, figure.key
        if figure.low is not None:
            assert figure.low <= figure.value <= figure.high, figure.key


def test_keys_end_with_their_unit(figures):
    endings = {"kg": "_kg", "g/day": "_g_per_day", "days": "days", "mg": "_mg", "%": "_percent",
               "g": "_g", "bar": "_bar", "mg/L": "_mg_l", "ppm": "_ppm", "m³": "_m3"}  # fmt: skip
    for figure in figures:
        if figure.unit in endings:
            assert figure.key.endswith(endings[figure.unit]), figure.key


def test_the_readings_behind_them_are_named_with_their_day(figures):
    (left,) = (figure for figure in figures if figure.key == "gas_left_kg")
    named = {given.name: given.origin for given in left.inputs}
    assert named["weight without regulator"] == "diary, 17 February 2025"
    assert named["cylinder gauge"].startswith("diary, ")
    assert named["empty weight"] == "tank file"
    assert named["water capacity"] == "inferred"


def test_each_source_has_its_own(figures):
    keys = {figure.key for figure in figures}
    for source in ("scale", "gauge", "bubbles"):
        assert {f"gas_left_{source}_kg", f"days_left_{source}_days"} <= keys
    assert {"room_co2_ppm", "full_at_50_c_bar"} <= keys
