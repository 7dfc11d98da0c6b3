import pytest

from leafgill.advise.balance.read_doses import doses_of, of_bottle, of_salt, salt_in
from leafgill.diary import Diary, Entry
from leafgill.tank.bottle import bottle_of
from leafgill.tank.spec import Tank

AT = "2025-03-05T09:00"
TANK = Tank.from_mapping(
    {
        "tank": {"name": "A", "volume_l": 100},
        "salts": {
            "bottles": ["macro: 500 mL, KNO3 30 g", "iron: iron 5 g/L", "macro two: K 9 g/L"]
        },
    }
)


def dose(*row):
    doses, lines = doses_of(TANK, Diary([Entry(AT, "dose", *row)]).localised("UTC"))
    return (doses[0] if doses else None), lines


def test_a_salt_gives_all_its_nitrogen_as_nitrate_once():
    assert of_salt("KNO3") == pytest.approx({"nitrate": 0.6133, "potassium": 0.3867}, rel=1e-3)
    # half of its nitrogen is ammonium, which becomes nitrate as well
    assert of_salt("NH4NO3")["nitrate"] == pytest.approx(0.3500 * 4.4266, rel=1e-3)
    assert of_salt("KH2PO4") == pytest.approx({"phosphate": 0.6979, "potassium": 0.2873}, rel=1e-3)


def test_a_bottle_gives_what_its_salts_or_its_label_say():
    assert of_bottle(bottle_of("m: 500 mL, KNO3 30 g"))["nitrate"] == pytest.approx(36.8, rel=1e-3)
    assert of_bottle(bottle_of("i: iron 5 g/L, N 2 g/L")) == pytest.approx(
        {"iron": 5.0, "nitrate": 8.853}, rel=1e-3
    )


@pytest.mark.parametrize(
    ("row", "what", "nitrate_mg_l"),
    [
        ((2.0, "g", "KNO3"), "KNO3", 12.27),
        (("2 g KNO3",), "KNO3", 12.27),
        (("2", "g of potassium nitrate"), "KNO3", 12.27),
        ((2000.0, "mg", "after the change, saltpetre"), "KNO3", 12.27),
        ((5.0, "mL", "macro"), "macro", 1.84),
        ((5.0, "mL", "Macro, half a dose"), "macro", 1.84),
        ((100.0, "drops", "macro"), "macro", 1.84),
        ((10.0, "mL", "KNO3 50 g/L"), "KNO3", 3.07),
        ((1.0, "g", "nitrate"), "nitrate", 10.0),
    ],
)
def test_a_dose_is_turned_into_what_it_adds(row, what, nitrate_mg_l):
    found, lines = dose(*row)
    assert lines == []
    assert found.what == what
    assert found.adds_mg_l["nitrate"] == pytest.approx(nitrate_mg_l, rel=2e-3)


def test_the_longest_name_of_a_bottle_is_meant():
    assert dose(5.0, "mL", "macro two")[0].what == "macro two"


@pytest.mark.parametrize("row", [(5.0, "mL", "trace elements"), (5.0, "mL"), (1.0, "tablets", "K")])
def test_what_cannot_be_told_is_told_and_not_guessed(row):
    found, lines = dose(*row)
    assert found is None
    assert len(lines) == 1
    assert "1 dose not counted" in lines[0]


def test_words_that_are_no_salt_are_none():
    assert salt_in("half a dose after lunch") is None
    assert salt_in("Epsom salt; a spoon") == "MgSO4.7H2O"
