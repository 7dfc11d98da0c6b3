"""What the page on safety tells of people is what is said and reckoned."""

import re
from pathlib import Path

import pytest

from leafgill.advise.gas_safety import HOT_C, TOPICS, USUAL_ROOM_M3, gas_figures
from leafgill.science.air import LIMITS

PAGE = (Path(__file__).parents[2] / "docs" / "safety.md").read_text(encoding="utf-8")
PEOPLE = next(part for part in PAGE.split("\n## ") if part.startswith("People"))


def test_the_topics_are_those_of_the_program():
    rows = re.findall(r"^\| ([a-z ]+) \|", PEOPLE, re.MULTILINE)
    assert tuple(row for row in rows if row not in ("topic", "ppm")) == TOPICS


def test_the_limits_are_those_of_the_program():
    rows = re.findall(r"^\| (\d+ 000) \| ([\d.]+) % \|", PEOPLE, re.MULTILINE)
    found = {float(ppm.replace(" ", "")): float(share) for ppm, share in rows}
    assert set(found) == {limit.ppm for limit in LIMITS.values()}
    for ppm, share in found.items():
        assert share == ppm / 1e4


@pytest.mark.parametrize(
    ("charge", "words"), [(2.0, "2 kg a closed room of"), (10.0, "10 kg one of")]
)
def test_the_rooms_are_those_of_the_program(charge, words):
    figures = {figure.key: figure for figure in gas_figures(charge, None, 21.0)}
    least = figures["smallest_room_m3"].value
    said = re.search(rf"{words} (\d+) m³", PEOPLE)
    assert said is not None
    assert float(said[1]) == pytest.approx(least, abs=0.6)


def test_the_pressure_in_the_heat_is_that_of_the_program():
    figures = {figure.key: figure for figure in gas_figures(2.0, None, 21.0)}
    hot = figures["full_at_50_c_bar"]
    assert f"{hot.low:.0f} to {hot.high:.0f} bar at {HOT_C:g} °C" in PEOPLE
    assert f"a room of {USUAL_ROOM_M3:g} m³ is taken" in PEOPLE
