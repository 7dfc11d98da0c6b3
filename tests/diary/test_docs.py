"""docs/diary-file.md says what the code does, and the code what the docs say."""

import re
from pathlib import Path

import pytest

from leafgill.diary import FINDINGS, KINDS, SENSORS, Diary, Entry, Kind, KindInfo
from leafgill.diary.csv_reader import HEADER
from leafgill.errors import InputError

PAGE = (Path(__file__).parents[2] / "docs" / "diary-file.md").read_text(encoding="utf-8")


def section(title: str) -> str:
    found = re.search(rf"^## {re.escape(title)}\n(.*?)(?=^## |\Z)", PAGE, re.DOTALL | re.MULTILINE)
    assert found, title
    return found[1]


def table(title: str) -> list[list[str]]:
    """Return the cells of a section's table, without its heading rows."""
    rows = [line for line in section(title).splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in rows[2:]]


def block(title: str) -> str:
    found = re.search(r"^```\n(.*?)^```", section(title), re.DOTALL | re.MULTILINE)
    assert found, title
    return found[1]


def bounds(pair: tuple[float, float] | None, unit: str) -> str:
    if pair is None:
        return ""
    return f"{pair[0]:g} to {pair[1]:.15g} {unit}".rstrip()


def value_of(info: KindInfo) -> str:
    unit = info.unit.replace(" over 10 s", "")
    match info.form:
        case "number" if info.kind is Kind.DOSE:
            return "a number"
        case "number":
            return f"a number, in {unit}" if unit else "a number"
        case "word":
            return ", ".join(info.words)
        case "hours":
            return "hours as 08:30-17:30, or off"
        case _:
            return "words"


def test_every_kind_is_told_with_its_value_and_its_bounds():
    told = {row[0].strip("`"): row[1:] for row in table("Kinds")}
    assert list(told) == list(Kind)
    for kind, info in KINDS.items():
        numeric = info.form == "number"
        unit = "" if kind is Kind.DOSE else info.unit.replace(" over 10 s", "")
        assert told[kind] == [
            info.says,
            value_of(info),
            bounds(info.accepted, unit) if numeric else "",
            bounds(info.usual, unit) if numeric else "",
        ], kind


def test_the_example_has_a_row_of_each_kind_and_reads_without_a_finding():
    example = block("An example")
    assert example.splitlines()[0] == HEADER
    rows = {row.split(",")[1]: row for row in example.splitlines()[1:]}
    assert rows == {info.kind.value: info.example for info in KINDS.values()}
    diary = Diary.read(example)
    assert len(diary) == len(KINDS)
    assert [f.kind for f in diary.findings] in ([], ["unsorted-rows"])


def test_every_finding_is_told():
    told = {row[0].strip("`"): row[1] for row in table("What is forgiven, doubted or refused")}
    assert told == FINDINGS


def test_every_finding_told_is_made_somewhere():
    source = "".join(
        path.read_text(encoding="utf-8")
        for path in (Path(__file__).parents[2] / "src" / "leafgill" / "diary").glob("*.py")
        if path.name != "finding.py"
    )
    assert {name for name in FINDINGS if f'"{name}"' not in source} == set()


def test_every_sensor_is_told():
    told = {row[0].strip("`"): row[1:] for row in table("The probe file")}
    assert told == {
        sensor.name: [
            sensor.says,
            bounds(sensor.accepted, ""),
            f"{sensor.jump:g}",
            f"{sensor.stuck_h:g} h",
            ", ".join(f"`{spelling}`" for spelling in sensor.spellings),
        ]
        for sensor in SENSORS.values()
    }


def test_the_probe_example_reads_without_a_finding():
    diary = Diary.read(HEADER + "\n", block("The probe file"))
    assert diary.findings == []
    assert set(diary.streams) == {"ph", "temperature"}


def test_every_unit_told_is_read_as_it_is_told():
    rows = table("Units")
    for kind, typed, read_as in rows:
        number, unit = read_as.split(" ", 1)
        for value in re.findall(r"`([^`]+)`", typed):
            entry = Entry("2025-03-04T12:30", kind.strip("`"), value)
            assert entry.number == pytest.approx(float(number), rel=1e-3), (kind, value)
            wanted = value.split()[1] if unit == "of that unit" else unit
            assert entry.unit.startswith(wanted), (kind, value)
    numeric = {kind for kind, info in KINDS.items() if info.form == "number" and info.unit}
    assert {row[0].strip("`") for row in rows} == numeric


def test_every_note_told_is_understood():
    for kind, words, field, result in table("What a note tells"):
        name, told = kind.strip("`"), result.strip("`")
        for note in re.findall(r"`([^`]+)`", words):
            value = {"calibration": "", "water_change": "40"}.get(name, "7")
            entry = Entry("2025-03-04T12:30", name, value, "", note)
            assert str(getattr(entry, field.strip("`"))) == told, (kind, note)


def test_the_refusals_told_are_the_refusals_made():
    lines = block("When a row is refused").splitlines()
    assert len(lines) >= 8
    for row, said in zip(lines[::2], lines[1::2], strict=True):
        with pytest.raises(InputError) as error:
            Diary.read(f"{HEADER}\n{row}\n")
        assert str(error.value) == said
