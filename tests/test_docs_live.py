"""docs/live.md tells the figures that the program goes by."""

import re
from pathlib import Path

from leafgill.diary import SENSORS
from leafgill.diary.plausible import JUMP_WITHIN_S, STUCK_LEAST
from leafgill.web.ingest import body, checks, folder, http, parcel, taking, tokens
from leafgill.web.ingest.payload import steps_of

PAGE = (Path(__file__).parents[1] / "docs" / "live.md").read_text(encoding="utf-8")
WORDS = {"ph": "pH", "temperature": "", "o2": "oxygen", "co2": "CO2", "room_co2": "room air"}
UNITS = {"degC": " °C", "mg/L": " mg/L", "ppm": " ppm", "": ""}


def row(start):
    (found,) = [line for line in PAGE.splitlines() if line.startswith(f"| {start}")]
    return found


def test_the_ranges_and_jumps_are_the_sensors():
    outside, jump = row("outside what"), row("a jump within")
    for sensor in SENSORS.values():
        low, high = sensor.accepted
        unit, name = UNITS[sensor.unit], WORDS[sensor.name]
        assert f"{name} {low:.6g} to {high:.6g}{unit}".strip() in outside
        assert f"{name} {sensor.jump:.6g}{unit}".strip() in jump


def test_the_hours_of_a_figure_that_stands_are_the_sensors():
    told = row("one and the same figure")
    hours = {name: f"{sensor.stuck_h:g} h" for name, sensor in SENSORS.items()}
    assert f"pH {hours['ph']}, temperature {hours['temperature']}, oxygen {hours['o2']}" in told
    assert hours["co2"] == hours["room_co2"]
    assert f"CO2 and room air {hours['co2']}, in {STUCK_LEAST} readings or more" in told


def test_the_other_figures_are_the_programs():
    assert JUMP_WITHIN_S == checks.AHEAD_S == taking.LIVE_EVERY_S == 5 * 60
    assert parcel.MOST == 1e6
    assert "beyond a million either way" in PAGE
    assert f"At most {body.MOST_READINGS} readings and {body.LARGEST} bytes at once" in PAGE
    assert http.LARGEST == body.LARGEST
    assert f"ask {http.SENSOR_BURST} times at once and {http.SENSOR_PER_S} times a second" in PAGE
    assert f"{http.WRONG_BURST} wrong tokens from one address" in PAGE
    assert http.WRONG_PER_S == 1 / 2
    assert f"up to {tokens.KNOWN_S:g} s later" in PAGE
    assert f"a day before {taking.MADE.year} was just switched on" in PAGE


def test_every_doubt_is_in_the_table():
    for bit, start in {
        checks.RANGE: "outside what such a sensor shows in water",
        checks.RATE: "a jump",
        checks.STUCK: "one and the same figure for too long",
        checks.AHEAD: "more than 5 minutes later than this machine's clock",
        checks.CLASH: "another number for a second that has one",
    }.items():
        assert "doubted" in row(start)
        assert bit in checks.WORDS


def test_the_names_left_alone_and_the_paths_are_read():
    for end in folder._UNFINISHED:
        assert f"`{end}`" in PAGE
    for path in re.findall(r"place of the value \(`([^`]+)`, `([^`]+)`\)", PAGE)[0]:
        assert steps_of(path)
