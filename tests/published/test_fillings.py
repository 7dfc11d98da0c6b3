"""How full a cylinder may be: 49 CFR 173.304a and ADR P200, and what pressure that comes to."""

import pytest

from leafgill.science.cited import Mark
from leafgill.science.cylinder import FILLS, cylinder_pressure_bar, liquid_full_temperature_c


@pytest.mark.parametrize(
    ("name", "percent"),
    [("us-1800", 68.0), ("us-2000", 70.3), ("us-2265", 73.2), ("us-2400", 74.5)],
)
def test_us_filling_densities(name, percent):
    """49 CFR 173.304a(a)(2), Table 1, carbon dioxide: percent of the water's mass; seen."""
    assert FILLS[name].kg_per_l == pytest.approx(percent / 100.0, abs=1e-9)
    assert "173.304a" in FILLS[name].source.text
    assert FILLS[name].source.mark is Mark.CHECKED


@pytest.mark.parametrize(
    ("name", "fill", "test_bar"), [("eu-190", 0.68, 190), ("eu-250", 0.76, 250)]
)
def test_european_fillings(name, fill, test_bar):
    """ADR packing instruction P200, UN 1013; quoted from memory, not checked against the text.

    What can be checked is that they agree with their own test pressure: at the 65 °C that P200
    reckons with, a full cylinder of each stands within 3 % of it.
    """
    assert FILLS[name].kg_per_l == fill
    assert FILLS[name].source.mark is Mark.MEMORY
    at_65 = cylinder_pressure_bar(fill, 1.0, 65.0) - 1.01325
    assert at_65 == pytest.approx(test_bar, rel=0.03)


def test_old_german_rule():
    """1 kg to 1.34 L: Reichsgesetzblatt 1912, p. 284; seen."""
    assert FILLS["de-1.34"].kg_per_l == pytest.approx(1.0 / 1.34, abs=5e-4)


def test_german_sizes():
    """0.75 kg/L and 1 kg to 1.5 L; from memory."""
    assert FILLS["de-0.75"].kg_per_l == 0.75
    assert FILLS["de-1.5"].kg_per_l == pytest.approx(1.0 / 1.5, abs=5e-4)


def test_capsules():
    """At most 0.75 g/cm³: ADR special provision 584, as a forum on dangerous goods quotes it."""
    assert FILLS["capsule"].kg_per_l == 0.75


def test_a_us_cylinder_is_full_of_liquid_below_body_heat():
    """26.8 °C at 0.68 kg/L and 67.1 bar: CoolProp 8.0.0."""
    t = liquid_full_temperature_c(FILLS["us-1800"].kg_per_l)
    assert t == pytest.approx(26.8, abs=0.06)
    assert cylinder_pressure_bar(0.68, 1.0, t) == pytest.approx(67.1, abs=0.06)
