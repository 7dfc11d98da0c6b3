"""docs/tank-file.md says what the code does, and the code what the docs say."""

import re
import tomllib
from pathlib import Path

import pytest

from leafgill.errors import InputError
from leafgill.tank.animals import GROUPS
from leafgill.tank.fields import FIELDS
from leafgill.tank.limits import DANGER, MOST_TARGET_MG_L, TARGET_SHARE, limits_of
from leafgill.tank.plausible import FILLED_SHARE
from leafgill.tank.spec import Tank
from leafgill.unit_sorts import SORT_OF
from leafgill.units import quantity, shown_unit, units_for

PAGE = (Path(__file__).parents[2] / "docs" / "tank-file.md").read_text(encoding="utf-8")
FIELD_OF = {
    (section, key): field for section, keys in FIELDS.items() for key, field in keys.items()
}
EXAMPLES = Path(__file__).parents[2] / "examples" / "tanks"


def part(title):
    """Return a section or subsection of the page."""
    level = "###" if title.startswith("[") or title == "Words" else "##"
    found = re.search(
        rf"^{level} {re.escape(title)}\n(.*?)(?=^##|\Z)", PAGE, re.DOTALL | re.MULTILINE
    )
    assert found, title
    return found[1]


def table(title):
    rows = [line for line in part(title).splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in rows[2:]]


def block(title):
    found = re.search(r"^```\n(.*?)^```", part(title), re.DOTALL | re.MULTILINE)
    assert found, title
    return found[1]


def bounds(pair, unit):
    return f"{pair[0]:g} to {pair[1]:g} {shown_unit(unit)}".rstrip() if pair else ""


def test_every_section_is_told_and_no_other():
    assert re.findall(r"^### \[(\w+)\]$", PAGE, re.MULTILINE) == list(FIELDS)


@pytest.mark.parametrize("section", FIELDS)
def test_every_key_is_told_with_all_that_holds_for_it(section):
    told = {row[0].strip("`"): row[1:] for row in table(f"[{section}]")}
    assert list(told) == list(FIELDS[section])
    for key, field in FIELDS[section].items():
        assert told[key] == [
            field.meaning,
            field.told,
            bounds(field.usual, field.unit),
            field.default,
            f"`{key} = {field.example}`",
        ], key


def held(tank, section, key):
    """Return what a tank holds for a key."""
    if section == "target":
        return tank.target_co2_mg_l
    return getattr(tank if section == "tank" else getattr(tank, section), key)


@pytest.mark.parametrize(("section", "key"), FIELD_OF)
def test_every_example_told_is_read(section, key):
    field = FIELD_OF[section, key]
    data = {"tank": {"name": "A", "volume_l": 60}}
    data.setdefault(section, {}).update(tomllib.loads(f"{key} = {field.example}"))
    if field.sort == "time":
        other = key.replace("_off", "_on") if key.endswith("_off") else key.replace("_on", "_off")
        data["day"][other] = "12:00"
    tank = Tank.from_mapping(data)
    assert held(tank, section, key) not in (None, ())


@pytest.mark.parametrize(("section", "key"), [k for k, field in FIELD_OF.items() if field.accepted])
def test_both_ends_of_every_accepted_range_are_accepted_and_nothing_beyond(section, key):
    field = FIELD_OF[section, key]
    low, high = field.accepted
    step = 1 if field.sort == "whole" else 1e-9 * high

    def read(value):
        data = {"tank": {"name": "A", "volume_l": 60}}
        data.setdefault(section, {})[key] = value
        return Tank.from_mapping(data)

    for value in (int(low), int(high)) if field.sort == "whole" else (low, high):
        read(value)
    for value in (low - step, high + step):
        with pytest.raises(InputError, match=re.escape(field.told)):
            read(value)


