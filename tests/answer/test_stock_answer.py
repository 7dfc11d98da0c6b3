import pytest

from leafgill.advise.stock.settling import between
from leafgill.advise.stock.stock import stock_for, stock_of
from leafgill.advise.stock.wants import want_of
from leafgill.answer import stock_said as said
from leafgill.answer.stock_json import as_json
from leafgill.tank.bottle import bottle_of
from leafgill.tank.spec import Tank


@pytest.fixture
def tank():
    return Tank.from_mapping(
        {
            "tank": {"name": "Invented", "volume_l": 100.0},
            "water": {"kh_dkh": 4.0, "gh_dgh": 6.0},
        }
    )


def stock(tank, line, **options):
    return stock_of(tank, bottle_of(line), **options)


def test_a_good_bottle(tank):
    wants = [want_of("nitrate 5"), want_of("phosphate 0.5")]
    told = stock_for(tank, wants)
    assert said.title(told) == "stock of 500 mL, 10 mL a dose; Invented, 100 L"
    assert said.headline(told) == "This bottle keeps, and does no harm in such doses"
    assert said.to_weigh(told) == [
        ("KNO3", "40.76 g", "potassium nitrate"),
        ("KH2PO4", "3.58 g", "potassium dihydrogen phosphate"),
    ]
    assert ("nitrate", "5, 4.6 to 5.5") in said.a_dose(told)
    assert said.how_often(told) == ["50 doses; at 7 a week the bottle lasts 7.1 weeks."]
    assert said.animals(told) == []
    assert said.settling(told) == []


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("a: 500 mL, CuSO4.5H2O 5 g", "Do not dose this: copper would pass what the animals stand"),
        ("a: 500 mL, K2SO4 120 g", "This does not all dissolve: take larger doses"),
        ("a: 500 mL, CaCl2.2H2O 40 g, K2SO4 20 g", "Something falls out in this bottle"),
        ("a: 500 mL, K2SO4 48 g", "This may not all dissolve on a cold day"),
        ("iron: iron 5 g/L", "Known by its label"),
    ],
)
def test_the_worst_comes_first(tank, line, words):
    assert said.headline(stock(tank, line)).startswith(words)


def test_the_larger_bottle_that_keeps_is_told(tank):
    told = stock(tank, "a: 500 mL, K2SO4 120 g")
    line = said.about_dissolving(told)[-1]
    assert line.startswith("The same grams in 1")
    again = stock(tank, "a: 1310 mL, K2SO4 120 g", dose_ml=10.0 * 1310.0 / 500.0)
    assert again.keeps == (told.least_dose.value <= 10.0 * 1310.0 / 500.0)
    assert again.brings[0].value == pytest.approx(told.brings[0].value)


def test_what_falls_out_is_told_with_its_index(tank):
    (line,) = said.settling(stock(tank, "a: 500 mL, CaCl2.2H2O 40 g, K2SO4 20 g"))
    assert line.startswith("Calcium sulfate (gypsum): it falls out; keep calcium and sulfates")
    assert "(saturation index 1." in line
    (rule,) = said.settling(stock(tank, "a: 500 mL, Fe-gluconate 5 g, KH2PO4 5 g"))
    assert "saturation index" not in rule


def test_limits_are_told_with_their_sources(tank):
    lines = said.animals(stock(tank, "a: 500 mL, (NH4)2SO4 2 g, CuSO4.5H2O 1 g"))
    assert lines[0].startswith("Ammonia: at most ")
    assert "held to 0.025 mg/L" in lines[0]
    assert "EIFAC 1970" in lines[0]
    assert "µg/L" in lines[1]
    assert "US EPA 1996" in lines[1]


def test_a_bottle_that_lasts_too_long(tank):
    lines = said.how_often(stock(tank, "a: 1000 mL, KNO3 80 g", per_week=1.0))
    assert "longer than a bottle should stand" in lines[1]
    assert said.how_often(stock(tank, "a: 50 mL, KNO3 4 g"))[0].endswith("lasts 5 days.")


def test_json_has_what_the_screen_shows(tank):
    bottles = [stock(tank, "a: 500 mL, CaCl2.2H2O 40 g"), stock(tank, "b: 500 mL, K2SO4 40 g")]
    pairs = between([one.bottle for one in bottles])
    told = as_json(bottles, pairs)
    assert [one["bottle"] for one in told["bottles"]] == ["a", "b"]
    assert told["keep_apart"][0]["bottles"] == ["a", "b"]
    assert said.apart(pairs)[0].startswith('"a" and "b": calcium sulfate (gypsum) falls out')
    first = told["bottles"][0]
    assert first["grams"] == {"CaCl2.2H2O": 40.0}
    calcium = first["dose_brings"]["dose_calcium_mg_l"]
    assert first["figures"][calcium["figure"]]["value"] == calcium["value"]
    assert first["dissolving"][0]["verdict"] == "dissolves"
    assert told["cautions"]
