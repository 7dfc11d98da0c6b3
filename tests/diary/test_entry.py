"""Entries made in code: values made plain, notes read, slips named."""

from datetime import UTC, datetime, time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.diary import COLOURS, FISH, KINDS, Entry, Kind
from leafgill.errors import InputError
from leafgill.tank.schedule import Window

AT = "2025-03-04T12:30"


def cautions(entry: Entry) -> list[str]:
    return [caution.kind for caution in entry.cautions]


def test_an_entry_is_made_from_text_or_from_objects():
    made = Entry(AT, "ph", 6.8)
    assert made == Entry(datetime(2025, 3, 4, 12, 30), Kind.PH, "6.8")
    assert made == Entry(AT, "pH", np.float64(6.8))
    assert (made.time, made.kind, made.value, made.unit, made.note) == (
        datetime(2025, 3, 4, 12, 30),
        Kind.PH,
        6.8,
        "",
        "",
    )
    assert made.cautions == ()
    assert Entry(AT, Kind.PH, "6,8").value == 6.8
    assert Entry(AT, Kind.GH, 6).value == 6.0


def test_an_entry_cannot_be_changed_and_can_be_counted():
    made = Entry(AT, "ph", 6.8)
    with pytest.raises(AttributeError):
        made.value = 7.0
    assert len({made, Entry(AT, "ph", 6.8), Entry(AT, "ph", 6.9)}) == 2


def test_aware_times_are_kept():
    when = datetime(2025, 3, 4, 12, 30, tzinfo=UTC)
    assert Entry(when, "ph", 6.8).time is when
    assert Entry("2025-03-04T13:30+01:00", "ph", 6.8).time == when


def test_the_typed_value_comes_back_by_its_type():
    assert Entry(AT, "ph", 6.8).number == 6.8
    assert Entry(AT, "drop_checker", "green").word == "green"
    assert Entry(AT, "gas_day", "08:30-17:30").window == Window(time(8, 30), time(17, 30))
    never = Entry(AT, "light_day", "off").window
    assert never.on == never.off
    with pytest.raises(TypeError, match="ph holds no word"):
        _ = Entry(AT, "ph", 6.8).word
    with pytest.raises(TypeError, match="fish holds no number"):
        _ = Entry(AT, "fish", "normal").number
    with pytest.raises(TypeError, match="ph holds no hours"):
        _ = Entry(AT, "ph", 6.8).window


def test_a_window_may_be_given_as_one():
    window = Window(time(8, 30), time(17, 30))
    assert Entry(AT, "gas_day", window) == Entry(AT, "gas_day", "08:30-17:30")


@pytest.mark.parametrize(
    ("typed", "colour"),
    [
        *((colour, colour) for colour in COLOURS),
        ("Blue Green", "blue-green"),
        ("BLUE/GREEN", "blue-green"),
        ("bluegreen", "blue-green"),
        (" yellow_green ", "yellow-green"),
        ("green-yellow", "yellow-green"),
    ],
)
def test_colours(typed, colour):
    assert Entry(AT, "drop_checker", typed).value == colour


@pytest.mark.parametrize(
    ("typed", "word"),
    [*((w, w) for w in FISH), ("Fast breathing", "fast-breathing"), ("gasping.", "gasping")],
)
def test_fish(typed, word):
    assert Entry(AT, "fish", typed).value == word


@pytest.mark.parametrize("typed", ["not gasping", "gasping?", "never normal", "1", ""])
def test_a_sentence_about_fish_is_not_guessed_at(typed):
    with pytest.raises(InputError, match="accepted: normal, fast-breathing, gasping, dead"):
        Entry(AT, "fish", typed)


@pytest.mark.parametrize(
    ("value", "unit", "note", "rate", "seconds", "caution"),
    [
        ("0.9", "per s over 10 s", "", 0.9, 10, []),
        ("9", "10 s", "", 0.9, 10, []),
        ("45", "in 30 s", "", 1.5, 30, []),
        ("45", "30 sec", "", 1.5, 30, []),
        ("90", "per min", "", 1.5, 10, ["count-without-seconds"]),
        ("90", "min", "", 1.5, 60, []),
        ("90", "1 min", "", 1.5, 60, []),
        ("90", "per min over 30 s", "", 1.5, 30, []),
        ("45 in 30 s", "", "", 1.5, 30, []),
        ("45", "", "counted over 30 s", 1.5, 30, []),
        ("14", "", "", 1.4, 10, ["count-without-seconds"]),
        ("1.4", "", "", 1.4, 10, ["count-without-seconds"]),
        ("1.4", "per s", "", 1.4, 10, ["count-without-seconds"]),
        ("0", "10 s", "", 0.0, 10, []),
    ],
)
def test_bubble_counts(value, unit, note, rate, seconds, caution):
    entry = Entry(AT, "bubble_count", value, unit, note)
    assert entry.number == pytest.approx(rate)
    assert entry.seconds == seconds
    assert entry.unit == f"per s over {seconds} s"
    assert cautions(entry) == caution


