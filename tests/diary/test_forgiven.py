"""Files that spreadsheets and phones make: read, with a named warning for what was mended."""

import pytest

from leafgill.diary import FINDINGS, Diary, Entry, Kind

HEADER = "time,kind,value,unit,note\n"
ROW = "2025-03-04T12:30,ph,6.8,,\n"
WANTED = [Entry("2025-03-04T12:30", "ph", 6.8)]


def names(diary: Diary) -> list[str]:
    return [finding.kind for finding in diary.findings]


def one(text: str | bytes, kind: str) -> str:
    """Read a file in which one thing is forgiven; return what is said about it."""
    diary = Diary.read(text)
    assert diary.entries == WANTED
    assert names(diary) == [kind]
    assert diary.findings[0].level == "warning"
    assert diary.findings[0].kind in FINDINGS
    return str(diary.findings[0])


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        (b"\xef\xbb\xbf" + (HEADER + ROW).encode(), "bom", "byte order mark"),
        ((HEADER + ROW).encode("utf-16"), "encoding", "UTF-16"),
        (HEADER.replace(",", ";") + ROW.replace(",", ";"), "separator", "semicolons"),
        (HEADER.replace(",", "\t") + ROW.replace(",", "\t"), "separator", "tabs"),
        (HEADER.replace(",", "|") + ROW.replace(",", "|"), "separator", "bars"),
        ("sep=;\n" + (HEADER + ROW).replace(",", ";"), "separator", "semicolons"),
        (HEADER + '2025-03-04T12:30,ph,"6,8",,\n', "decimal-comma", "line 2"),
        (HEADER + "2025-03-04T12:30,ph,6,8,,\n", "decimal-comma", "taken as 6.8"),
        ("time,kind,value\n2025-03-04T12:30,ph,6,8\n", "decimal-comma", "taken as 6.8"),
        (HEADER + "2025-03-04T12:30,ph,6,8\n", "decimal-comma", "taken as 6.8"),
        ((HEADER + ROW).replace("\n", "\r"), "line-endings", "carriage return"),
        (HEADER + "\n" + ROW + "\n\n", "blank-line", "lines 2, 4, 5 are blank"),
        (HEADER + "# my first test\n" + ROW, "comment-line", "line 2"),
        (HEADER + ROW + ROW, "repeated-row", "diary.csv line 3: repeats line 2; kept once"),
        (HEADER + "2025-03-04 12:30,ph,6.8,,\n", "time-with-space", "line 2"),
        (HEADER + "2025/03/04T12:30,ph,6.8,,\n", "date-form", "hyphens"),
        (HEADER + "2025-03-04T12:30,ph,'6.8',,\n", "quoted-value", "quotes of its own"),
        (
            "who,time,kind,value\nAda,2025-03-04T12:30,ph,6.8\n",
            "unknown-column",
            "column who is not read",
        ),
    ],
    ids=lambda x: x if isinstance(x, str) and x in FINDINGS else "",
)
def test_one_thing_is_forgiven_and_told(text, kind, said):
    assert said in one(text, kind)


@pytest.mark.parametrize(
    "text",
    [
        HEADER + ROW,
        (HEADER + ROW).replace("\n", "\r\n"),
        "kind,time,value\nph,2025-03-04T12:30,6.8\n",
        " Time , KIND ,Value,Unit,Note\n 2025-03-04T12:30 , PH , 6.8 ,,\n",
        "note,unit,value,kind,time\n,,6.8,ph,2025-03-04T12:30\n",
        "time,kind,value,unit,note\n2025-03-04T12:30,ph,6.8\n",
        '"time","kind","value","unit","note"\n"2025-03-04T12:30","ph","6.8","",""\n',
        HEADER + "2025-03-04T12:30:00,ph,6.80,,\n",
        HEADER + "2025-03-04T12:30,ph,6.8 pH,,\n",
    ],
)
def test_what_needs_no_forgiving_says_nothing(text):
    diary = Diary.read(text)
    assert diary.entries == WANTED
    assert diary.findings == []


def test_western_european_bytes_are_read_as_such():
    text = HEADER + "2025-03-04T12:30,temperature,77,°F,\n"
    diary = Diary.read(text.encode("cp1252"))
    assert diary.entries[0].number == pytest.approx(25.0)
    assert names(diary) == ["encoding"]


def test_unsorted_rows_are_sorted_and_told():
    diary = Diary.read(HEADER + "2025-03-05T12:30,ph,6.7,,\n" + ROW + "2025-03-06T08:00,ph,7,,\n")
    assert [e.number for e in diary] == [6.8, 6.7, 7.0]
    assert names(diary) == ["unsorted-rows"]
    assert str(diary.findings[0]).startswith("diary.csv line 3: rows are not in order of time")


