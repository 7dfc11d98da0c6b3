import json
from datetime import UTC, datetime

import pytest

from leafgill.errors import InputError
from leafgill.web.ingest.body import LARGEST, MOST_READINGS, read_body

NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)
S = int(NOW.timestamp())
ZONE = "Europe/Berlin"


def read(data, content_type="", kind="ph", now=NOW):
    if not isinstance(data, bytes | str):
        data = json.dumps(data)
    data = data.encode() if isinstance(data, str) else data
    return read_body(data, content_type, kind, ZONE, now)


def pairs(sent):
    return list(zip(sent.times_s, sent.values, strict=True))


@pytest.mark.parametrize(
    "data",
    ["6.8", " 6,8\n", {"value": 6.8}, {"value": "6.8", "time": None}, [6.8], [{"value": 6.8}],
     [[S, 6.8]], {"readings": [{"value": 6.8, "time": S}]}, 
     {"value": 6.8, "time": "2025-03-08T12:10"},
     "time,ph\n2025-03-08T12:10,6.8\n", "time,value\n2025-03-08T11:10:00Z,6.8\n"],
)  # fmt: skip
def test_one_reading_in_every_way_it_is_sent(data):
    sent = read(data)
    assert pairs(sent) == [(S, 6.8)]
    assert (sent.refused, sent.why) == (0, [])


def test_many_at_once_and_what_cannot_be_read_is_counted():
    sent = read([{"value": 6.8, "time": S}, {"value": "x", "time": S}, {"ph": 6.8}, [S - 60, 6.9],
                 {"value": 6.7, "time": "yesterday"}])  # fmt: skip
    assert pairs(sent) == [(S, 6.8), (S - 60, 6.9)]
    assert sent.refused == 3
    assert sent.why[0] == 'value "x" is no number'
    assert sent.why[1].startswith('"ph" is no reading; accepted: ')


def test_units_are_turned_into_the_sensors():
    sent = read({"value": 77, "unit": "°F"}, kind="temperature")
    assert sent.values == pytest.approx([25.0])
    with pytest.raises(InputError, match="psi"):
        read({"value": 77, "unit": "psi"}, kind="temperature")


def test_a_table_keeps_what_is_out_of_range_for_its_doubts():
    sent = read("time,ph\n2025-03-08T12:09,14.9\n2025-03-08T12:10,6.8\n", "text/csv")
    assert pairs(sent) == [(S - 60, 14.9), (S, 6.8)]


def test_a_table_without_the_sensor_is_told():
    with pytest.raises(InputError, match="there is no column ph in it, but temperature"):
        read("time,temperature\n2025-03-08T12:10,25\n")


def test_a_tables_cells_without_a_number_are_counted():
    sent = read("time,ph\n2025-03-08T12:08,6.7\n2025-03-08T12:09,x\n2025-03-08T12:10,6.8\n")
    assert (len(sent.values), sent.refused) == (2, 1)
    assert "no number for ph" in sent.why[0]


@pytest.mark.parametrize("minute", [0, 30])
def test_a_tables_hour_that_comes_twice_is_the_nearer_one(minute):
    for hour in (0, 1):  # the clocks of Berlin show 02 in both
        now = datetime(2025, 10, 26, hour, minute, tzinfo=UTC)
        sent = read(f"time,ph\n2025-10-26T02:{minute:02d},6.8\n", now=now)
        assert sent.times_s == [now.timestamp()]


def test_a_table_through_the_night_the_clocks_are_put_back():
    rows = ["02:00", "02:30", "02:59", "02:00", "02:30", "03:00"]
    text = "time,ph\n" + "".join(f"2025-10-26T{r},6.{n}\n" for n, r in enumerate(rows))
    found = dict(zip(read(text).values, read(text).times_s, strict=True))
    start = datetime(2025, 10, 26, 0, 0, tzinfo=UTC).timestamp()
    minutes = [(found[6 + n / 10] - start) / 60 for n in range(6)]
    assert minutes == [0, 30, 59, 60, 90, 120]


@pytest.mark.parametrize(
    "data",
    [b"", b" ", b"\xff\x00", "x", "[]", "{}", '{"readings": []}', "[[]]", '{"value": [1]}', "null",
     "true", '{"value": 6.8, "valeu": 1}', "time,ph\n", "time,ph\n1,2\n", "[" * 5000,
     b"9" * (LARGEST + 1), "NaN", '"6.8"'],
)  # fmt: skip
def test_what_is_no_reading_is_told_in_one_line(data):
    with pytest.raises(InputError) as told:
        read(data)
    assert str(told.value)
    assert "\n" not in str(told.value)


def test_more_than_anybody_has_to_catch_up_on_is_refused():
    assert len(read([6.8] * MOST_READINGS).values) == MOST_READINGS
    with pytest.raises(InputError, match="more than 20000 readings at once"):
        read([6.8] * (MOST_READINGS + 1))