def test_a_count_without_seconds_says_what_was_assumed():
    said = Entry(AT, "bubble_count", 14).cautions[0].message
    assert "bubble count 14" in said
    assert "1.4 per s counted over 10 s" in said


@pytest.mark.parametrize(
    ("note", "resolution", "rounding"),
    [
        ("rounded up to whole 0.5 dKH drops", 0.5, "up"),
        ("rounded up to whole 1.0 dKH drops", 1.0, "up"),
        ("drop 1.0", 1.0, "up"),
        ("drop size 0.25", 0.25, "up"),
        ("0.5 dKH per drop", 0.5, "up"),
        ("one drop = 17.85 ppm", 1.0, "up"),
        ("rounded to the nearest 0.5", None, "nearest"),
        ("rounded down to whole 0.5 dKH drops", 0.5, "down"),
        ("double sample", 0.5, ""),
        ("", None, ""),
        ("new bottle", None, ""),
    ],
)
def test_the_drop_size_of_a_kh_test(note, resolution, rounding):
    entry = Entry(AT, "kh", 4, "dKH", note)
    assert entry.resolution == (pytest.approx(resolution, rel=1e-3) if resolution else None)
    assert entry.rounding == rounding


def test_hardness_counted_in_drops():
    entry = Entry(AT, "kh", 9, "drops", "drop 0.5")
    assert (entry.number, entry.unit, entry.rounding) == (4.5, "dKH", "up")
    assert cautions(entry) == []
    entry = Entry(AT, "kh", "9 drops")
    assert (entry.number, entry.unit, entry.rounding) == (9.0, "dKH", "up")
    assert cautions(entry) == ["drop-size"]


def test_a_ph_test_may_say_to_what_it_was_read():
    assert Entry(AT, "ph", 6.8, "", "read to 0.2").resolution == 0.2
    assert Entry(AT, "ph", 6.8).resolution is None


@pytest.mark.parametrize(
    ("note", "instrument", "air", "drawn"),
    [
        (
            "same probe, indoor air, glass drawn 2025-03-03 08:00",
            "probe",
            "indoor",
            datetime(2025, 3, 3, 8, 0),
        ),
        (
            "hand test, outdoors, drawn 2025-03-03T08:15",
            "hand",
            "outdoors",
            datetime(2025, 3, 3, 8, 15),
        ),
        ("meter; on the balcony, drawn at 20:00", "probe", "outdoors", datetime(2025, 3, 3, 20, 0)),
        ("test kit, drawn yesterday 07:00", "hand", "", datetime(2025, 3, 3, 7, 0)),
        ("hand test, room", "hand", "indoor", None),
    ],
)
def test_what_the_note_of_a_degassed_sample_tells(note, instrument, air, drawn):
    entry = Entry(AT, "degassed_ph", 7.8, "", note)
    assert (entry.instrument, entry.air, entry.drawn) == (instrument, air, drawn)
    assert cautions(entry) == []


@pytest.mark.parametrize(
    ("note", "celsius"),
    [
        ("probe, outdoors, at 11 C", 11.0),
        ("probe, outdoors, 11,5 °C, glass drawn 2025-03-03 08:00", 11.5),
        ("probe, outdoors, 51.8 F", 11.0),
        ("probe, outdoors, glass drawn 2025-03-03 08:00", None),
    ],
)
def test_how_warm_a_glass_stood(note, celsius):
    assert Entry(AT, "degassed_ph", 7.8, "", note).water_c == celsius


def test_a_glass_of_ice_is_named():
    with pytest.raises(InputError, match="water of -3 c is not accepted; accepted: 0 to 40"):
        Entry(AT, "degassed_ph", 7.8, "", "probe, outdoors, -3 C")


