import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.errors import InputError
from leafgill.unit_sorts import SORT_OF, SORTS, plain
from leafgill.units import DGH_MMOL_L, DKH_MEQ_L, number_in, quantity, units_for

# What pint calls the table's units. Hardness, concentrations and light are not its trade.
IN_PINT = {
    **{"cm": "cm", "mm": "mm", "m": "m", "in": "inch", "ft": "foot"},
    **{"L": "liter", "mL": "milliliter", "m³": "meter**3", "gal": "gallon", "qt": "quart"},
    **{"imp gal": "imperial_gallon", "ft³": "foot**3"},
    **{"kg": "kilogram", "g": "gram", "lb": "pound", "oz": "ounce"},
    **{"bar": "bar", "mbar": "millibar", "psi": "psi", "kPa": "kilopascal", "hPa": "hectopascal"},
    **{"MPa": "megapascal", "atm": "atmosphere", "kg/cm²": "kgf/cm**2"},
    **{"L/h": "liter/hour", "L/min": "liter/minute", "m³/h": "meter**3/hour"},
    **{"gal/h": "gallon/hour", "W": "watt", "kW": "kilowatt"},
    **{"degC": "degC", "degF": "degF", "K": "kelvin"},
}


def test_every_unit_of_the_table_agrees_with_pint():
    registry = pint.UnitRegistry()
    checked = 0
    for sort in SORTS:
        for unit in sort.units:
            for wanted in sort.units:
                if unit in IN_PINT and wanted in IN_PINT:
                    theirs = registry.Quantity(12.5, IN_PINT[unit]).to(IN_PINT[wanted]).magnitude
                    ours = quantity(f"12.5 {unit}", wanted, what="x")
                    assert ours == pytest.approx(theirs, rel=1e-9), (unit, wanted)
                    checked += 1
    assert checked == 5**2 + 7**2 + 4**2 + 8**2 + 3**2 + 4**2 + 2**2


@pytest.mark.parametrize(
    ("typed", "unit", "number"),
    [
        ("40 gal", "L", 151.41647136),
        ("40gal", "L", 151.41647136),
        ("40 US gal.", "L", 151.41647136),
        ("10 imp gal", "L", 45.4609),
        ("0.2 m³", "L", 200.0),
        ("151,4 litres", "L", 151.4),
        ("1,234.5 L", "L", 1234.5),
        ("1.234,5 L", "L", 1234.5),
        ("12,345,678 g", "g", 12345678.0),
        ("0,500 L", "L", 0.5),
        ("77 °F", "degC", 25.0),
        ("77F", "degC", 25.0),
        ("77 º F", "degC", 25.0),
        ("25 ℃", "degC", 25.0),
        ("77 degrees Fahrenheit", "degC", 25.0),
        ("25 degree Celsius", "degC", 25.0),
        ("298.15 K", "degC", 25.0),
        ("−3 °C", "degC", -3.0),
        ("15.7 in", "cm", 39.878),
        ('15 3/4"', "cm", 40.005),
        ("15¾ in", "cm", 40.005),
        ("½ in", "cm", 1.27),
        ("2′", "cm", 60.96),
        ("36″", "cm", 91.44),
        ("600 mm", "cm", 60.0),
        ("29 psi", "bar", 1.99947961502),
        ("2 bar", "bar", 2.0),
        ("200 kPa", "bar", 2.0),
        ("10 lb", "kg", 4.5359237),
        ("16 g", "kg", 0.016),
        ("4 dKH", "dKH", 4.0),
        ("4 °KH", "dKH", 4.0),
        ("4°", "dKH", 4.0),
        ("4 degrees KH", "dKH", 4.0),
        ("4 German degrees", "dGH", 4.0),
        ("4 °dH", "dGH", 4.0),
        ("200 gph", "L/h", 757.0823568),
        ("10 l/min", "L/h", 600.0),
        ("3 watts", "W", 3.0),
        ("60 µmol/m²/s", "µmol/m²/s", 60.0),
        ("60 μmol m-2 s-1", "µmol/m²/s", 60.0),
        ("60 umol/(m2 s)", "µmol/m²/s", 60.0),
        ("60 µmol/m²·s", "µmol/m²/s", 60.0),
        ("60 µmol·m⁻²·s⁻¹", "µmol/m²/s", 60.0),
        ("25 ppm", "mg/L", 25.0),
        ("0.1 %", "ppm", 1000.0),
        ("420 ppm", "ppm", 420.0),
        ("40", "L", 40.0),
        (" 4.5e1 ", "L", 45.0),
        (40, "L", 40.0),
        (-7.5, "degC", -7.5),
    ],
)
def test_what_people_type_is_read(typed, unit, number):
    assert quantity(typed, unit, what="x") == number


@pytest.mark.parametrize("typed", ["71.392 ppm", "71.392 mg/L", "71.392 mg/L CaCO3", "7.1392 °fH"])
@pytest.mark.parametrize("unit", ["dKH", "dGH"])
def test_hardness_as_calcium_carbonate(typed, unit):
    # 1 degree is 17.848 mg/L CaCO3 (10 mg/L CaO over the molar masses 56.0774 and 100.0869)
    assert quantity(typed, unit, what="x") == pytest.approx(4.0, rel=2e-5)


