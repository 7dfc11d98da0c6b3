"""Does it hang together? Entries against each other, and against the clock."""

from datetime import UTC, datetime

import numpy as np
import pytest

from leafgill.diary import Diary, Entry, check_entries, check_future, jumps, stuck
from leafgill.errors import InputError

HEADER = "time,kind,value,unit,note\n"


def findings(rows: str) -> list[str]:
    return [str(f) for f in Diary.read(HEADER + rows).findings]


def test_two_values_at_one_time_are_both_kept_and_told():
    rows = "2025-03-04T12:30,ph,6.8,,\n2025-03-04T12:30,fish,normal,,\n2025-03-04T12:30,ph,6.9,,\n"
    diary = Diary.read(HEADER + rows)
    assert len(diary) == 3
    assert [str(f) for f in diary.findings] == [
        "diary.csv line 4: ph is 6.9 here and 6.8 on line 2 at the same time 2025-03-04T12:30; "
        "both kept"
    ]


@pytest.mark.parametrize(
    "rows",
    [
        "2025-03-04T12:30,test,5,mg/L,nitrate\n2025-03-04T12:30,test,1,mg/L,phosphate\n",
        "2025-03-04T12:30,degassed_ph,7.8,,same probe\n2025-03-04T12:30,degassed_ph,8,,hand test\n",
        "2025-03-04T12:30,dose,5,mL,iron\n2025-03-04T12:30,dose,3,mL,potassium\n",
        "2025-03-04T12:30,note,,,a\n2025-03-04T12:30,note,,,b\n",
        "2025-03-04T12:30,ph,6.8,,\n2025-03-04T12:30,ph,6.8,,again\n",
    ],
)
def test_what_may_well_stand_at_one_time(rows):
    assert findings(rows) == []


def test_a_cylinder_that_grew_heavier_is_told():
    rows = "2025-03-04T08:00,cylinder_mass,5000,g,\n2025-03-14T08:00,cylinder_mass,5100,g,\n"
    assert findings(rows) == [
        "diary.csv line 3: the cylinder weighs 100 g more than on line 2 and no note tells of a "
        'refill (write "refilled" in the note)'
    ]


@pytest.mark.parametrize(
    "between",
    [
        "2025-03-14T08:00,cylinder_mass,5100,g,refilled\n",
        "2025-03-14T08:00,cylinder_mass,5100,g,new cylinder\n",
        "2025-03-10T08:00,care,cylinder swapped,,\n2025-03-14T08:00,cylinder_mass,5100,g,\n",
        "2025-03-10T08:00,note,,,cylinder filled\n2025-03-14T08:00,cylinder_mass,5100,g,\n",
        "2025-03-14T08:00,cylinder_mass,5010,g,\n",
    ],
)
def test_a_refill_or_the_scale_explains_a_heavier_cylinder(between):
    assert findings("2025-03-04T08:00,cylinder_mass,5000,g,\n" + between) == []


def test_a_refill_explains_one_weighing_only():
    entries = [
        Entry("2025-03-04T08:00", "cylinder_mass", 5000),
        Entry("2025-03-10T08:00", "care", "cylinder refilled"),
        Entry("2025-03-14T08:00", "cylinder_mass", 6000),
        Entry("2025-03-20T08:00", "cylinder_mass", 6100),
    ]
    found = check_entries(entries)
    assert [f.kind for f in found] == ["heavier-cylinder"]
    assert "100 g more than at 2025-03-14T08:00" in found[0].message


def test_a_year_that_may_be_a_slip():
    rows = "".join(f"2025-01-{day:02d}T08:00,ph,6.8,,\n" for day in range(2, 8))
    assert findings(rows) == []
    slip = findings("2024-01-08T08:00,ph,6.8,,\n" + rows)
    (said,) = slip
    assert said.startswith(
        "diary.csv line 2: 2024-01-08T08:00 is 360 days before every other entry"
    )
    assert "after every other entry" in findings(rows + "2026-01-08T08:00,ph,6.8,,\n")[0]


def test_the_future_is_told():
    now = datetime(2025, 3, 4, 12, 0)
    diary = Diary(
        [
            Entry("2025-03-04T11:00", "ph", 6.8),
            Entry("2025-03-04T12:04", "ph", 6.8),
            Entry("2025-03-04T13:00", "drop_checker", "green"),
        ]
    )
    diary.add_readings("ph", ["2025-03-04T11:00", "2025-03-04T12:10", "2025-03-04T12:11"], [7] * 3)
    found = check_future(diary, now)
    assert [f.kind for f in found] == ["in-the-future", "in-the-future"]
    assert found[0].message == (
        "drop_checker green at 2025-03-04T13:00 is later than now (2025-03-04T12:00); "
        "not used until then"
    )
    assert found[1].message.startswith("2 readings of ph up to 2025-03-04T12:11 are later than now")
    assert len(diary) == 3


def test_the_future_of_a_localised_diary():
    diary = Diary([Entry("2025-03-04T12:30", "ph", 6.8)]).localised("Europe/Vienna")
    assert check_future(diary, datetime(2025, 3, 4, 11, 26, tzinfo=UTC)) == []
    assert len(check_future(diary, datetime(2025, 3, 4, 11, 24, tzinfo=UTC))) == 1
    with pytest.raises(InputError, match="cannot be compared"):
        check_future(
            Diary([Entry("2025-03-04T12:30", "ph", 6.8)]), datetime(2025, 3, 4, tzinfo=UTC)
        )


def test_jumps_need_neighbours_close_in_time():
    times = np.array([0, 60, 120, 600, 660])
    values = np.array([7.0, 7.0, 7.4, 6.9, 6.9])
    assert jumps("ph", times, values).tolist() == [2]
    assert jumps("temperature", times, values + 18).tolist() == []


def test_stuck_needs_hours_and_many_readings():
    times = np.arange(500) * 60
    values = np.full(500, 7.0)
    assert stuck("ph", times, values) == [(0, 499)]
    assert stuck("temperature", times, values) == []
    assert stuck("ph", times[:300], values[:300]) == []
    assert stuck("ph", times[::20], values[::20]) == []
    values[250] = 7.01
    assert stuck("ph", times, values) == []