def test_the_drawing_time_has_the_zone_of_the_reading():
    entry = Entry("2025-03-04T12:30Z", "degassed_ph", 7.8, "", "probe, drawn 2025-03-03 08:00")
    assert entry.drawn == datetime(2025, 3, 3, 8, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("note", "caution", "said"),
    [
        ("glass drawn 2025-03-03 08:00", "instrument-missing", "same probe"),
        ("probe, drawn 2025-03-04 09:00", "short-standing", "stood 3.5 h"),
        ("probe, drawn 2025-03-05 09:00", "drawn-after-reading", "after it was read"),
        ("probe, drawn in the morning", "drawn-not-read", "drawn in the morning"),
        ("probe, drawn 04/03/2025 08:00", "drawn-not-read", "glass drawn 2025-03-03 08:00"),
    ],
)
def test_cautions_about_degassed_samples(note, caution, said):
    entry = Entry(AT, "degassed_ph", 7.8, "", note)
    assert cautions(entry) == [caution]
    assert said in entry.cautions[0].message


@pytest.mark.parametrize(
    ("note", "kh"),
    [
        ("kh 3", 3.0),
        ("new water KH 4.5 dKH", 4.5),
        ("KH of the new water: 2,5", None),
        ("kh was about 2,5", 2.5),
        ("KH=5", 5.0),
        ("new water 53.54 ppm kh 53.54 ppm", 3.0),
        ("6 dKH from the tap", 6.0),
        ("RO water", 0.0),
        ("RO water, remineralised", None),
        ("RO water remineralised to kh 4", 4.0),
        ("prom night", None),
        ("", None),
    ],
)
def test_the_kh_of_new_water(note, kh):
    entry = Entry(AT, "water_change", 40, "%", note)
    assert entry.new_kh_dkh == (pytest.approx(kh, rel=1e-3) if kh is not None else None)


def test_a_water_change_as_a_fraction_is_doubted():
    entry = Entry(AT, "water_change", 0.4)
    assert cautions(entry) == ["unusual-value"]
    assert "did you mean 40 %?" in entry.cautions[0].message


@pytest.mark.parametrize(
    ("unit", "note", "substance", "kept"),
    [
        ("mg/L", "nitrate", "nitrate", "nitrate"),
        ("mg/L", "NO3", "nitrate", "NO3"),
        ("mg/L NO3", "", "nitrate", "nitrate"),
        ("ppm PO4", "new kit", "phosphate", "phosphate; new kit"),
        ("mg/L", "O2 by drops", "oxygen", "O2 by drops"),
        ("nitrite", "", "nitrite", "nitrite"),
        ("mg/L", "Mg", "magnesium", "Mg"),
    ],
)
def test_what_a_test_was_of(unit, note, substance, kept):
    entry = Entry(AT, "test", 8, unit, note)
    assert (entry.number, entry.unit, entry.substance, entry.note) == (8.0, "mg/L", substance, kept)
    assert cautions(entry) == []
    assert Entry(entry.time, entry.kind, entry.value, entry.unit, entry.note) == entry


def test_a_test_of_nothing_named_is_told():
    assert cautions(Entry(AT, "test", 8, "mg/L")) == ["test-without-name"]


def test_doses():
    assert (Entry(AT, "dose", "5 ml").number, Entry(AT, "dose", "5 ml").unit) == (5.0, "mL")
    assert Entry(AT, "dose", 0.2, "L").number == 200.0
    assert Entry(AT, "dose", 2, "Pumps").unit == "pumps"
    assert cautions(Entry(AT, "dose", 5)) == ["unit-missing"]


@pytest.mark.parametrize(
    ("typed", "settled", "note"),
    [
        ("diffuser cleaned", "diffuser cleaned", ""),
        ("Cleaned the diffuser.", "diffuser cleaned", "Cleaned the diffuser."),
        ("bleached ceramic disc", "diffuser cleaned", "bleached ceramic disc"),
        ("plants trimmed", "plants trimmed", ""),
        ("cylinder refilled", "cylinder refilled", ""),
        ("changed the bottle", "cylinder replaced", "changed the bottle"),
        ("diffuser not cleaned", "diffuser not cleaned", ""),
        ("should clean the filter soon", "should clean the filter soon", ""),
        ("fed the fish", "fed the fish", ""),
    ],
)
def test_care_is_put_in_settled_words_where_they_are_clear(typed, settled, note):
    entry = Entry(AT, "care", typed)
    assert (entry.value, entry.note) == (settled, note)
    assert Entry(AT, "care", "", "", typed).value == settled


