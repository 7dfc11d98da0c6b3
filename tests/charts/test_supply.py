"""The chart of a cylinder's gas: what its specification holds, and that it renders here."""

import re

import numpy as np
import vl_convert

from leafgill.charts.dress import DARK
from leafgill.charts.supply import supply_chart
from leafgill.charts.supply_picture import MassMark, SupplyPicture


def picture_of(**changes):
    days = np.linspace(-30.0, 90.0, 121)
    middle = np.maximum(1.2 - 0.012 * (days + 30.0), 0.0)
    fields = {
        "title": "Invented: gas for 70 days, 50 to 90",
        "subtitle": "The band holds the truth nine times in ten.",
        "days": days,
        "middle_kg": middle,
        "low_kg": 0.8 * middle,
        "high_kg": 1.2 * middle,
        "last_liquid_kg": 0.5,
        "change_kg": 0.35,
        "change_days": (20.0, 45.0),
        "change_dates": ("21 March", "15 April"),
        "ticks": ((-30.0, "1 Feb 25"), (0.0, "3 Mar 25"), (60.0, "2 May 25")),
        "marks": (
            MassMark(-28.0, 1.19, 1.1, 1.3, "scale", "4790 g: 1.2 kg left"),
            MassMark(-1.0, 0.9, 0.5, 2.0, "gauge", "57 bar: 0.9 kg left"),
        ),
    }
    return SupplyPicture(**(fields | changes))


def texts(picture, **options):
    drawing = vl_convert.vegalite_to_svg(supply_chart(picture, **options).to_dict())
    return [re.sub("<[^>]+>", "", text) for text in re.findall("<text[^>]*>.*?</text>", drawing)]


def test_all_that_tells_something_is_written_out():
    said = texts(picture_of())
    for words in (
        "Invented: gas for 70 days, 50 to 90", "change between 21 March and 15 April", "now",
        "below this the gauge falls", "change it by here", "gas left, kg", "scale", "gauge",
        "1 Feb 25", "3 Mar 25", "one reading alone, nine in ten",
    ):  # fmt: skip
        assert words in said, words


def test_what_is_not_there_is_not_drawn():
    said = texts(picture_of(change_kg=None, marks=()))
    assert "change it by here" not in said
    assert "one reading alone, nine in ten" not in said
    assert "below this the gauge falls" in said


def test_the_scale_holds_band_and_marks():
    picture = picture_of()
    assert picture.top_kg > picture.high_kg.max()
    tall = picture_of(marks=(MassMark(0.0, 3.0, 2.9, 3.1, "scale", ""),))
    assert tall.top_kg > 3.0
    # an error bar that leaves the scale is cut, so that nothing is drawn above the chart
    rows = supply_chart(picture_of(change_days=(20.0, 400.0))).to_dict()
    assert "400" not in str(rows["layer"][0])


def test_dark_paper():
    assert supply_chart(picture_of(), DARK).to_dict()["background"] == DARK.paper
