import pytest

from leafgill.tank.reading import section_values
from leafgill.web.forms.habits import Habits

US = Habits("us", ".")
COMMA = Habits("metric", ",")


def read(typed, unit_key=("tank", "length_cm")):
    section, key = unit_key
    return section_values({section: {key: typed}}, "tank").sections[section][key]


def test_a_bare_number_is_in_the_keepers_own_unit():
    assert read(US.typed("24", "cm")) == pytest.approx(60.96)
    assert read(Habits().typed("24", "cm")) == 24.0


def test_a_number_with_its_unit_is_meant_in_that_unit_by_everybody():
    assert read(US.typed("60 cm", "cm")) == 60.0
    assert read(Habits().typed("24 in", "cm")) == pytest.approx(60.96)


def test_a_comma_that_may_be_either_is_the_decimal_sign_of_a_keeper_who_writes_it_so():
    assert COMMA.typed("1,500", "L") == 1.5
    # to anybody else it stays what was typed, and is asked about
    assert Habits().typed("1,500", "L") == "1,500"


def test_shown_numbers_read_back():
    assert US.number(25.0, "degC") == "77"
    assert US.number(60.0, "cm") == "23.622"
    assert COMMA.number(0.5, "kg") == "0,5"
    assert Habits().number(0.000012) == "0.000012"
    assert Habits().number(50_000, "L") == "50000"


def test_text_takes_the_keepers_decimal_sign_between_digits_only():
    assert COMMA.text("pH 6.8. Usual: 1.5 to 3") == "pH 6,8. Usual: 1,5 to 3"
    assert Habits().text("6.8") == "6.8"
