"""The chart of a pressure hold."""

import re

import numpy as np
import pytest
import vl_convert

from leafgill.charts.hold import hold_chart
from leafgill.charts.hold_picture import GaugeMark, HoldPicture


def picture_of(**changes):
    hours = np.linspace(0.0, 20.0, 11)
    fields = {
        "title": "Invented: cannot tell yet",
        "subtitle": "Left for leaks 0.1 g/day, 0 to 0.4.",
        "hours": hours,
        "tight_bar": 45.0 - 0.02 * hours,
        "limit_bar": 45.0 - 0.15 * hours,
        "limit_text": "0.1 g/day",
        "walls_bar": None,
        "marks": (
            GaugeMark(0.0, 45.0, 43.8, 46.2, "45 bar, 21 °C"),
            GaugeMark(12.0, 44.0, 42.8, 45.2, "44 bar, 20 °C"),
        ),
        "wait_h": 20.0,
    }
    return HoldPicture(**(fields | changes))


def texts(picture):
    drawing = vl_convert.vegalite_to_svg(hold_chart(picture).to_dict())
    return [re.sub("<[^>]+>", "", text) for text in re.findall("<text[^>]*>.*?</text>", drawing)]


def test_all_that_tells_something_is_written_out():
    said = texts(picture_of())
    for words in ("Invented: cannot tell yet", "if tight", "0.1 g/day", "read again here",
                  "45 bar, 21 °C", "44 bar, 20 °C", "gauge, bar",
                  "hours since the first reading"):  # fmt: skip
        assert words in said, words
    assert "with the hose's own loss" not in said


def test_a_hose_has_a_line_of_its_own():
    said = texts(picture_of(walls_bar=np.linspace(45.0, 40.0, 11), wait_h=None))
    assert "with the hose's own loss" in said
    assert "read again here" not in said


def test_the_scale_holds_lines_and_error_bars():
    low, high = picture_of().ends_bar
    assert low < 42.0 and high > 46.2
    down = picture_of(limit_bar=np.linspace(45.0, 0.0, 11))
    assert down.ends_bar[0] == 0.0
    assert picture_of().ends_bar[0] == pytest.approx(42.0 - 0.12 * 4.2, abs=0.01)