def test_calibrations_name_their_buffers():
    assert Entry(AT, "calibration", "4.01/7.00").buffers == (4.01, 7.0)
    assert Entry(AT, "calibration", "", "", "pH 7 and 4").buffers == (4.0, 7.0)
    assert Entry(AT, "calibration", 7.0, "", "one point").buffers == (7.0,)
    assert Entry(AT, "calibration").buffers == ()


def test_a_note_is_kept_wherever_it_is_written():
    assert Entry(AT, "note", "pearling").note == "pearling"
    assert Entry(AT, "note", "", "", "pearling").note == "pearling"
    assert Entry(AT, "note", "pearling", "", "at noon").note == "pearling; at noon"
    assert Entry(AT, "note", "a\r\nb\x07").note == "a\nb"


@pytest.mark.parametrize(
    ("kind", "value", "unit"),
    [
        ("ph", 66, ""),
        ("ph", None, ""),
        ("ph", True, ""),
        ("ph", float("nan"), ""),
        ("ph", 10**400, ""),
        ("kh", 71, ""),
        ("gas_day", None, ""),
        ("drop_checker", 7, ""),
        ("dose", "a spoonful", ""),
    ],
)
def test_what_cannot_be_meant_raises_one_line(kind, value, unit):
    with pytest.raises(InputError) as error:
        Entry(AT, kind, value, unit)
    assert "\n" not in str(error.value)


@pytest.mark.parametrize("kind", [k for k in Kind if KINDS[k].usual])
def test_unusual_values_are_kept_with_a_caution(kind):
    info = KINDS[kind]
    assert info.usual is not None
    unit = info.unit
    (low, high), (usual_low, usual_high) = info.accepted, info.usual
    for value in (low, high):
        entry = Entry(AT, kind, value, unit, "same probe")
        unusual = value != 0 and not usual_low <= value <= usual_high
        assert entry.number == value
        assert cautions(entry) == (["unusual-value"] if unusual else [])
    for value in (low - 0.5, high * 1.01 + 1.0):
        with pytest.raises(InputError, match="accepted"):
            Entry(AT, kind, value, unit)


@given(
    st.one_of(st.just(AT), st.text(max_size=60)),
    st.one_of(st.sampled_from(list(Kind)), st.text(max_size=60)),
    st.one_of(st.floats(), st.integers(), st.none(), st.text(max_size=200)),
    st.text(max_size=60),
    st.text(max_size=60),
)
def test_anything_typed_is_an_entry_or_one_line(when, kind, value, unit, note):
    try:
        entry = Entry(when, kind, value, unit, note)
    except InputError as error:
        message = str(error)
        assert message
        assert len(message.splitlines()) == 1
        assert len(message) < 420
    else:
        assert isinstance(entry.kind, Kind)
        again = Entry(entry.time, entry.kind, entry.value, entry.unit, entry.note)
        assert again == entry


@pytest.mark.parametrize(
    ("value", "unit", "note", "becomes"),
    [
        ("2 g KNO3", "", "", (2.0, "g", "KNO3")),
        ("2", "g KNO3", "", (2.0, "g", "KNO3")),
        ("2", "g of KNO3", "after the change", (2.0, "g", "KNO3; after the change")),
        ("5", "mL macro", "macro", (5.0, "mL", "macro")),
        ("5", "mL", "trace elements", (5.0, "mL", "trace elements")),
    ],
)
def test_what_a_dose_was_of_may_stand_in_its_unit(value, unit, note, becomes):
    entry = Entry("2025-03-05T09:00", "dose", value, unit, note)
    assert (entry.value, entry.unit, entry.note) == becomes


@pytest.mark.parametrize(
    ("value", "note", "between"),
    [
        (10, "nitrate", None),
        (7, "nitrate, between 5 and 10", (5.0, 10.0)),
        (7, "nitrate between 10 and 5", None),
        ("<0.05", "iron", (0.0, 0.05)),
        ("< 0,05 mg/L", "iron", (0.0, 0.05)),
        (0, "iron, below 0.1", (0.0, 0.1)),
    ],
)
def test_a_test_may_lie_between_two_ends(value, note, between):
    entry = Entry("2025-03-05T09:00", "test", value, "", note)
    assert entry.between == between
    again = Entry("2025-03-05T09:00", "test", entry.value, entry.unit, entry.note)
    assert (again.value, again.between) == (entry.value, between)
