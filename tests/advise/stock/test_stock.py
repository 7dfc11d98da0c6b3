import pytest

from leafgill.advise.stock.stock import keeps_too_long, stock_for, stock_of
from leafgill.advise.stock.wants import want_of
from leafgill.errors import InputError
from leafgill.tank.bottle import bottle_of


def wants(*lines):
    return [want_of(line) for line in lines]


def test_a_bottle_for_wishes(make_tank):
    told = stock_for(make_tank(), wants("nitrate 5", "phosphate 0.5"), dose_ml=5.0, per_week=3.5)
    assert told.bottle.volume_ml == 500.0
    assert told.doses.value == 100.0
    assert told.lasts.value == pytest.approx(100.0 / 3.5)
    assert told.keeps
    assert told.harmless
    assert told.least_dose is None
    assert {one.label for one in told.grams} == {"KNO3", "KH2PO4"}
    assert {given.origin for given in told.grams[0].inputs} >= {"wished for"}


def test_too_strong_a_bottle_tells_the_dose_that_keeps(make_tank):
    chosen = wants("potassium 20 K2SO4")
    strong = stock_for(make_tank(), chosen, dose_ml=5.0)
    assert not strong.keeps
    assert strong.least_dose.value > 5.0
    weak = stock_for(make_tank(), chosen, dose_ml=1.0001 * strong.least_dose.value)
    assert weak.keeps
    assert weak.least_dose is None


def test_what_falls_out_or_harms_is_no_bottle_to_keep(make_tank):
    lime = stock_of(make_tank(), bottle_of("a: 500 mL, CaCl2.2H2O 40 g, K2SO4 20 g"))
    assert not lime.keeps
    assert lime.harmless
    copper = stock_of(make_tank(), bottle_of("a: 500 mL, CuSO4.5H2O 5 g"))
    assert copper.keeps
    assert not copper.harmless


def test_a_bottle_that_outlasts_itself(make_tank):
    usual = stock_for(make_tank(), wants("nitrate 5"))
    assert not keeps_too_long(usual)
    rare = stock_for(make_tank(), wants("nitrate 5"), per_week=1.0, bottle_ml=1000.0)
    assert keeps_too_long(rare)


def test_a_label_has_neither_grams_nor_doses(make_tank):
    told = stock_of(make_tank(), bottle_of("iron: iron 5 g/L"), dose_ml=2.0)
    assert told.grams == ()
    assert told.doses is None
    assert told.lasts is None
    assert told.brings[0].value == pytest.approx(0.1)


def test_every_figure_has_its_own_key(make_tank):
    told = stock_of(
        make_tank(), bottle_of("a: 500 mL, CaCl2.2H2O 40 g, K2SO4 20 g, CuSO4.5H2O 1 g, urea 5 g")
    )
    keys = [one.key for one in told.figures]
    assert len(keys) == len(set(keys))
    assert all(one.source and one.formula for one in told.figures)


def test_a_dose_of_more_than_the_bottle_is_refused(make_tank):
    with pytest.raises(InputError, match="more than the bottle's 50 mL"):
        stock_of(make_tank(), bottle_of("a: 50 mL, KNO3 5 g"), dose_ml=60.0)


def test_the_cautions_speak_of_label_children_and_poison(make_tank):
    words = " ".join(stock_for(make_tank(), wants("nitrate 5")).cautions)
    for word in ("Label", "children", "poisonous", "goggles", "scale"):
        assert word in words
