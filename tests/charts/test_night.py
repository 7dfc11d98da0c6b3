"""The night's chart holds the oxygen, its minimum and the dark, and renders on this machine."""

import re

import numpy as np
import pytest
import vl_convert

from leafgill.charts.dress import DARK, LIGHT
from leafgill.charts.night import night_chart
from leafgill.charts.night_picture import NightPicture


def picture(**changes):
    hours = np.linspace(0.0, 24.0, 49)
    mean = 8.0 - 2.0 * np.sin(np.pi * hours / 24.0)
    plain = {
        "title": "Hallway tank: oxygen down to 6.0 mg/L, 5.5 to 6.5",
        "subtitle": "Lowest about tomorrow 00:00.",
        "length_h": 24.0,
        "hours": hours,
        "mean": mean,
        "low": mean - 0.5,
        "high": mean + 0.5,
        "least_mg_l": 5.0,
        "dark": ((6.0, 20.0),),
        "ticks": ((6.0, "18:00"), (12.0, "00:00"), (18.0, "06:00")),
    }
    return NightPicture(**{**plain, **changes})


def texts(chart):
    drawing = vl_convert.vegalite_to_svg(chart.to_dict())
    return [re.sub("<[^>]+>", "", text) for text in re.findall("<text[^>]*>.*?</text>", drawing)]


def rows(chart, mark):
    spec = chart.to_dict()
    return [
        spec["datasets"][layer["data"]["name"]]
        for layer in spec["layer"]
        if layer["mark"]["type"] == mark
    ]


def test_what_is_said_in_words():
    said = texts(night_chart(picture()))
    for text in ("animals' minimum 5 mg/L", "lowest 6", "dark", "18:00", "00:00", "06:00",
                 "O2, mg/L", "Lowest about tomorrow 00:00."):  # fmt: skip
        assert text in said, text


def test_the_lowest_point_is_where_the_middle_is_lowest():
    assert picture().lowest == pytest.approx((12.0, 6.0, 5.5, 6.5))
    (point,) = rows(night_chart(picture()), "point")
    assert (point[0]["hour"], point[0]["low"]) == (12.0, 6.0)


def test_the_word_beside_a_late_lowest_point_stands_before_it():
    late = picture(mean=9.0 - picture().hours / 8.0)
    aligns = []
    for shown in (picture(), late):
        spec = night_chart(shown).to_dict()
        (word,) = (
            layer["mark"] for layer in spec["layer"]
            if layer["mark"]["type"] == "text"
            and "lowest" in str(spec["datasets"][layer["data"]["name"]])
        )  # fmt: skip
        aligns.append(word["align"])
    assert aligns == ["left", "right"]


def test_the_dark_is_shaded_and_a_tank_always_lit_has_none():
    (dark,) = rows(night_chart(picture()), "rect")
    assert [(row["hour"], row["end"]) for row in dark] == [(6.0, 20.0)]
    assert rows(night_chart(picture(dark=())), "rect") == []
    assert "dark" not in texts(night_chart(picture(dark=())))


def test_the_scale_begins_at_nothing_and_ends_above_all():
    assert picture().top_mg_l == 10.0
    assert picture(least_mg_l=12.0).top_mg_l == 14.0


def test_a_narrow_one_leaves_the_axis_to_the_page_and_no_title_takes_no_room():
    narrow = night_chart(picture(title="", subtitle=""), width=312, height=170, padding=4)
    said = texts(narrow)
    assert "O2, mg/L" not in said
    assert "title" not in narrow.to_dict()


def test_light_and_dark_differ_in_colour_alone():
    light, dark = (night_chart(picture(), look).to_dict() for look in (LIGHT, DARK))
    assert light["datasets"] == dark["datasets"]
    assert (light["background"], dark["background"]) == (LIGHT.paper, DARK.paper)
