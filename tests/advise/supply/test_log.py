"""Fillings, weighings and gauge readings are found in a diary as keepers write it."""

from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.advise.supply.log import read_log, step_of, tells_of_filling
from leafgill.diary import Diary, Entry

UTC = ZoneInfo("UTC")
NOW = datetime(2025, 3, 1, 12, tzinfo=UTC)


def log_of(*rows):
    diary = Diary([Entry(*row) for row in rows]).localised("UTC")
    return read_log(diary, NOW.timestamp())


def mass(day, grams, note=""):
    return (f"2025-02-{day:02d}T08:00", "cylinder_mass", grams, "g", note)


def test_one_cylinder_that_gets_lighter():
    log = log_of(mass(1, 5000.0), mass(8, 4950.0), mass(15, 4900.0))
    assert len(log.lives) == 1
    assert not log.now.filled
    assert [w.gross_g for w in log.now.weighings] == [5000.0, 4950.0, 4900.0]


def test_a_heavier_cylinder_is_a_new_filling():
    log = log_of(mass(1, 4000.0), mass(8, 3950.0), mass(15, 5600.0), mass(22, 5550.0))
    assert [len(life.weighings) for life in log.lives] == [2, 2]
    assert log.now.filled


def test_a_few_grams_more_are_the_scale():
    assert len(log_of(mass(1, 4000.0), mass(8, 4030.0)).lives) == 1
    assert len(log_of(mass(1, 4000.0), mass(8, 4050.0)).lives) == 2


def test_a_regulator_put_on_is_no_filling():
    log = log_of(mass(1, 4000.0, "with regulator off"), mass(8, 4950.0, "regulator on"))
    assert len(log.lives) == 1
    assert [w.regulator for w in log.now.weighings] == [False, True]
    # but a whole charge more is one, regulator or not
    assert len(log_of(mass(1, 4000.0, "regulator off"), mass(8, 8000.0, "regulator on")).lives) == 2


def test_a_silent_note_means_as_before_and_first_of_all_on():
    log = log_of(mass(1, 4000.0), mass(2, 3100.0, "without regulator"), mass(3, 3095.0))
    assert [w.regulator for w in log.now.weighings] == [True, False, False]


def test_care_tells_the_moment():
    log = log_of(
        mass(1, 4000.0), ("2025-02-10T09:00", "care", "cylinder refilled"), mass(12, 5600.0)
    )
    assert log.now.since_s == datetime(2025, 2, 10, 9, tzinfo=UTC).timestamp()
    assert [w.gross_g for w in log.now.weighings] == [5600.0]
    assert log.now.filled


def test_a_filling_told_twice_is_one():
    log = log_of(
        mass(1, 4000.0),
        ("2025-02-10T09:00", "care", "cylinder refilled"),
        mass(12, 5600.0, "refilled"),
        mass(20, 5500.0),
    )
    assert len(log.lives) == 2
    assert len(log.now.weighings) == 2


def test_the_gauge_rises_by_a_new_cylinder_not_by_warmth():
    def gauge(day, bar):
        return (f"2025-02-{day:02d}T08:00", "cylinder_pressure", bar)

    assert len(log_of(gauge(1, 20.0), gauge(8, 56.0)).lives) == 2
    assert len(log_of(gauge(1, 50.0), gauge(8, 60.0)).lives) == 1


@pytest.mark.parametrize(
    ("kind", "text", "told"),
    [
        ("care", "cylinder refilled", True),
        ("care", "bottle replaced", True),
        ("care", "new cartridge", True),
        ("note", "put in a fresh cylinder", True),
        ("note", "new bottle of gas", True),
        ("note", "new bottle of iron", False),
        ("note", "the cylinder is still half full", False),
        ("note", "must order a new cylinder", False),
        ("care", "cylinder leak tested", False),
        ("care", "filter cleaned", False),
        ("fish", "normal", False),
    ],
)
def test_what_tells_of_a_filling(kind, text, told):
    assert tells_of_filling(Entry("2025-02-01T08:00", kind, text)) is told


def test_the_rooms_warmth_in_a_note():
    log = log_of(
        ("2025-02-01T08:00", "cylinder_pressure", 56.0, "", "room 19 °C"),
        ("2025-02-02T08:00", "cylinder_pressure", 56.0, "", "68 F in the room"),
        ("2025-02-03T08:00", "cylinder_pressure", 56.0, "", "looks fine"),
        ("2025-02-04T08:00", "cylinder_pressure", 56.0, "", "room 190 °C"),
    )
    found = [g.room_c for g in log.now.gauges]
    assert found == [19.0, pytest.approx(20.0), None, None]


def test_weights_from_before_the_first_setting_are_left_out():
    log = log_of(
        mass(1, 5000.0), mass(10, 4800.0), ("2025-02-14T08:00", "bubble_rate", 1.0), mass(20, 4700)
    )
    assert [w.gross_g for w in log.now.weighings] == [4700.0]
    assert "2 weighings from before" in log.notes[0]


def test_what_is_later_than_now_is_not_read():
    diary = Diary([Entry("2025-03-09T08:00", "cylinder_mass", 4000.0, "g")]).localised("UTC")
    assert read_log(diary, NOW.timestamp()).now.weighings == ()


def test_an_empty_diary_has_one_cylinder():
    log = log_of()
    assert len(log.lives) == 1
    assert log.now.since_s == NOW.timestamp()


@pytest.mark.parametrize(
    ("values", "step"),
    [
        ([5931.0, 5880.0], 1.0),
        ([5930.0, 5880.0], 10.0),
        ([9000.0, 8500.0], 500.0),
        ([9200.0, 8600.0], 200.0),
        ([9100.0, 8800.0], 100.0),
        ([9071.8474, 8935.769689], 45.359237),
        ([9071.8474, 8618.25503], 453.59237),
        ([5601.0, 5301.0], 1.0),
        ([5000.0], 1.0),
    ],
)
def test_the_scales_step_is_seen_in_its_readings(values, step):
    assert step_of(np.array(values)) == step
