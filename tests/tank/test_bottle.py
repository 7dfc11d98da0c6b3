import pytest

from leafgill.errors import InputError
from leafgill.tank.bottle import Bottle, bottle_of


@pytest.mark.parametrize(
    ("line", "bottle"),
    [
        (
            "macro: 500 mL, KNO3 30 g, KH2PO4 4 g",
            Bottle("macro", 500.0, (("KNO3", 30.0), ("KH2PO4", 4.0))),
        ),
        (
            "macro: 0.5 L, 30 g KNO3, 4000 mg KH2PO4",
            Bottle("macro", 500.0, (("KNO3", 30.0), ("KH2PO4", 4.0))),
        ),
        ("Rosi's  mix : 1 L, saltpetre 50 g", Bottle("Rosi's mix", 1000.0, (("KNO3", 50.0),))),
        (
            "iron: iron 5 g/L, manganese 0.4 g/L",
            Bottle("iron", None, (), (("iron", 5.0), ("manganese", 0.4))),
        ),
        ("iron: Fe 5 mg/mL", Bottle("iron", None, (), (("iron", 5.0),))),
        ("iron: 250 mL, iron 0.5 %", Bottle("iron", 250.0, (), (("iron", 5.0),))),
        ("weak: NO3 800 mg/L", Bottle("weak", None, (), (("nitrate", 0.8),))),
        (
            "two: 500 mL, KNO3 30 g + KH2PO4 4 g",
            Bottle("two", 500.0, (("KNO3", 30.0), ("KH2PO4", 4.0))),
        ),
        ("comma: 500 mL, KNO3 2,5 g", Bottle("comma", 500.0, (("KNO3", 2.5),))),
        (
            "epsom: 500 mL, magnesium sulfate heptahydrate 60 g",
            Bottle("epsom", 500.0, (("MgSO4.7H2O", 60.0),)),
        ),
    ],
)
def test_a_line_is_read_as_the_bottle_it_describes(line, bottle):
    assert bottle_of(line) == bottle
    assert bottle_of(str(bottle)) == bottle


def test_salts_of_a_bottle_are_by_the_litre():
    assert bottle_of("macro: 250 mL, KNO3 30 g").salts_g_l() == {"KNO3": 120.0}
    assert bottle_of("iron: iron 5 g/L").salts_g_l() == {}


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("macro", "has no name before a colon"),
        (": 500 mL, KNO3 30 g", "has no name before a colon"),
        ("macro:", 'bottle "macro" holds nothing'),
        ("macro: 500 mL", 'bottle "macro" holds nothing'),
        ("macro: 500 mL, KNO3", '"KNO3" is not an amount of something'),
        ("macro: 0.2 mL, KNO3 1 g", "accepted: 1 to 100000 mL"),
        ("macro: 500 mL, KNO3 0 g", "accepted: above 0 to 1200 g/L"),
        ("iron: iron 900 g/L", "accepted: above 0 to 400 g/L"),
        ("a: 500 mL, salpeter 3 g", 'a salt "salpeter"'),
    ],
)
def test_what_cannot_be_meant_is_refused_in_one_line(line, said):
    with pytest.raises(InputError, match=said.replace("(", r"\(")) as error:
        bottle_of(line)
    assert "\n" not in str(error.value)
