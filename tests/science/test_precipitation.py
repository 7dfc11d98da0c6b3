import math

import numpy as np
import pytest

from leafgill.science import precipitation as pr
from leafgill.science.cited import Mark
from leafgill.science.minerals import MINERALS, log_product
from leafgill.science.speciation import charge_of

TANK = {"Ca": 1.0, "Mg": 0.4, "Na": 1.5, "HCO3": 1.5, "Cl": 1.6, "SO4": 0.6, "H2PO4": 0.01}
PO4 = {"PO4---": -3, "CO3--": -2}


def test_number_array_and_nan():
    one = pr.saturation_indices(TANK, 7.0, 25.0)
    assert set(one) == {"calcite", "gypsum", "brushite", "hydroxyapatite"}
    assert all(type(index) is float for index in one.values())
    grid = pr.saturation_indices(TANK, np.array([[6.5], [7.0]]), np.array([20.0, math.nan, 25.0]))
    assert grid["calcite"].shape == (2, 3)
    assert grid["calcite"][1, 2] == pytest.approx(one["calcite"], abs=1e-8)
    assert np.isnan(grid["calcite"][:, 1]).all()


def test_a_solid_dissolves_to_as_much_charge_as_it_takes_up():
    for mineral in MINERALS.values():
        ions = sum(n * PO4.get(part, 0) or n * charge_of(part) for part, n in mineral.parts)
        # protons taken up on dissolving are given as a negative number
        assert ions + mineral.protons == 0, mineral.name


def test_an_index_by_hand():
    """Gypsum where ions are few: log(1e-3·1e-3) - 2·|log γ2| + 4.58, Davies at I = 0.0036."""
    index = pr.saturation_indices({"Ca": 1.0, "SO4": 1.0}, 7.0, 25.0)["gypsum"]
    strength = 0.0036
    gamma = -0.5108 * 4.0 * (math.sqrt(strength) / (1 + math.sqrt(strength)) - 0.3 * strength)
    pairs = math.log10(0.9)  # a tenth of each is CaSO4
    assert index == pytest.approx(-6.0 + 2.0 * gamma + 2.0 * pairs + 4.58, abs=0.02)


def test_lime_comes_with_ph_hardness_and_warmth():
    calcite = [pr.saturation_indices(TANK, ph, 25.0)["calcite"] for ph in (6.5, 7.5, 8.5)]
    assert calcite[1] - calcite[0] == pytest.approx(1.0, abs=0.02)
    assert calcite == sorted(calcite)
    warm = pr.saturation_indices(TANK, 7.5, 30.0)["calcite"]
    assert warm > pr.saturation_indices(TANK, 7.5, 20.0)["calcite"]


def test_phosphate_however_it_was_told_is_the_same():
    told = [{**TANK, "H2PO4": 0.004, "HPO4": 0.006}, TANK]
    first, second = (pr.saturation_indices(mix, 7.0)["brushite"] for mix in told)
    assert first == pytest.approx(second, abs=1e-9)


def test_a_bottle_of_calcium_and_phosphate_clouds_and_one_of_nitrate_and_phosphate_does_not():
    mixed = {"Ca": 100.0, "Cl": 200.0, "K": 100.0, "H2PO4": 100.0}
    assert [one.mineral for one in pr.falls_out(mixed, pr.settled_ph(mixed, 20.0), 20.0)] == [
        "brushite"
    ]
    clear = {"K": 600.0, "NO3": 500.0, "H2PO4": 100.0}
    assert pr.falls_out(clear, pr.settled_ph(clear, 20.0), 20.0) == []


def test_calcium_and_sulfate_make_gypsum():
    mixed = {"Ca": 300.0, "NO3": 600.0, "Mg": 300.0, "SO4": 300.0}
    found = pr.falls_out(mixed, 6.5, 20.0)
    assert [one.mineral for one in found] == ["gypsum"]
    assert found[0].saturation_index > found[0].comes_at
    assert found[0].words.endswith("(gypsum)")


def test_iron_and_phosphate_once_air_has_been_at_it():
    mixed = {"Fe": 5.0, "SO4": 5.0, "K": 100.0, "H2PO4": 100.0}
    assert pr.falls_out(mixed, 4.4, 20.0) == []
    rusted = pr.falls_out(mixed, 4.4, 20.0, iron_oxidised=True)
    assert rusted[0].mineral == "strengite"
    past = [one.saturation_index - one.comes_at for one in rusted]
    assert past == sorted(past, reverse=True)
    # the same iron in a chelate takes no part
    chelated = {"Na": 5.0, "Fe-EDTA": 5.0, "K": 100.0, "H2PO4": 100.0}
    assert pr.falls_out(chelated, 4.4, 20.0, iron_oxidised=True) == []


def test_magnesium_ammonium_and_phosphate_in_a_bottle_without_acid():
    mixed = {"Mg": 50.0, "SO4": 50.0, "NH4": 50.0, "Cl": 50.0, "K": 40.0, "HPO4": 20.0}
    assert "struvite" in [one.mineral for one in pr.falls_out(mixed, 8.0, 20.0)]


def test_a_tank_is_clear():
    assert pr.falls_out(TANK, 6.8, 25.0) == []


def test_a_shut_bottle_holds_its_carbon_dioxide():
    """At pH 6.35 half of the carbon is CO2, so that calcite stands about 0.3 lower."""
    alkalinity = pr.saturation_indices(TANK, 6.35)["calcite"]
    shut = pr.saturation_indices(TANK, 6.35, closed=True)["calcite"]
    assert alkalinity - shut == pytest.approx(math.log10(2.0), abs=0.03)


def test_settled_ph():
    assert pr.settled_ph({"K": 1.0, "Cl": 1.0}) == pytest.approx(7.0, abs=0.02)
    # a buffer of equal parts stands at its pK, 7.21 less what activities make of it
    assert pr.settled_ph({"K": 3.0, "H2PO4": 1.0, "HPO4": 1.0}) == pytest.approx(7.1, abs=0.06)
    assert type(pr.settled_ph({"K": 1.0, "Cl": 1.0}, 10.0)) is float
    # more anions than cations is an acid
    assert pr.settled_ph({"Cl": 100.0}) == 2.0
    assert pr.settled_ph({"K": 100.0}) == 12.0


@pytest.mark.parametrize("mineral", MINERALS.values(), ids=lambda mineral: mineral.name)
def test_products_at_25_degrees_and_their_sources(mineral):
    assert float(log_product(mineral, np.asarray(25.0))) == pytest.approx(mineral.log_k, abs=0.012)
    assert mineral.source.mark in (Mark.CHECKED, Mark.MEMORY)
    assert mineral.source.text


def test_refused():
    with pytest.raises(ValueError, match="a mix without ions"):
        pr.saturation_indices({}, 7.0)
    with pytest.raises(ValueError, match='an ion "Xe"'):
        pr.falls_out({"Xe": 1.0}, 7.0)
