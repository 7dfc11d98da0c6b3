from datetime import UTC, datetime

import pytest

from leafgill.advise.balance.nutrients import NUTRIENTS
from leafgill.advise.balance.read_tests import kit_readings, read
from leafgill.diary import Diary, Entry

AT = datetime(2025, 3, 5, 9, tzinfo=UTC)


def reading(value, note, unit="mg/L"):
    return read(Entry(AT, "test", value, unit, note))


def test_a_colour_is_within_half_a_step():
    step = NUTRIENTS["nitrate"].kit_step
    one = reading(10.0, "nitrate")
    assert (one.value_mg_l, one.low_mg_l, one.high_mg_l) == (10.0, 10.0 / step, 10.0 * step)


def test_ends_that_the_note_gives_are_taken():
    one = reading(7.0, "nitrate between 5 and 10")
    assert (one.low_mg_l, one.high_mg_l) == (5.0, 10.0)


@pytest.mark.parametrize("value", ["<0.05", "< 0.05", "0"])
def test_nothing_seen_is_anything_from_nothing_to_what_shows(value):
    one = reading(value, "iron")
    assert one.value_mg_l == 0.0
    assert one.low_mg_l == 0.0
    assert one.high_mg_l == pytest.approx(0.05 if "<" in value else 0.04)
    assert one.shown == ("below 0.05 mg/L" if "<" in value else "0 mg/L")


def test_below_the_first_step_a_reading_may_be_nothing():
    assert reading(0.03, "phosphate").low_mg_l == 0.0
    assert reading(0.5, "phosphate").low_mg_l > 0.0


@pytest.mark.parametrize(
    ("note", "factor"),
    [("NO3-N", 4.4266), ("nitrate as N", 4.4266), ("nitrate", 1.0), ("NO3", 1.0)],
)
def test_an_element_named_alone_is_turned_into_its_ion(note, factor):
    assert reading(2.0, note).value_mg_l == pytest.approx(2.0 * factor)
    assert reading(2.0, note).high_mg_l == pytest.approx(3.0 * factor)


def test_phosphorus_is_turned_into_phosphate():
    assert reading(0.1, "PO4-P").value_mg_l == pytest.approx(0.30661)


def test_a_meter_reads_closer_than_a_card():
    card, meter = reading(10.0, "nitrate"), reading(10.0, "nitrate, photometer")
    assert meter.high_mg_l - meter.low_mg_l < 0.3 * (card.high_mg_l - card.low_mg_l)


def test_only_nutrients_are_read():
    rows = [Entry(AT, "test", 8.0, "mg/L", what) for what in ("oxygen", "nitrite", "iron", "K")]
    found = kit_readings(Diary(rows).localised("UTC"))
    assert [one.key for one in found] == ["iron", "potassium"]
