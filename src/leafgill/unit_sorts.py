"""The units keepers use, by the sort of thing they measure."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from functools import cached_property

from leafgill.science.constants import DGH_MMOL_L, DKH_MEQ_L, KELVIN

# 1 meq of CaCO3, half of 100.0869 g/mol [mg].
_CACO3_MG_MEQ = 50.04345
_CACO3_MG_L_PER_DEGREE = DKH_MEQ_L * _CACO3_MG_MEQ
_FAHRENHEIT_ZERO = 459.67


def tidy(text: str) -> str:
    """Return text with one way to write each sign: degrees, primes, minus, fractions, digits."""
    text = re.sub("[ºᵒ˚]", "°", text).replace("″", '"').replace("′", "'")
    text = re.sub("([¼½¾⅓⅔⅛⅜⅝⅞])", r" \1", text.replace("”", '"').replace("’", "'"))
    return unicodedata.normalize("NFKC", text).replace("⁄", "/").replace("−", "-")


def plain(unit: str) -> str:
    """Return a unit without what does not tell units apart: case, spaces, full stops."""
    return re.sub(r"[\s.]+", "", tidy(unit)).casefold()


@dataclass(frozen=True)
class Sort:
    """Units that turn into each other: {unit: (size, other spellings without spaces)}.

    A number in a unit is (number + shift) times the unit's size, in the first unit's size; the
    shift is 0 but for temperatures.
    """

    name: str
    example: str
    units: dict[str, tuple[float, str]]
    shifts: dict[str, float] = field(default_factory=dict)
    in_pint: str = ""

    @cached_property
    def spellings(self) -> dict[str, str]:
        """Every way to write each unit, as `plain` leaves it."""
        found: dict[str, str] = {}
        for unit, (_, others) in self.units.items():
            found |= dict.fromkeys((plain(unit), *map(plain, others.split())), unit)
        return found

    def convert(self, number: float, given: str, wanted: str) -> float:
        """Return the number turned from one of the sort's units into another."""
        if given == wanted:
            return number
        base = (number + self.shifts.get(given, 0.0)) * self.units[given][0]
        return base / self.units[wanted][0] - self.shifts.get(wanted, 0.0)


def _hardness(name: str, degree: str, own: dict[str, tuple[float, str]]) -> Sort:
    # mg/L and ppm are meant as CaCO3, as test kits and waterworks mean them
    caco3 = 1.0 / _CACO3_MG_L_PER_DEGREE
    letters = degree[1:]
    more = f"degrees{letters} german germandegree germandegrees"
    units = {
        degree: (1.0, f"{letters} ° °d {letters}° °{letters} °{degree} dh °dh degdh {more}"),
        "ppm": (caco3, "ppmcaco3 ppmascaco3 mg/l mg/lcaco3 mg/lascaco3 mgcaco3/l"),
        "°fH": (10.0 * caco3, "°f fh frenchdegrees"),
        "°e": (14.254 * caco3, "°clark clark englishdegrees"),
        "gpg": (17.118 * caco3, "grainspergallon grains/gallon gr/gal"),
    }
    return Sort(name, "71 ppm", units | own)


_SHARE = Sort("share of a gas", "420 ppm", {"ppm": (1.0, "ppmv"), "%": (1e4, "percent vol%")})

