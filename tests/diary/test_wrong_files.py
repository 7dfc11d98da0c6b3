"""Files a keeper may hand over by mistake: each is refused in one line that says what and where."""

import pytest

from leafgill.diary import Diary
from leafgill.errors import InputError

HEADER = "time,kind,value,unit,note\n"
GOOD = "2025-03-04T08:00,bubble_rate,1.0,per s,\n"


def row(text: str) -> str:
    return HEADER + GOOD + text + "\n"


# name, the file, what the message must hold
WRONG_DIARIES = [
    (
        "ph of 66",
        row("2025-03-04T12:30,ph,66,,"),
        ["diary.csv line 3", "value 66", "pH", "accepted: 3 to 11", "did you mean 6.6?"],
    ),
    (
        "ph of 660",
        row("2025-03-04T12:30,ph_probe,660,,"),
        ["line 3", "value 660", "accepted: 3 to 11", "did you mean 6.6?"],
    ),
    (
        "bare kh in ppm",
        row("2025-03-04T12:30,kh,71,,"),
        ["line 3", "value 71", "accepted: 0 to 30 dKH", "did you mean 71 ppm = 3.97"],
    ),
    (
        "bare gh in ppm",
        row("2025-03-04T12:30,gh,120,,"),
        ["line 3", "value 120", "accepted: 0 to 60 dGH", "did you mean 120 ppm = 6.7"],
    ),
    (
        "bare fahrenheit",
        row("2025-03-04T12:30,temperature,77,,"),
        ["line 3", "value 77", "accepted: 5 to 40 °C", "did you mean 77 °F = 25 °C?"],
    ),
    (
        "bubbles a minute",
        row("2025-03-04T12:30,bubble_rate,500,per s,"),
        ["value 500 per s", "accepted: 0 to 50 per s", "did you mean 500 per min = 8.3"],
    ),
    (
        "impossible bubbles",
        row("2025-03-04T12:30,bubble_count,9000,10 s,"),
        ["value 9000 10 s = 900 per s over 10 s", "bubble count", "accepted: 0 to 50"],
    ),
    (
        "bubble count in litres",
        row("2025-03-04T12:30,bubble_count,9,L,"),
        ['unit "L"', "bubble count", 'accepted: "10 s"'],
    ),
    (
        "counted over no time",
        row("2025-03-04T12:30,bubble_count,9,0 s,"),
        ['unit "0 s"', "accepted: 1 to 3600 s"],
    ),
    (
        "mass in kg",
        row("2025-03-04T12:30,cylinder_mass,5.9,g,"),
        ["value 5.9 g", "accepted: 50 to 200000 g", "did you mean 5.9 kg = 5900 g?"],
    ),
    (
        "pressure in psi",
        row("2025-03-04T12:30,cylinder_pressure,830,bar,"),
        ["value 830 bar", "accepted: 0 to 250 bar", "did you mean 830 psi = 57.2"],
    ),
    (
        "working pressure in psi",
        row("2025-03-04T12:30,working_pressure,30,,"),
        ["value 30", "accepted: 0 to 12 bar", "did you mean 30 psi = 2.06"],
    ),
    (
        "more than all the water",
        row("2025-03-04T12:30,water_change,140,%,"),
        ["line 3", "value 140 %", "water change", "accepted: 0 to 100 %"],
    ),
    (
        "water change in litres",
        row("2025-03-04T12:30,water_change,20,L,"),
        ['unit "L"', "water change", 'write it in "%"'],
    ),
    (
        "new water too hard",
        row("2025-03-04T12:30,water_change,20,%,kh 54"),
        ['note "kh 54"', "54 dKH", "accepted: 0 to 30 dKH", "did you mean 54 ppm?"],
    ),
    (
        "unknown kind",
        row("2025-03-04T12:30,tempreture,25,,"),
        ['kind "tempreture"', "did you mean temperature?", "accepted: ph, ph_probe"],
    ),
    (
        "no kind",
        row("2025-03-04T12:30,,25,,"),
        ["line 3", "kind is empty", "accepted: ph, ph_probe"],
    ),
    (
        "unknown colour",
        row("2025-03-04T12:30,drop_checker,teal,,"),
        ['value "teal"', "accepted: blue, blue-green, green, yellow-green, yellow"],
    ),
    (
        "misspelt colour",
        row("2025-03-04T12:30,drop_checker,yelow,,"),
        ['value "yelow"', "did you mean yellow?"],
    ),
    (
        "unknown behaviour",
        row("2025-03-04T12:30,fish,gaspng,,"),
        ['value "gaspng"', "did you mean gasping?", "normal, fast-breathing, gasping, dead"],
    ),
    (
        "no value",
        row("2025-03-04T12:30,ph,,,"),
        ["line 3", "value is empty", "pH", "accepted: 3 to 11"],
    ),
    (
        "words for a number",
        row("2025-03-04T12:30,ph,about seven,,"),
        ['value "about seven" is not a number', "accepted: 3 to 11"],
    ),
    (
        "not a number at all",
        row("2025-03-04T12:30,ph,nan,,"),
        ['value "nan" is not a number', "accepted: 3 to 11"],
    ),
    (
        "endless number",
        row("2025-03-04T12:30,cylinder_mass,1e999,g,"),
        ["is not a number", "cylinder mass", "accepted: 50 to 200000 g"],
    ),
    (
        "wrong unit",
        row("2025-03-04T12:30,temperature,25,bar,"),
        ['unit "bar"', "temperature", 'write it in "°C"'],
    ),
    (
        "a unit for ph",
        row("2025-03-04T12:30,ph,6.8,mg/L,"),
        ['unit "mg/L"', "pH", "leave the unit empty"],
    ),
    (
        "two units",
        row("2025-03-04T12:30,cylinder_mass,5.9 kg,g,"),
        ['value "5.9 kg" and unit "g" name different units'],
    ),
    (
        "comma that may be either",
        row('2025-03-04T12:30,dose,"1,234",mL,'),
        ['value "1,234" may be 1234 or 1.234', "write it without a comma"],
    ),
    (
        "oxygen beyond water",
        row("2025-03-04T12:30,test,80,mg/L,oxygen"),
        ["value 80", "oxygen", "accepted: 0 to 30 mg/L"],
    ),
    (
        "hours as a number",
        row("2025-03-04T12:30,gas_day,9 hours,,"),
        ['value "9 hours"', "gas hours", "accepted: hours as 08:30-17:30, or off"],
    ),
    (
        "hours that do not exist",
        row("2025-03-04T12:30,light_day,08:30-27:30,,"),
        ['value "08:30-27:30"', "light hours", "accepted: hours as 08:30-17:30, or off"],
    ),
    (
        "dose in gallons",
        row("2025-03-04T12:30,dose,5,gal,"),
        ['unit "gal"', "accepted: mL, L, g, mg, drops, pumps, tablets"],
    ),
    (
        "negative dose",
        row("2025-03-04T12:30,dose,-5,mL,"),
        ["value -5 mL", "accepted: 0 to 100000"],
    ),
    (
        "care without words",
        row("2025-03-04T12:30,care,,,"),
        ["value is empty", "care", "accepted: any words"],
    ),
    (
        "day and month unclear",
        row("04/03/2025 12:30,ph,6.8,,"),
        ["line 3", 'time "04/03/2025 12:30"', "day-month or month-day", "2025-03-04T12:30"],
    ),
    (
        "no clock time",
        row("2025-03-04,ph,6.8,,"),
        ['time "2025-03-04" has no clock time', "as 2025-03-04T12:30"],
    ),
    (
        "no such day",
        row("2025-02-30T12:30,ph,6.8,,"),
        ["line 3", 'time "2025-02-30T12:30" does not exist', "2025-03-04T12:30"],
    ),
    (
        "no such hour",
        row("2025-03-04T25:30,ph,6.8,,"),
        ['time "2025-03-04T25:30" does not exist', "hour"],
    ),
    (
        "year of a typing slip",
        row("0225-03-04T12:30,ph,6.8,,"),
        ["year 225", "accepted: 1990 to 2199"],
    ),
    (
        "time missing",
        row(",ph,6.8,,"),
        ["line 3", "time is empty", "write it as 2025-03-04T12:30"],
    ),
    (
        "time in words",
        row("yesterday noon,ph,6.8,,"),
        ['time "yesterday noon" is not a date and time'],
    ),
    (
        "value that spans lines",
        row('2025-03-04T12:30,ph,"6.8\nor so",,'),
        ["line 3", 'unit "or so"', "leave the unit empty"],
    ),
    (
        "quote never closed",
        row('2025-03-04T12:30,note,"so it began,,\n2025-03-04T13:30,ph,6.8,,'),
        ["diary.csv line 3", 'a quote (") is opened and not closed'],
    ),
    (
        "two cells too many",
        "kind,time,note,unit,value\nph,2025-03-04T12:30,a,,6,8,1\n",
        ["line 2", "7 cells under 5 titles", "needs quotes, or a point"],
    ),
    ("empty file", "", ["diary.csv: the file is empty"]),
    ("blank file", "\n  \n", ["diary.csv: the file is empty"]),
    (
        "header alone is missing",
        GOOD,
        ["diary.csv line 1", "the header is missing", "accepted: time,kind,value,unit,note"],
    ),
    (
        "another program's table",
        "Fish,Count\nneon,12\n",
        ["line 1", 'header "Fish,Count" has no column time, kind, value', "accepted: time,kind"],
    ),
    (
        "header after a blank line",
        "\nTime,Sort,Value\n",
        ["diary.csv line 2", "has no column kind", "accepted: time,kind,value,unit,note"],
    ),
    (
        "date and time apart",
        "date,time,kind,value\n2025-03-04,12:30,ph,6.8\n",
        ["line 1", "has time twice", "write date and time in one column"],
    ),
    (
        "probe file for a diary",
        "time,ph\n2025-03-04T12:30,6.8\n",
        ['header "time,ph"', "probe file", "accepted: time,kind,value,unit,note"],
    ),
    (
        "tank file for a diary",
        '[tank]\nname = "Window"\nvolume_l = 60\n',
        ["diary.csv: this is a tank file", "the header time,kind,value,unit,note"],
    ),
    (
        "json for a diary",
        '{"entries": []}',
        ["diary.csv: this is not CSV", "the header time,kind,value,unit,note"],
    ),
    ("a picture", "\x89PNG\r\n\x1a\n\x00\x00\x00", ["diary.csv: is not a text file"]),
]