def test_what_holds_when_nothing_is_written_is_what_the_docs_say():
    # a key that stands in several sections: the first of them is meant here
    told = {key: field.default for (_, key), field in reversed(FIELD_OF.items())}
    tank = Tank.from_mapping({"tank": {"name": "A", "volume_l": 60}})
    assert told["temperature_c"] == f"{tank.temperature_c:g} °C"
    assert told["timezone"] == tank.timezone
    assert told["source"] == tank.rig.source
    assert told["night_air"] == str(tank.rig.night_air).lower()
    assert told["count"] == str(tank.rig.count)
    assert told["volume_l"] == f"the box less {1 - FILLED_SHARE:.0%}".replace("%", " %")
    share = f"{TARGET_SHARE:.0%}".replace("%", " %")
    assert told["co2_mg_l"] == f"{share} of the limit, at most {MOST_TARGET_MG_L:g} mg/L"
    assert limits_of(tank).co2_mg_l == GROUPS[told["kinds"]].co2_limit_mg_l
    assert f"{DANGER} times the limit" in PAGE
    for (section, key), field in FIELD_OF.items():
        if field.default == "unknown":
            assert held(tank, section, key) is None, key


def test_every_spelling_told_is_understood_and_every_one_understood_is_told():
    told = {(row[0].strip("`"), row[1]): row[2].split(", ") for row in table("Words")}
    known = {
        (key, choice): [s for s, meant in field.words if meant == choice and s != choice]
        for (_, key), field in FIELD_OF.items()
        if field.sort == "word"
        for choice in field.choices
    }
    assert told == {pair: spellings for pair, spellings in known.items() if spellings}


def test_every_unit_told_is_read_and_every_unit_of_a_key_is_told():
    told = {row[0]: (row[1].split(", "), row[2].strip('`"')) for row in table("Units")}
    wanted = {field.unit for field in FIELD_OF.values() if field.unit}
    assert told == {
        SORT_OF[unit].name: (
            [shown_unit(u) for u in SORT_OF[unit].units],
            SORT_OF[unit].example,
        )
        for unit in wanted
    }
    for unit in wanted:
        for given in units_for(unit):
            assert quantity(f"5 {shown_unit(given)}", unit, what="x") != 0.0
        assert quantity(SORT_OF[unit].example, unit, what="x") > 0.0


def test_every_animal_is_told_with_its_grounds():
    assert {row[0].strip("`"): row[1:] for row in table("Animals")} == {
        name: [
            group.meaning,
            f"{group.co2_limit_mg_l:g}",
            group.reason,
            group.basis,
            f"{group.o2_min_mg_l:g}",
            group.o2_basis,
            ", ".join(group.words),
        ]
        for name, group in GROUPS.items()
    }


def test_the_refusals_told_are_the_refusals_made(tmp_path):
    lines = block("What is refused").splitlines()
    assert len(lines) >= 20
    for typed, said in zip(lines[::2], lines[1::2], strict=True):
        section, line = re.fullmatch(r"\[(\w+)\] (.*)", typed).groups()
        sections = {"tank": ['name = "A"', "volume_l = 60"]}
        sections.setdefault(section, []).append(line)
        text = "".join(f"[{s}]\n" + "\n".join(rows) + "\n" for s, rows in sections.items())
        path = tmp_path / "tank.toml"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(InputError) as error:
            Tank.load(path)
        assert str(error.value) == said


def test_the_example_told_is_a_file_of_the_examples():
    assert block("An example") == (EXAMPLES / "forty-gallons.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.name)
def test_every_example_file_reads_without_a_doubt_and_says_it_is_invented(path):
    tank = Tank.load(path)
    gas_at_night = "gas is on 17 h in the dark"
    assert [line for line in tank.findings if gas_at_night not in line] == []
    assert path.read_text(encoding="utf-8").startswith("# An invented ")


def test_an_example_shows_every_key():
    shown = tomllib.loads((EXAMPLES / "every-key.toml").read_text(encoding="utf-8"))
    assert {s: list(keys) for s, keys in shown.items()} == {s: list(k) for s, k in FIELDS.items()}
