"""The table of cylinders."""

import pytest

from leafgill.advise.rig.sizes import SIZES, like, smaller_first
from leafgill.science.cited import Mark


def test_sizes_rise_and_each_has_a_name_of_its_own():
    assert smaller_first(SIZES) == SIZES
    assert len({size.key for size in SIZES}) == len(SIZES) == 10
    assert [round(size.charge_kg, 2) for size in SIZES] == [
        0.5, 1.13, 2.0, 2.27, 4.54, 5.0, 6.0, 6.8, 9.07, 10.0,
    ]  # fmt: skip


def test_each_says_how_far_it_was_checked():
    """Only the 20 lb cylinder's tare was read in a maker's text; the rest is from memory."""
    checked = [size.name for size in SIZES if size.source.mark is Mark.CHECKED]
    assert checked == ["20 lb aluminium"]
    assert all(size.source.mark is Mark.MEMORY for size in SIZES if size.name not in checked)


def test_capacities_follow_from_the_filling():
    by_key = {size.key: size for size in SIZES}
    assert by_key["20lb"].water_l == pytest.approx(13.34, abs=0.01)
    assert by_key["2kg"].water_l == pytest.approx(2.67, abs=0.01)


def test_metal_is_as_heavy_as_metal_is():
    """Empty cylinders weigh 1.2 to 3.6 times their charge, aluminium less than steel."""
    for size in SIZES:
        part = size.tare_kg.value / size.charge_kg
        assert 1.2 < part < 3.6, size.name
        assert size.tare_kg.low <= size.tare_kg.value <= size.tare_kg.high


def test_a_cylinder_is_large_enough_for_what_it_holds():
    """A cylinder's outside holds more than its water, and not three times as much."""
    for size in SIZES:
        body_cm = size.height_cm.value - 8.0
        outside_l = 3.1416 / 4.0 * size.diameter_cm.value**2 * body_cm * 1e-3
        assert 1.1 < outside_l / size.water_l < 2.9, size.name


def test_the_size_most_like():
    assert like(2.1).key == "2kg"
    assert like(2.2).key == "5lb"
    assert like(0.1).key == "0_5kg"
    assert like(50.0).key == "10kg"
