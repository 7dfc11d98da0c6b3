"""When gas hours of a running tank were moved."""

from datetime import timedelta

import pytest

from leafgill.advise.beside.moved import hours_moved_at
from leafgill.tank.schedule import parse_window

FIRST = (1.0, "bubble_rate", 1.0)
OLD, NEW = "09:00-18:00", "08:00-17:00"


@pytest.mark.parametrize(
    ("rows", "described", "hour"),
    [
        ([(0.0, "gas_day", OLD), FIRST], None, None),
        ([FIRST, (2.0, "gas_day", NEW)], OLD, None),
        ([FIRST, (2.1, "gas_day", NEW)], OLD, 2.1),
        ([FIRST, (30.0, "gas_day", OLD)], OLD, None),
        ([FIRST, (30.0, "gas_day", OLD)], None, None),
        ([(0.0, "gas_day", OLD), FIRST, (30.0, "gas_day", NEW), (60.0, "gas_day", NEW)], None, 30),
        ([(0.0, "gas_day", OLD), FIRST, (30.0, "gas_day", NEW), (60.0, "gas_day", OLD)], None, 60),
        ([(0.0, "gas_day", OLD), (30.0, "gas_day", NEW)], None, None),
        ([(0.0, "gas_day", OLD), (1.0, "bubble_rate", 0.0), (30.0, "gas_day", NEW)], None, None),
    ],
)
def test_a_move_is_a_change_of_hours_after_the_first_setting(make_diary, rows, described, hour):
    diary = make_diary(*rows)
    given = None if described is None else parse_window(described)
    moved = hours_moved_at(diary, given)
    if hour is None:
        assert moved is None
        return
    from_start = moved - diary.entries[0].time + timedelta(hours=rows[0][0])
    assert from_start == timedelta(hours=hour)