def test_hardness_as_equivalents():
    assert quantity("1.4266 meq/L", "dKH", what="x") == pytest.approx(1.4266 / DKH_MEQ_L)
    assert quantity("4 dKH", "meq/L", what="x") == pytest.approx(4 * DKH_MEQ_L)
    assert quantity("1 mmol/L", "dGH", what="x") == pytest.approx(1 / DGH_MMOL_L)
    # an English degree is a grain (64.79891 mg) of CaCO3 in an imperial gallon, an American one
    # a grain in a US gallon
    assert number_in("1 °e", "dGH") * 17.848 == pytest.approx(64.79891 / 4.54609, rel=1e-4)
    assert number_in("1 gpg", "dGH") * 17.848 == pytest.approx(64.79891 / 3.785411784, rel=1e-4)


@pytest.mark.parametrize(
    ("typed", "unit", "number"),
    [
        ("9 stone", "kg", 57.15263862),
        ("2 yards", "cm", 182.88),
        ("540 rankine", "degC", 26.85),
        ("540 rankine", "K", 300.0),
    ],
)
def test_other_units_are_left_to_pint(typed, unit, number):
    assert quantity(typed, unit, what="x") == number


@pytest.mark.parametrize(
    ("typed", "unit", "line"),
    [
        (
            "12 bananas",
            "L",
            'volume_l = "12 bananas": "bananas" is not a unit of volume; '
            'accepted: a number in L, or text with its unit, as "40 gal"',
        ),
        (
            "3 cm",
            "L",
            'volume_l = "3 cm": "cm" is not a unit of volume; '
            'accepted: a number in L, or text with its unit, as "40 gal"',
        ),
        (
            "abc",
            "degC",
            'volume_l = "abc" is not a number; '
            'accepted: a number in °C, or text with its unit, as "77 °F"',
        ),
        (
            "1,500 L",
            "L",
            'volume_l = "1,500" may be 1500 or 1.5; write either; '
            'accepted: a number in L, or text with its unit, as "40 gal"',
        ),
        (
            True,
            "L",
            "volume_l = true is not a number; "
            'accepted: a number in L, or text with its unit, as "40 gal"',
        ),
        (
            float("nan"),
            "L",
            "volume_l = nan is not a finite number; "
            'accepted: a number in L, or text with its unit, as "40 gal"',
        ),
        (
            "1e999",
            "L",
            'volume_l = "1e999" is not a finite number; '
            'accepted: a number in L, or text with its unit, as "40 gal"',
        ),
        (
            "4 x",
            "furlong",
            'volume_l = "4 x": "x" is not a unit of furlong; accepted: a number in furlong',
        ),
    ],
)
def test_what_cannot_be_meant_is_refused_in_one_line(typed, unit, line):
    with pytest.raises(InputError) as caught:
        quantity(typed, unit, what="volume_l")
    assert str(caught.value) == line


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("", "L"),
        ("L", "L"),
        ("1,2,3 L", "L"),
        ("10**9 L", "L"),
        ("5 lb 4 oz", "kg"),
        ("4 dGH", "dKH"),  # a slip, not a conversion
        ("1 mmol/L", "dKH"),  # of HCO3 or of CaCO3? twice as much
        ("5 L**9**9**9**9", "L"),
        ("5 m^9999999", "cm"),
        ("1 __import__", "L"),
        ("5 \x00", "L"),
        (10**400, "L"),
        (None, "L"),
        ([4], "L"),
        (float("inf"), "L"),
        (1j, "L"),
    ],
)
def test_nothing_else_gets_through(typed, unit):
    with pytest.raises(InputError):
        quantity(typed, unit, what="x")


@given(st.text(max_size=30), st.sampled_from(["L", "degC", "dKH", "kg", "mg/L", "ppm"]))
def test_any_text_is_read_or_refused(text, unit):
    try:
        number = quantity(text, unit, what="x")
    except InputError as wrong:
        assert str(wrong).startswith("x = ")
        assert "\n" not in str(wrong)
    else:
        assert abs(number) < float("inf")


@given(st.floats(-1e6, 1e6), st.data())
def test_there_and_back_again(number, data):
    sort = data.draw(st.sampled_from(SORTS))
    there, back = data.draw(st.sampled_from(list(sort.units))), next(iter(sort.units))
    if SORT_OF[there] is sort and SORT_OF[back] is sort:
        through = quantity(f"{number!r} {back}", there, what="x")
        again = quantity(f"{through!r} {there}", back, what="x")
        assert again == pytest.approx(number, rel=1e-9, abs=1e-6)


def test_no_spelling_means_two_units_of_a_sort():
    for sort in SORTS:
        written = [
            form
            for unit, (_, others) in sort.units.items()
            for form in {plain(unit), *map(plain, others.split())}
        ]
        assert len(written) == len(set(written)), sort.name


def test_the_units_a_number_may_come_in():
    assert units_for("L") == ("L", "mL", "m³", "gal", "imp gal", "qt", "ft³")
    assert units_for("kg") == ("kg", "g", "lb", "oz")
    assert units_for("furlong") == ("furlong",)


@pytest.mark.parametrize(
    ("statement", "loaded"),
    [
        ("quantity('77 °F', 'degC', what='x')", False),
        ("quantity('9 stone', 'kg', what='x')", True),
    ],
)
def test_pint_is_loaded_only_for_a_unit_outside_the_table(statement, loaded):
    code = f"import sys; from leafgill.units import quantity; {statement}"
    code += "; print('pint' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == str(loaded)