T = "2025-03-04T12:3"
WRONG_PROBES = [
    ("empty probe", "", ["probe.csv: the file is empty"]),
    (
        "no time column",
        "ph,temperature\n6.8,25\n",
        ["probe.csv line 1", 'header "ph,temperature" has no column time', "accepted: time and"],
    ),
    (
        "no sensor",
        f"time,mood\n{T}0,good\n",
        ['header "time,mood" has no sensor', "accepted: time and any of ph, temperature"],
    ),
    (
        "one sensor twice",
        f"time,ph,ph_probe\n{T}0,6.8,6.9\n",
        ["probe.csv line 1", "has the sensor ph twice"],
    ),
    (
        "diary for a probe file",
        HEADER + GOOD,
        ["is that of a diary, not a probe file", "accepted: time and any of ph"],
    ),
    (
        "tank file for a probe file",
        '[tank]\nname = "Window"\n',
        ["probe.csv: this is a tank file, not a probe file"],
    ),
    (
        "wrong time in a row",
        f"time,ph\n{T}0,6.8\n{T}x,6.8\n",
        ["probe.csv line 3, column time", f'"{T}x" is not a date and time', "2025-03-04T12:30"],
    ),
    (
        "offsets on some rows",
        f"time,ph\n{T}0,6.8\n{T}1Z,6.8\n",
        ["probe.csv line 3, column time", "has an offset", "accepted: all with or all without"],
    ),
    (
        "millivolts",
        f"time,ph\n{T}0,-12.1\n{T}1,-12.3\n{T}2,7.0\n",
        [
            "probe.csv line 2, column ph",
            "-12.1 is not accepted",
            "accepted: 3 to 11",
            "1 more of 3",
        ],
    ),
    (
        "ph without its point",
        f"time,ph\n{T}0,66\n{T}1,66\n",
        ["line 2, column ph", "66 is not accepted", "did you mean 6.6?"],
    ),
    (
        "fahrenheit column",
        f"time,temperature\n{T}0,77\n{T}1,77.2\n",
        [
            "column temperature",
            "77 °C is not accepted",
            "accepted: 5 to 40",
            'title the column "temperature (°F)"',
        ],
    ),
    (
        "words in most rows",
        f"time,ph\n{T}0,ok\n{T}1,ok\n{T}2,6.8\n",
        ["probe.csv line 2, column ph", '"ok" is not a number', "1 more of 3", "accepted: numbers"],
    ),
]


