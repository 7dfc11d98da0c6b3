import pytest

from leafgill.advise.stock.brings import brings, hardness, species_mg, told_species
from leafgill.tank.bottle import Bottle, bottle_of
from leafgill.tank.spec import Tank


def test_each_species_in_mg_per_litre_of_the_tank(make_tank):
    bottle = bottle_of("a: 500 mL, KNO3 50 g, K2SO4 10 g")
    found = {one.key: one for one in brings(make_tank(), bottle, 10.0)}
    # 1 g of KNO3 and 0.2 g of K2SO4 in 100 L
    assert found["dose_nitrate_mg_l"].value == pytest.approx(10.0 * 62.004 / 101.102, rel=1e-4)
    assert found["dose_potassium_mg_l"].value == pytest.approx(
        10.0 * 39.098 / 101.102 + 2.0 * 2 * 39.098 / 174.253, rel=1e-4
    )
    assert found["dose_sulfate_mg_l"].value == pytest.approx(2.0 * 96.06 / 174.253, rel=1e-3)
    assert "dose_nitrogen_mg_l" not in found  # it is in nitrate already
    first = next(iter(found.values()))
    assert first.value == max(one.value for one in found.values())
    assert "KNO3" in first.inputs[1].name


def test_the_interval_is_what_volume_and_measuring_leave_open(make_tank):
    bottle = bottle_of("a: 500 mL, KNO3 50 g")
    known = brings(make_tank(), bottle, 10.0)[0]
    assert known.low / known.value == pytest.approx(1.0 / (1.0 + (0.08**2 + 0.03**2) ** 0.5))
    assert known.high > known.value


def test_a_tank_known_by_its_glass_is_less_sure(make_tank):
    glass = Tank.from_mapping(
        {"tank": {"name": "G", "length_cm": 80, "width_cm": 35, "height_cm": 40}}
    )
    bottle = bottle_of("a: 500 mL, KNO3 50 g")
    sure, less = brings(make_tank(), bottle, 10.0)[0], brings(glass, bottle, 10.0)[0]
    assert less.high / less.value > sure.high / sure.value
    assert less.inputs[-1].origin == "the glass less 10 %"


def test_a_label_is_taken_as_it_says():
    assert species_mg(bottle_of("iron: iron 5 g/L, manganese 0.4 g/L"), 2.0) == {
        "iron": 10.0, "manganese": 0.8,
    }  # fmt: skip


def test_an_element_is_told_only_where_no_kits_name_has_it():
    urea = species_mg(Bottle("u", 500.0, (("urea", 10.0),)), 10.0)
    assert told_species(urea) == ["urea"]
    borax = species_mg(Bottle("b", 500.0, (("H3BO3", 1.0),)), 10.0)
    assert told_species(borax) == ["boron"]
    assert told_species({"nitrogen": 1.0}) == ["nitrogen"]


def test_hardness_of_a_dose(make_tank):
    tank = make_tank()
    bottle = bottle_of("minerals: 1000 mL, CaCl2.2H2O 26.215 g, KHCO3 35.706 g")
    gh, kh = hardness(tank, bottle, 100.0)
    # 26.215 g of CaCl2.2H2O and 35.706 g of KHCO3 make 1 degree of each in 1000 L
    assert (gh.key, kh.key) == ("dose_gh_dgh", "dose_kh_dkh")
    assert gh.value == pytest.approx(1.0, rel=2e-3)
    assert kh.value == pytest.approx(1.0, rel=2e-3)
    assert hardness(tank, bottle_of("a: 500 mL, KNO3 50 g"), 10.0) == ()
