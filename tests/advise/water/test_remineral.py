import pytest

from leafgill.advise.water.mineral_water import ions_mmol_l
from leafgill.advise.water.minerals import Wish
from leafgill.advise.water.remineral import remineralise
from leafgill.errors import InputError
from leafgill.science.salts import SALTS


@pytest.fixture
def pure(water):
    return water(kh=0.0, gh=0.0, co2=1.0, name="pure water")


def test_grams_for_so_many_litres(pure):
    told = remineralise(pure, Wish(4.0, 6.0), 40.0)
    grams = {one.label: one.value for one in told.grams}
    assert grams["KHCO3"] == pytest.approx(40.0 * 4.0 * 0.035706, rel=1e-3)
    assert told.kh.value == pytest.approx(4.0, abs=0.01)
    assert told.gh.value == pytest.approx(6.0, abs=0.01)
    assert told.salts == ("CaCl2.2H2O", "MgSO4.7H2O", "KHCO3")
    assert told.notes == ()


def test_scale_and_bucket_leave_something_open(pure):
    fine = remineralise(pure, Wish(4.0, 6.0), 40.0, scale_g=0.01)
    coarse = remineralise(pure, Wish(4.0, 6.0), 40.0, scale_g=1.0)
    assert fine.kh.low == pytest.approx(4.0 * 0.97, rel=0.01)
    assert coarse.kh.high - coarse.kh.low > 2.0 * (fine.kh.high - fine.kh.low)


def test_what_is_too_little_to_weigh_and_what_hardly_dissolves_is_noted(pure):
    small = remineralise(pure, Wish(1.0, 1.0), 1.0, scale_g=0.1)
    assert any("twenty steps of the scale" in note for note in small.notes)
    slow = remineralise(pure, Wish(4.0, 6.0), 40.0, ("CaSO4.2H2O", "CaCO3", "MgSO4.7H2O", "KHCO3"))
    assert any("gypsum dissolves slowly" in note for note in slow.notes)
    assert any("hardly dissolves without CO2" in note for note in slow.notes)


def test_names_and_formulas_are_salts_and_twice_is_once(pure):
    told = remineralise(
        pure, Wish(4.0, 6.0), 10.0, ("calcium chloride flakes", "Epsom salt", "khco3", "KHCO3")
    )
    assert told.salts == ("CaCl2.2H2O", "MgSO4.7H2O", "KHCO3")
    with pytest.raises(ValueError, match="a salt"):
        remineralise(pure, Wish(4.0, 6.0), 10.0, ("unobtainium",))


def test_what_the_water_holds_is_what_was_weighed(pure):
    told = remineralise(pure, Wish(4.0, 6.0), 10.0)
    held = {one.label: one.value for one in told.holds}
    grams = {one.label: one.value for one in told.grams}
    for ion, salt in (("Calcium", "CaCl2.2H2O"), ("Potassium", "KHCO3"), ("Sulfate", "MgSO4.7H2O")):
        assert held[ion] == pytest.approx(1e3 * grams[salt] / 10.0 * SALTS[salt].gives[ion.lower()])


def test_charges_balance(water):
    base = water(kh=3.0, gh=5.0)
    ions = ions_mmol_l({"KHCO3": 0.05, "MgSO4.7H2O": 0.1}, base)
    charge = {"K": 1, "Na": 1, "Ca": 2, "Mg": 2, "HCO3": -1, "Cl": -1, "SO4": -2}
    assert sum(charge[ion] * amount for ion, amount in ions.items()) == pytest.approx(0.0, abs=1e-9)
    soft = ions_mmol_l({}, water(kh=6.0, gh=2.0))  # more carbonate than hardness: sodium
    assert soft["Na"] > 0.0
    assert "Cl" not in soft


def test_state_of_the_ready_water(pure):
    told = {one.key: one for one in remineralise(pure, Wish(4.0, 6.0), 40.0).state}
    # 1.43 meq/L of KHCO3 and 2.14 meq/L of CaCl2 and MgSO4: about 110 µS/cm a meq/L
    assert 330.0 < told["ready_us_cm"].value < 460.0
    assert told["rest_ph"].value == pytest.approx(8.1, abs=0.15)
    assert told["rest_ph"].low < told["rest_ph"].value < told["rest_ph"].high
    assert -0.4 < told["lime_index"].value < 0.4
    hard = {one.key: one for one in remineralise(pure, Wish(12.0, 20.0), 40.0).state}
    assert hard["lime_index"].value > told["lime_index"].value + 0.7


def test_ready_water_needs_nothing(water):
    told = remineralise(water(kh=4.0, gh=6.0), Wish(4.0, 6.0), 10.0)
    assert told.grams == ()
    assert told.kh.value == pytest.approx(4.0)


def test_harder_than_wished_is_refused(water):
    with pytest.raises(InputError, match="begin with softer water"):
        remineralise(water(kh=8.0), Wish(4.0, 6.0), 10.0)