def one_line(error: pytest.ExceptionInfo[InputError]) -> str:
    message = str(error.value)
    assert message.strip() == message
    assert len(message.splitlines()) == 1
    assert len(message) < 420
    return message


@pytest.mark.parametrize(
    ("text", "parts"), [w[1:] for w in WRONG_DIARIES], ids=[w[0] for w in WRONG_DIARIES]
)
def test_a_wrong_diary_is_refused_in_one_line(tmp_path, text, parts):
    path = tmp_path / "diary.csv"
    path.write_bytes(text.encode())
    with pytest.raises(InputError) as error:
        Diary.load(path)
    message = one_line(error)
    for part in parts:
        assert part in message


@pytest.mark.parametrize(
    ("text", "parts"), [w[1:] for w in WRONG_PROBES], ids=[w[0] for w in WRONG_PROBES]
)
def test_a_wrong_probe_file_is_refused_in_one_line(tmp_path, text, parts):
    (tmp_path / "diary.csv").write_text(HEADER + GOOD)
    path = tmp_path / "probe.csv"
    path.write_bytes(text.encode())
    with pytest.raises(InputError) as error:
        Diary.load(tmp_path / "diary.csv", probe=path)
    message = one_line(error)
    for part in parts:
        assert part in message


def test_the_first_wrong_row_is_named_and_the_others_counted():
    rows = "".join(f"2025-03-04T12:{m:02d},ph,66,,\n" for m in range(9))
    with pytest.raises(InputError) as error:
        Diary.read(HEADER + rows)
    message = one_line(error)
    assert message.startswith("diary.csv line 2: value 66")
    assert message.endswith("also wrong: lines 3, 4, 5, 6, 7 and 3 more")


def test_a_missing_file_and_a_folder_are_refused(tmp_path):
    with pytest.raises(InputError, match=r"nowhere\.csv: no such file"):
        Diary.load(tmp_path / "nowhere.csv")
    with pytest.raises(InputError, match="is a folder, not a file"):
        Diary.load(tmp_path)


def test_an_error_tells_its_place_apart_from_its_words():
    with pytest.raises(InputError) as error:
        Diary.read(row("2025-03-04T12:30,ph,66,,"), name="mine.csv")
    assert error.value.where == "mine.csv line 3"
    assert error.value.message.startswith("value 66 is not accepted")
    with pytest.raises(InputError) as error:
        Diary.read(HEADER, f"time,ph\n{T}0,6.8\nnoon,6.8\n")
    assert error.value.where == "probe.csv line 3, column time"
