"""The picture in letters: what stands where, without colour."""

import numpy as np
import pytest
from rich.console import Console

from leafgill.charts.picture import Bar
from leafgill.cli.plot import ASCII, BOXES, ROWS, plot

MARGIN = 6


def drawn(picture, width=79, letters=BOXES):
    return [line.plain for line in plot(picture, width, letters)]


def test_no_line_is_wider_than_the_terminal(picture):
    for width in (50, 79, 80, 120):
        lines = drawn(picture(), width)
        assert max(len(line) for line in lines[:-1]) <= width


def test_the_limit_line_carries_its_figure(picture):
    line = next(line for line in drawn(picture()) if line.startswith("  30 │"))
    assert line.count(BOXES.limit) > 60


def test_the_band_stands_at_its_height_and_hour(picture):
    lines = drawn(picture(marks=(), now_h=None), 79)
    columns = 72
    at = MARGIN + int(15.5 / 24.0 * columns)
    column = [line[at] for line in lines[:ROWS]]
    # top 40 mg/L over 15 rows: a mean of 20 stands in the 8th from below
    assert column[ROWS - 1 - 7] == BOXES.inner
    assert column[0] == " "
    assert column[ROWS - 1] == " "
    night = MARGIN + int(3.0 / 24.0 * columns)
    assert [line[night] for line in lines[:ROWS]][ROWS - 2] == BOXES.inner


def test_wide_bands_show_both_kinds(picture):
    mean = np.full(145, 20.0)
    wide = picture(mean=mean, outer_low=0.4 * mean, outer_high=1.4 * mean, inner_low=0.8 * mean,
                  inner_high=1.1 * mean, marks=(), now_h=None)  # fmt: skip
    column = "".join(line[MARGIN + 30] for line in drawn(wide)[:ROWS])
    assert column.strip(" " + BOXES.limit) == "░░░▓▓░░░"


def test_light_and_gas_stand_beneath_with_their_names(picture):
    lines = drawn(picture(), 79)
    light = next(line for line in lines if line.startswith("light "))
    gas = next(line for line in lines if line.startswith("  gas "))
    columns = 72
    assert light[MARGIN:].index(BOXES.on) == int(10.0 / 24.0 * columns)
    assert gas[MARGIN:].index(BOXES.on) == int(9.0 / 24.0 * columns)
    assert gas.count(BOXES.on) == light.count(BOXES.on) == columns // 3


def test_now_divides_what_was_from_what_will_be(picture):
    lines = drawn(picture(), 79)
    below = next(line for line in lines if "now, then forecast" in line)
    at = below.index("now")
    assert lines[0][at] == BOXES.now


def test_late_in_the_day_only_now_fits(picture):
    assert [line for line in drawn(picture(now_h=23.0)) if line.strip() == "now"]


def test_readings_are_marks(picture):
    lines = drawn(picture(), 79)
    assert sum(line.count(BOXES.mark) for line in lines[:ROWS]) == 2
    assert "a reading alone" in lines[-1]
    assert "a reading alone" not in drawn(picture(marks=()))[-1]


def test_the_clock_stands_under_its_hours(picture):
    lines = drawn(picture(), 79)
    hours = ["00", "03", "06", "09", "12", "15", "18", "21", "24"]
    words = next(line for line in lines if line.split() == hours)
    floor = lines[lines.index(words) - 1]
    for hour in ("06", "12", "18"):
        assert BOXES.tick in floor[words.index(hour) : words.index(hour) + 2]


def test_ascii_reads_too(picture):
    lines = drawn(picture(), 79, ASCII)
    assert all(line.isascii() for line in lines)
    assert "# even chance  . nine in ten  - limit 30 mg/L  o a reading alone" in lines[-1]


def test_colour_adds_nothing_that_letters_do_not_say(picture):
    coloured = Console(force_terminal=True, width=79, color_system="standard", record=True)
    for line in plot(picture(), 79):
        coloured.print(line)
    said = [line.rstrip() for line in coloured.export_text().splitlines()]
    assert said == [line.rstrip() for line in drawn(picture(), 79)]


@pytest.mark.parametrize("bars", [(), (Bar("gas", ()),)])
def test_nothing_on_is_nothing_drawn(bars, picture):
    lines = drawn(picture(bars=bars))
    assert sum(line.count(BOXES.on) for line in lines) == 0
    assert len([line for line in lines if line.startswith("  gas ")]) == len(bars)