SORTS: tuple[Sort, ...] = (
    Sort(
        "length",
        "15.7 in",
        {
            "cm": (1.0, "centimeter centimeters centimetre centimetres"),
            "mm": (0.1, "millimeter millimeters millimetre millimetres"),
            "m": (100.0, "meter meters metre metres"),
            "in": (2.54, '" ″ inch inches'),
            "ft": (30.48, "' ′ foot feet"),
        },
        in_pint="centimeter",
    ),
    Sort(
        "volume",
        "40 gal",
        {
            "L": (1.0, "l ltr liter liters litre litres dm3"),
            "mL": (0.001, "ml cm3 cc milliliter milliliters millilitre millilitres"),
            "m³": (1000.0, "m3"),
            "gal": (3.785411784, "gals gallon gallons usgal usgallon usgallons gal(us)"),
            "imp gal": (4.54609, "impgallon impgallons imperialgallon imperialgallons ukgal"),
            "qt": (0.946352946, "quart quarts"),
            "ft³": (28.316846592, "ft3 cuft cubicfoot cubicfeet"),
        },
        in_pint="liter",
    ),
    Sort(
        "mass",
        "10 lb",
        {
            "kg": (1.0, "kilo kilos kilogram kilograms"),
            "g": (0.001, "gr gram grams gramme grammes"),
            "lb": (0.45359237, "lbs pound pounds"),
            "oz": (0.028349523125, "ounce ounces"),
        },
        in_pint="kilogram",
    ),
    Sort(
        "pressure",
        "29 psi",
        {
            "bar": (1.0, "bars barg bar(g)"),
            "mbar": (0.001, "millibar"),
            "psi": (0.06894757293168361, "psig psi(g) lb/in2 lbf/in2"),
            "kPa": (0.01, "kilopascal"),
            "hPa": (0.001, "hectopascal"),
            "MPa": (10.0, "megapascal"),
            "atm": (1.01325, "atmosphere atmospheres"),
            "kg/cm²": (0.980665, "kg/cm2 kgf/cm2 kgf/cm²"),
        },
        in_pint="bar",
    ),
    Sort(
        "temperature",
        "77 °F",
        {
            "degC": (1.0, "°c c celsius degreesc degc degreecelsius degreescelsius"),
            "degF": (5.0 / 9.0, "°f f fahrenheit degreesf degf degreefahrenheit degreesfahrenheit"),
            "K": (1.0, "k kelvin"),
        },
        {"degC": KELVIN, "degF": _FAHRENHEIT_ZERO},
        in_pint="kelvin",
    ),
    _hardness(
        "carbonate hardness",
        "dKH",
        {"meq/L": (1.0 / DKH_MEQ_L, "meq/l mval/l mmol/lhco3 mmol/lhco3-")},
    ),
    _hardness("total hardness", "dGH", {"mmol/L": (1.0 / DGH_MMOL_L, "mmol/l mmol/lcaco3")}),
    Sort(
        "concentration",
        "25 mg/L",
        {
            "mg/L": (1.0, "mg/l ppm mgl-1 g/m3 mgperl mg/liter mg/litre"),
            "g/L": (1000.0, "g/l"),
            "µg/L": (0.001, "µg/l ug/l ppb"),
        },
    ),
    Sort("part", "30 %", {"%": (1.0, "percent percentage pct")}),
    _SHARE,
    Sort(
        "flow",
        "600 L/h",
        {
            "L/h": (1.0, "l/h lph l/hr l/hour liter/hour liters/hour litre/hour litres/hour"),
            "L/min": (60.0, "l/min lpm liter/minute liters/minute litre/minute litres/minute"),
            "m³/h": (1000.0, "m3/h m3/hr m3/hour"),
            "gal/h": (3.785411784, "gph gal/hr gal/hour gallon/hour gallons/hour gallonsperhour"),
        },
        in_pint="liter/hour",
    ),
    Sort(
        "power",
        "2.5 W",
        {"W": (1.0, "watt watts"), "kW": (1000.0, "kilowatt kilowatts")},
        in_pint="watt",
    ),
    Sort(
        "light",
        "60 µmol/m²/s",
        {
            "µmol/m²/s": (
                1.0,
                "µmol umol µmol/m2/s umol/m2/s umol/m²/s µmolm-2s-1 umolm-2s-1 µmol/(m²s) "
                "µmol/(m2s) umol/(m2s) µmol/m²s µmol/m2s umol/m2s µmol/(m2·s) µmol/m2·s "
                "µmol·m-2·s-1 ppfd par",
            )
        },
    ),
    Sort("light for power", "2.1 µmol/J", {"µmol/J": (1.0, "umol/j µmolj-1 µmol/(ws) umol/(ws)")}),
    Sort("angle", "120 °", {"°": (1.0, "deg degree degrees")}),
)

# A unit that may be wanted has one sort. Wanted, "ppm" is a share of a gas; given for a hardness
# it is CaCO3, given for a concentration mg/L.
SORT_OF: dict[str, Sort] = {
    **{unit: sort for sort in reversed(SORTS) for unit in sort.units},
    "ppm": _SHARE,
}
