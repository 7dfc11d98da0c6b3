"""The chart of a rig: what its specification holds, and that it renders on this machine."""

import re

import numpy as np
import pytest
import vl_convert

from leafgill.charts.dress import DARK, LIGHT
from leafgill.charts.picture import Bar
from leafgill.charts.rig import rig_chart
from leafgill.charts.rig_picture import Lasting, RigPicture, SourceDay


def picture_of(**changes):
    hours = np.linspace(0.0, 24.0, 49)
    middle = np.where((hours > 9.0) & (hours < 18.0), 22.0, 4.0)
    fields = {
        "title": "Invented: 20 g of CO2 a day, 9 to 97",
        "subtitle": "How long one filling lasts.",
        "cylinders": (
            Lasting("0.5 kg steel", 0.8, 0.2, 1.8, "fits", False),
            Lasting("your 2 kg", 3.3, 0.7, 7.0, "fits closely", True),
            Lasting("10 kg steel", 17.0, 3.4, 35.0, "", False),
        ),
        "days": (
            SourceDay("cylinder, gas off at night", hours, middle, 0.8 * middle, 1.2 * middle),
            SourceDay("sugar + yeast, day and night", hours, np.full(49, 21.0)),
        ),
        "limit_mg_l": 30.0,
        "target_mg_l": 22.0,
        "bars": (Bar("light", ((10.0, 18.0),)), Bar("gas, where it can be shut", ((9.0, 17.0),))),
    }
    return RigPicture(**(fields | changes))


def texts(picture, **options):
    drawing = vl_convert.vegalite_to_svg(rig_chart(picture, **options).to_dict())
    return [re.sub("<[^>]+>", "", text) for text in re.findall("<text[^>]*>.*?</text>", drawing)]


def test_all_that_tells_something_is_written_out():
    said = texts(picture_of())
    for words in (
        "Invented: 20 g of CO2 a day, 9 to 97", "&gt; your 2 kg, fits closely",
        "0.5 kg steel, fits", "10 kg steel", "3.3", "months one filling lasts", "CO2, mg/L",
        "limit 30", "aim 22", "cylinder, gas off at night", "sugar + yeast, day and night",
        "light", "gas, where it can be shut", "09:00",
    ):  # fmt: skip
        assert words in said, words


def test_an_aim_at_the_limit_is_not_written_over_it():
    assert "aim 30" not in texts(picture_of(target_mg_l=30.0))


def test_each_cylinder_has_its_bar_from_end_to_end():
    specification = rig_chart(picture_of()).to_dict()
    layer = specification["vconcat"][0]["layer"][0]
    rows = specification["datasets"][layer["data"]["name"]]
    assert [(row["low"], row["high"]) for row in rows] == [(0.2, 1.8), (0.7, 7.0), (3.4, 35.0)]
    scale = layer["encoding"]["x"]["scale"]
    assert scale["type"] == "log"
    assert scale["domain"][0] < 0.2
    assert scale["domain"][1] > 35.0


def test_months_are_never_written_with_an_exponent():
    many = (Lasting("10 kg steel", 104.3, 24.0, 260.0, "", True),)
    assert "104" in texts(picture_of(cylinders=many))


def test_only_a_day_with_ends_has_a_band():
    specification = rig_chart(picture_of()).to_dict()
    marks = [layer["mark"]["type"] for layer in specification["vconcat"][1]["layer"]]
    assert marks.count("area") == 1


def test_lines_are_told_apart_by_dash_as_well_as_colour():
    specification = rig_chart(picture_of()).to_dict()
    line = next(
        layer for layer in specification["vconcat"][1]["layer"] if layer["mark"]["type"] == "line"
    )
    dashes = line["encoding"]["strokeDash"]["scale"]["range"]
    assert len({tuple(dash) for dash in dashes}) == 2


def test_the_scale_holds_everything():
    assert picture_of().top_mg_l == 40.0
    high = np.full(49, 61.0)
    day = SourceDay("x", np.linspace(0.0, 24.0, 49), high)
    assert picture_of(days=(day,)).top_mg_l == 70.0


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_both_themes_render(look):
    specification = rig_chart(picture_of(), look=look).to_dict()
    assert specification["background"] == look.paper
    assert vl_convert.vegalite_to_png(specification).startswith(b"\x89PNG")
