"""Clues from tests of the water: what plants lack, what harms animals."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from scipy.special import ndtr

from leafgill.advise.balance.nutrients import NUTRIENTS, ceiling_of
from leafgill.advise.drawn import figure
from leafgill.advise.figure import Figure, Input
from leafgill.advise.trouble.clue import Clue, part
from leafgill.advise.trouble.made import over, unknown
from leafgill.advise.trouble.record import Record
from leafgill.diary import Entry, Kind
from leafgill.science.ammonia import LASTING_NH3_MG_L, LASTING_SOURCE, nh3_mg_l
from leafgill.science.cited import Range

# A test tells of today for so long [days]; a kit is read within this factor (one sd of the
# logarithm). Choices of ours.
FRESH_DAYS, KIT_SD = 10.0, 0.35
# A reading this far below what a kit shows is as good as none.
_LEAST = 0.3
_NITRITE_MG_L = 0.3
_LOW = ("nitrate", "phosphate", "potassium", "magnesium", "calcium", "iron")
_HIGH = ("nitrate", "phosphate")
PRACTICE = "common practice, no source"


def food_clues(record: Record) -> Iterator[Clue]:
    """Yield what tests of nutrients, ammonia and nitrite tell, or the balance where it is given."""
    for key in _LOW:
        yield _low(record, key)
    for key in _HIGH:
        yield _high(record, key)
    yield _ratio(record)
    yield _ammonia(record)
    yield _nitrite(record)
    yield _silicate(record)


def newest_test(record: Record, substance: str, within: float = FRESH_DAYS) -> Entry | None:
    """Return the newest test of a substance, None where it is older than ten days."""
    tests = [e for e in record.diary.of(Kind.TEST) if e.substance == substance]
    fresh = tests and record.days_since(tests[-1].time) <= within
    return tests[-1] if fresh else None


def _chance_below(read: float, least: float, bound: float) -> float:
    """Return the chance that what is read as `read` is below a bound, by the kit's error."""
    value = max(read, _LEAST * least)
    spread = KIT_SD if read >= least else 2.0 * KIT_SD
    return float(ndtr((math.log(bound) - math.log(value)) / spread))


def _low(record: Record, key: str) -> Clue:
    one = NUTRIENTS[key]
    clue = (f"{key}_low", f"{one.name} is below {one.floor_mg_l:g} mg/L")
    ask = f"a test of {one.name}"
    held = _followed(record, key)
    if held is not None:
        return Clue(*clue, 1.0 - over(held, one.floor_mg_l), ask, (held,))
    test = newest_test(record, key)
    if test is None:
        return unknown(*clue, ask)
    chance = _chance_below(test.number, one.kit_least_mg_l, one.floor_mg_l)
    shown = _read(record, test, clue[0], one.floor_mg_l, one.floor_basis)
    return Clue(*clue, chance, ask, (shown,))


def _high(record: Record, key: str) -> Clue:
    one = NUTRIENTS[key]
    most, basis = ceiling_of(one, record.tank.livestock.kinds)
    clue, ask = (f"{key}_high", f"{one.name} is above {most:g} mg/L"), f"a test of {one.name}"
    held = _followed(record, key)
    if held is not None:
        return Clue(*clue, over(held, most), ask, (held,))
    test = newest_test(record, key)
    if test is None:
        return unknown(*clue, ask)
    chance = 1.0 - _chance_below(test.number, one.kit_least_mg_l, most)
    return Clue(*clue, chance, ask, (_read(record, test, clue[0], most, basis),))


def _followed(record: Record, key: str) -> Figure | None:
    """Return a nutrient's concentration now by the balance, None where nothing tells of it."""
    if record.balance is None:
        return None
    outlook = record.balance.nutrient(key)
    return outlook.now if outlook.known and outlook.now.low else None