def test_a_note_with_an_unquoted_comma_is_kept_whole():
    diary = Diary.read(HEADER + "2025-03-04T12:30,kh,4,dKH,drop 0.5, done twice\n")
    assert diary.entries[0].note == "drop 0.5, done twice"
    assert diary.entries[0].resolution == 0.5
    assert names(diary) == ["unquoted-note"]


@pytest.mark.parametrize(
    ("typed", "date"),
    [
        ("25.03.2025 08:05", "2025-03-25T08:05"),
        ("25/03/2025 8:05", "2025-03-25T08:05"),
        ("25-3-2025 08:05:30", "2025-03-25T08:05:30"),
    ],
)
def test_a_day_first_date_that_can_be_nothing_else_is_read(typed, date):
    diary = Diary.read(HEADER + f"{typed},ph,6.8,,\n")
    assert diary.entries == [Entry(date, "ph", 6.8)]
    assert names(diary) == ["day-first-date"]


def test_one_clear_date_settles_the_order_for_the_file():
    rows = "04/03/2025 08:00,ph,6.8,,\n25/03/2025 08:00,ph,6.9,,\n"
    diary = Diary.read(HEADER + rows)
    assert [e.time.month for e in diary] == [3, 3]
    assert str(diary.findings[0]) == "diary.csv line 2: dates are written day first (lines 2, 3)"
    american = Diary.read(HEADER + "3/4/2025 8:00 PM,ph,6.8,,\n3/25/2025 12:10 AM,ph,6.9,,\n")
    assert [(e.time.month, e.time.day, e.time.hour) for e in american] == [(3, 4, 20), (3, 25, 0)]
    assert names(american) == ["month-first-date"]


def test_dates_that_contradict_each_other_settle_nothing():
    rows = "04/03/2025 08:00,ph,6.8,,\n25/03/2025 08:00,ph,6.9,,\n03/26/2025 08:00,ph,6.9,,\n"
    with pytest.raises(ValueError, match=r"line 2.*day-month or month-day"):
        Diary.read(HEADER + rows)


def test_offsets_are_kept_and_told_once():
    rows = "2025-03-04T12:30Z,ph,6.8,,\n2025-03-04T14:30+01:00,ph,6.9,,\n"
    diary = Diary.read(HEADER + rows)
    assert [e.time.isoformat() for e in diary] == [
        "2025-03-04T12:30:00+00:00",
        "2025-03-04T14:30:00+01:00",
    ]
    assert names(diary) == ["time-with-offset"]
    assert diary.findings[0].lines == (2, 3)


def test_units_in_the_unit_column_are_honoured():
    rows = [
        ("temperature", "77", "°F", 25.0, "°C"),
        ("kh", "71.4", "ppm", 4.0, "dKH"),
        ("kh", "4", "dKH", 4.0, "dKH"),
        ("gh", "178.5", "ppm", 10.0, "dGH"),
        ("cylinder_mass", "5.9", "kg", 5900.0, "g"),
        ("cylinder_mass", "13", "lb", 5896.7, "g"),
        ("cylinder_mass", "208", "oz", 5896.7, "g"),
        ("cylinder_pressure", "830", "psi", 57.23, "bar"),
        ("working_pressure", "30", "psi", 2.068, "bar"),
        ("bubble_rate", "90", "per min", 1.5, "per s"),
        ("test", "10", "ppm", 10.0, "mg/L"),
        ("temperature", "25", "C", 25.0, "°C"),
    ]
    for kind, value, unit, wanted, own_unit in rows:
        note = "nitrate" if kind == "test" else ""
        diary = Diary.read(HEADER + f"2025-03-04T12:30,{kind},{value},{unit},{note}\n")
        entry = diary.entries[0]
        assert entry.number == pytest.approx(wanted, rel=1e-3), kind
        assert entry.unit == own_unit
        assert diary.findings == []


def test_thousands_are_told_from_a_decimal_comma_by_what_is_accepted():
    diary = Diary.read(HEADER + '2025-03-04T12:30,cylinder_mass,"5,931",g,\n')
    assert diary.entries[0].number == 5931.0
    diary = Diary.read(HEADER + '2025-03-04T12:30,ph,"6,805",,\n')
    assert diary.entries[0].number == 6.805
    assert names(diary) == ["decimal-comma"]


def test_a_diary_with_a_header_only_is_an_empty_diary():
    diary = Diary.read(HEADER)
    assert len(diary) == 0
    assert diary.of(Kind.PH) == []
