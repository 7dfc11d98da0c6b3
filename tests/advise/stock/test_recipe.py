import pytest

from leafgill.advise.stock.brings import species_mg
from leafgill.advise.stock.recipe import bottle_for, grams_a_dose
from leafgill.advise.stock.wants import want_of
from leafgill.errors import InputError


def wants(*lines):
    return [want_of(line) for line in lines]


def test_a_dose_brings_each_nutrient_as_wished():
    chosen = wants("nitrate 5", "phosphate 0.5", "potassium 8", "iron 0.1", "magnesium 1")
    bottle = bottle_for(chosen, 120.0, 500.0, 8.0)
    brought = species_mg(bottle, 8.0)
    for want in chosen:
        assert brought[want.nutrient] / 120.0 == pytest.approx(want.raise_mg_l, rel=1e-6)
    assert bottle.volume_ml == 500.0


def test_potassium_of_the_nitrate_counts():
    alone = grams_a_dose(wants("potassium 8"), 100.0)
    beside = grams_a_dose(wants("potassium 8", "nitrate 5"), 100.0)
    assert alone["K2SO4"] == pytest.approx(8.0 * 100.0 * 1e-3 * 174.253 / (2 * 39.098), rel=1e-4)
    # 5 mg/L of nitrate bring 5·39.098/62.004 of potassium
    left = 8.0 - 5.0 * 39.098 / 62.004
    assert beside["K2SO4"] == pytest.approx(alone["K2SO4"] * left / 8.0, rel=1e-4)


def test_grams_go_with_the_bottle_and_against_the_dose():
    chosen = wants("nitrate 5")
    usual = dict(bottle_for(chosen, 100.0, 500.0, 10.0).salts_g)
    assert dict(bottle_for(chosen, 100.0, 1000.0, 10.0).salts_g)["KNO3"] == pytest.approx(
        2.0 * usual["KNO3"]
    )
    assert dict(bottle_for(chosen, 100.0, 500.0, 5.0).salts_g)["KNO3"] == pytest.approx(
        2.0 * usual["KNO3"]
    )


def test_what_a_salt_brings_beside_is_refused_where_it_is_too_much():
    with pytest.raises(InputError, match=r"KNO3 for 5 mg/L of nitrate already brings 3.15 mg/L of "
                       r"potassium, more than the 2 wished for"):  # fmt: skip
        grams_a_dose(wants("nitrate 5", "potassium 2"), 100.0)


def test_two_wishes_for_one_salt_that_do_not_go_together_are_refused():
    with pytest.raises(InputError, match=r"KNO3 cannot bring nitrate 5, potassium 9 together"):
        grams_a_dose(wants("nitrate 5 KNO3", "potassium 9 KNO3"), 100.0)


def test_nothing_and_twice_the_same_are_refused():
    with pytest.raises(InputError, match="at least one nutrient"):
        grams_a_dose([], 100.0)
    with pytest.raises(InputError, match="nitrate is wished for twice"):
        grams_a_dose(wants("nitrate 5", "nitrate 6"), 100.0)


def test_a_dose_is_not_more_than_the_bottle():
    with pytest.raises(InputError, match="a dose of 20 mL is more than the bottle's 10 mL"):
        bottle_for(wants("nitrate 5"), 100.0, 10.0, 20.0)