def _read(record: Record, test: Entry, key: str, bound: float, basis: str) -> Figure:
    """Return a test as a figure, with the interval of its kit."""
    value, reach = test.number, math.exp(1.6449 * KIT_SD)
    ends = Range(value, value / reach, value * reach)
    age = record.days_since(test.time)
    return figure(
        f"clue_{key}", f"{test.substance.capitalize()}, as tested", ends, "mg/L",
        "as read, by a kit's error",
        (Input("read", f"{age:.0f} days ago", "", "diary"),
         Input("held against", bound, "mg/L", basis)),
        PRACTICE,
    )  # fmt: skip


def _ratio(record: Record) -> Clue:
    """Little nitrate beside much phosphate: blue-green slime is said to like it."""
    key = ("nitrate_short", "nitrate is short against phosphate")
    ask = "tests of nitrate and of phosphate"
    nitrate, phosphate = newest_test(record, "nitrate"), newest_test(record, "phosphate")
    if nitrate is None or phosphate is None:
        return unknown(*key, ask)
    ratio = max(nitrate.number, 0.5) / max(phosphate.number, 0.03)
    chance = float(ndtr((math.log(_SHORT) - math.log(ratio)) / (math.sqrt(2.0) * KIT_SD)))
    shown = figure(
        "clue_nitrate_short", "Nitrate over phosphate, by weight", ratio, "", "NO3 / PO4",
        (Input("held against", _SHORT, "", _SMITH),), _SMITH,
    )  # fmt: skip
    return Clue(*key, chance, ask, (shown,))


# 29 of nitrogen to 1 of phosphorus by weight in lakes without blooms, as NO3 and PO4.
_SHORT = 10.0
_SMITH = (
    "a choice of ours; that little nitrogen beside much phosphorus favours blue-greens is Smith "
    "1983, Science 221, 669, of lakes (cited from memory, not checked against the paper)"
)


def _ammonia(record: Record) -> Clue:
    key = ("ammonia_toxic", f"un-ionised ammonia is above {LASTING_NH3_MG_L.value:g} mg/L")
    ask = "a test of ammonia, and pH beside it"
    test = newest_test(record, "ammonia", 3.0)
    if test is None:
        return unknown(*key, ask)
    ph = record.belief.at("ph", record.now)
    toxic = np.asarray(nh3_mg_l(test.number, ph, record.tank.temperature_c))
    kit = np.exp(KIT_SD * np.linspace(-1.6, 1.6, ph.size))
    toxic = np.maximum(toxic * kit, 1e-6)
    shown = figure(
        "clue_ammonia_toxic", "Un-ionised ammonia now", toxic, "mg/L",
        "total · share by pH and warmth",
        (Input("total, as tested", test.number, "mg/L", "diary"),
         Input("held against", LASTING_NH3_MG_L.value, "mg/L", str(LASTING_SOURCE))),
        "Emerson et al. 1975 (cited from memory, not checked against the paper)",
    )  # fmt: skip
    return Clue(*key, part(toxic > LASTING_NH3_MG_L.value), ask, (shown,))


def _nitrite(record: Record) -> Clue:
    key = ("nitrite_high", f"nitrite is above {_NITRITE_MG_L:g} mg/L")
    test = newest_test(record, "nitrite", 3.0)
    if test is None:
        return unknown(*key, "a test of nitrite")
    chance = 1.0 - _chance_below(test.number, 0.05, _NITRITE_MG_L)
    return Clue(*key, chance, "a test of nitrite",
                (_read(record, test, "nitrite_high", _NITRITE_MG_L, PRACTICE),))  # fmt: skip


def _silicate(record: Record) -> Clue:
    key = ("silicate", "the water holds silicate for diatoms")
    test = newest_test(record, "silicate", 60.0)
    if test is None:
        return unknown(*key, "a test of silicate in tank and tap")
    chance = 1.0 - _chance_below(test.number, 0.2, 1.0)
    return Clue(*key, chance, "a test of silicate in tank and tap",
                (_read(record, test, "silicate", 1.0, PRACTICE),))  # fmt: skip
