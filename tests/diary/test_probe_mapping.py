from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.diary.probe_mapping import (
    AS_WRITTEN,
    EPOCH_MS,
    EPOCH_S,
    TIME_FORMS,
    Mapping,
    guess,
    mapped,
)
from leafgill.diary.probe_reader import read_probe
from leafgill.diary.table import decode, read_table
from leafgill.errors import InputError


def table(text):
    return read_table(decode(text.encode(), "log.csv")[0], "log.csv")


def wall(text):
    return int((datetime.fromisoformat(text) - datetime(1970, 1, 1)).total_seconds())


PH = ((1, "ph", ""),)


@pytest.mark.parametrize(
    ("typed", "form", "read"),
    [
        ("2025-03-14 12:30", AS_WRITTEN, "2025-03-14T12:30:00"),
        ("2025/03/14 12:30:05", AS_WRITTEN, "2025-03-14T12:30:05"),
        ("14.03.2025 12:30", AS_WRITTEN, "2025-03-14T12:30:00"),
        ("14.03.25 12:30", AS_WRITTEN, "2025-03-14T12:30:00"),
        ("3/14/25 12:30 PM", AS_WRITTEN, "2025-03-14T12:30:00"),
        ("04.03.2025 12:30", "day first", "2025-03-04T12:30:00"),
        ("04/03/2025 12:30", "month first", "2025-04-03T12:30:00"),
        ("4 Mar 2025 12:30", AS_WRITTEN, "2025-03-04T12:30:00"),
        ("04-Mar-25, 12:30", AS_WRITTEN, "2025-03-04T12:30:00"),
        ("March 4, 2025 12:30", AS_WRITTEN, "2025-03-04T12:30:00"),
    ],
)
def test_times_are_read_in_any_common_form(typed, form, read):
    rows = mapped(table(f"a;b\n{typed};6.8\n"), Mapping(0, PH, form=form)).rows
    assert rows == [(2, [read, "6.8"])]
    as_utc = mapped(table(f"a;b\n{typed};6.8\n"), Mapping(0, PH, form=form, utc=True)).rows
    assert as_utc == [(2, [f"{read}Z", "6.8"])]


def test_counted_seconds_are_real_time_and_an_offset_is_obeyed():
    seconds = int(datetime(2025, 3, 14, 12, 30, tzinfo=UTC).timestamp())
    for form, typed in ((EPOCH_S, f"{seconds}"), (EPOCH_MS, f"{seconds}123")):
        rows = mapped(table(f"a,b\n{typed},6.8\n"), Mapping(0, PH, form=form)).rows
        assert rows == [(2, ["2025-03-14T12:30:00Z", "6.8"])]
    rows = mapped(table("a,b\n2025-03-14T12:30+02:00,6.8\n"), Mapping(0, PH)).rows
    assert rows == [(2, ["2025-03-14T10:30:00Z", "6.8"])]


def test_one_date_over_twelve_settles_the_order_of_all():
    text = "a;b\n04.03.25 08:00;6.8\n25.03.25 08:00;6.7\n"
    rows = mapped(table(text), Mapping(0, PH)).rows
    assert [cells[0] for _, cells in rows] == ["2025-03-04T08:00:00", "2025-03-25T08:00:00"]


def test_date_and_clock_may_stand_in_two_columns():
    text = "Date\tTime\tpH\n2025-03-04 00:00:00\t08:15\t6.8\n2025-03-04\t8:16 pm\t6.7\n"
    rows = mapped(table(text), Mapping(0, ((2, "ph", ""),), clock=1)).rows
    assert [cells[0] for _, cells in rows] == ["2025-03-04T08:15:00", "2025-03-04T20:16:00"]


def test_readings_come_out_in_the_sensors_own_units_on_their_own_lines():
    text = (
        b"# logger 7\nno;when;water F;acidity\n\n"
        b"1;04.03.25 08:00;77;6,91\n2;04.03.25 08:01;x;6,90\n"
    )
    mapping = Mapping(1, ((2, "temperature", "°F"), (3, "ph", "")), form="day first")
    streams, findings = read_probe(text, "log.csv", mapping)
    assert streams["temperature"].values == pytest.approx([25.0])
    assert np.array_equal(streams["ph"].values, [6.91, 6.90])
    assert streams["ph"].times_s[0] == wall("2025-03-04T08:00")
    assert streams["ph"].local
    lines = {f.kind: f.lines or f.line for f in findings}
    assert lines["not-a-number"] == (5,)
    assert lines["comment-line"] == (1,)
    assert "column no is not read" in [f.message for f in findings]


