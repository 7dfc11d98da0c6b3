import pytest

from leafgill.advise.stock.wants import USUAL_SALT, Want, want_of
from leafgill.errors import InputError
from leafgill.science.salts import SALTS


@pytest.mark.parametrize(
    ("line", "want"),
    [
        ("nitrate 5 KNO3", Want("nitrate", 5.0, "KNO3")),
        ("NO3 5", Want("nitrate", 5.0, "KNO3")),
        ("K 10 mg/L by potassium sulfate", Want("potassium", 10.0, "K2SO4")),
        ("iron 100 µg/L from iron DTPA", Want("iron", 0.1, "Fe-DTPA")),
        ("magnesium 2,5", Want("magnesium", 2.5, "MgSO4.7H2O")),
        ("po4 0.5 ppm as MKP", Want("phosphate", 0.5, "KH2PO4")),
    ],
)
def test_a_line_is_a_wish(line, want):
    assert want_of(line) == want


def test_what_is_kept_at_home_comes_before_what_is_usual():
    assert want_of("nitrate 5", ["K2SO4", "Ca(NO3)2.4H2O", "KNO3"]).salt == "Ca(NO3)2.4H2O"
    assert want_of("nitrate 5", ["K2SO4"]).salt == "KNO3"


def test_the_usual_salt_gives_what_it_is_usual_for():
    for nutrient, salt in USUAL_SALT.items():
        assert SALTS[salt].gives[nutrient] > 0.01


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("more nitrate", "is not a wish"),
        ("nitrate", "is not a wish"),
        ("gold 5", "a wish is for one of nitrate"),
        ("nitrate 0 KNO3", "above 0 to 100 mg/L"),
        ("nitrate 500 KNO3", "above 0 to 100 mg/L"),
        ("nitrate 5 K2SO4", "K2SO4 gives no nitrate; it gives potassium"),
        ("nitrate 5 KNO4", 'a salt "KNO4"; nearest: KNO3'),
    ],
)
def test_what_cannot_be_meant_is_told(line, told):
    with pytest.raises(InputError, match=told.replace("(", r"\(")):
        want_of(line)