def test_a_file_without_titles_loses_no_reading():
    streams, _ = read_probe(
        b"1741075200,6.80\n1741075260,6.81\n",
        "log.csv",
        Mapping(0, PH, form=EPOCH_S, titled=False),
    )
    assert streams["ph"].times_s.tolist() == [1741075200, 1741075260]
    assert not streams["ph"].local


@pytest.mark.parametrize(
    ("mapping", "words"),
    [
        (Mapping(0, ()), "no column is named"),
        (Mapping(0, ((0, "ph", ""),)), "chosen for two things"),
        (Mapping(0, ((1, "ph", ""), (2, "ph", ""))), "chosen for two columns"),
        (Mapping(0, ((9, "ph", ""),)), "that the file has not"),
        (Mapping(0, ((-1, "ph", ""),)), "that the file has not"),
        (Mapping(0, ((1, "mood", ""),)), "is not known"),
    ],
)
def test_a_mapping_that_cannot_be_meant_is_refused(mapping, words):
    with pytest.raises(InputError, match=words):
        mapped(table("a,b,c\n2025-03-04T08:00,6.8,1\n"), mapping)


def test_a_time_that_cannot_be_read_is_named_with_its_line():
    with pytest.raises(InputError, match=r"log\.csv line 3, column time: .*soon"):
        mapped(table("a,b\n2025-03-04T08:00,6.8\nsoon,6.7\n"), Mapping(0, PH))
    with pytest.raises(InputError, match="no number of seconds"):
        mapped(table("a,b\nsoon,6.8\n"), Mapping(0, PH, form=EPOCH_S))
    with pytest.raises(InputError, match="is in the year 1970; accepted: 1990 to 2199"):
        mapped(table("a,b\n17,6.8\n"), Mapping(0, PH, form=EPOCH_S))
    with pytest.raises(InputError, match="day-month or month-day"):
        mapped(table("a,b\n04/03/2025 08:00,6.8\n"), Mapping(0, PH))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Time,pH\n2025-03-04T08:00,6.8\n", Mapping(0, PH)),
        (
            "no;Date;Time;Tank pH;Water temp (°F)\n1;04.03.25;08:00;6,9;77\n",
            Mapping(1, ((3, "ph", ""), (4, "temperature", "°F")), clock=2),
        ),
        ("1741075200,6.8\n", Mapping(0, (), form=EPOCH_S, titled=False)),
        ("stamp\tDO\n1741075200123\t8.1\n", Mapping(0, ((1, "o2", ""),), form=EPOCH_MS)),
        (
            "probe temp F,recorded,room CO2 ppm\n77,4 Mar 2025 08:00,600\n",
            Mapping(1, ((0, "temperature", "°F"), (2, "room_co2", ""))),
        ),
    ],
)
def test_columns_are_guessed_from_titles_and_first_cells(text, expected):
    found = guess(table(text))
    assert found.time == expected.time
    assert found.clock == expected.clock
    assert found.form == expected.form
    assert found.titled == expected.titled
    assert [(i, s) for i, s, _ in found.sensors] == [(i, s) for i, s, _ in expected.sensors]


_CELL = st.text(alphabet="0123456789.,:;-/ aTpmMarZ'\"+e\t|#", max_size=18)


@given(
    st.lists(st.lists(_CELL, min_size=1, max_size=4), min_size=1, max_size=6),
    st.sampled_from(",;\t|"),
    st.integers(-1, 4),
    st.integers(-1, 4),
    st.sampled_from(TIME_FORMS),
    st.booleans(),
    st.booleans(),
)
def test_whatever_comes_in_is_read_or_refused_in_one_line(
    rows, separator, time, column, form, utc, titled
):
    data = "\n".join(separator.join(cells) for cells in rows).encode()
    mapping = Mapping(time, ((column, "ph", ""),), form=form, utc=utc, titled=titled)
    try:
        guess(table(data.decode()))
        streams, _ = read_probe(data, "log.csv", mapping)
    except InputError as wrong:
        assert "\n" not in str(wrong)
    else:
        values = streams["ph"].values
        assert ((values >= 3.0) & (values <= 11.0)).all()
