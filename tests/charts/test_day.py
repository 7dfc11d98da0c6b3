"""The chart's specification holds the day, and renders on this machine."""

import re

import numpy as np
import pytest
import vl_convert

from leafgill.charts.day import DARK, LIGHT, day_chart
from leafgill.charts.picture import Bar


def layers(specification):
    return specification["vconcat"][0]["layer"]


def rows(specification, mark):
    """Return the data of each layer drawn with a mark, in the layers' order."""
    return [
        data(specification, layer)
        for layer in layers(specification)
        if layer["mark"]["type"] == mark
    ]


def data(specification, part):
    return specification["datasets"][part["data"]["name"]]


def texts(picture, **options):
    drawing = vl_convert.vegalite_to_svg(day_chart(picture, **options).to_dict())
    return [re.sub("<[^>]+>", "", text) for text in re.findall("<text[^>]*>.*?</text>", drawing)]


def test_two_nested_bands_darker_where_surer(picture):
    specification = day_chart(picture()).to_dict()
    outer, inner = rows(specification, "area")
    assert outer[60] == {"hour": 10.0, "low": 16.0, "high": 24.0}
    assert inner[60] == {"hour": 10.0, "low": 18.0, "high": 22.0}
    colours = [layer["mark"]["color"] for layer in layers(specification) if
               layer["mark"]["type"] == "area"]  # fmt: skip
    assert [sum(bytes.fromhex(colour[1:])) for colour in colours] == sorted(
        (sum(bytes.fromhex(colour[1:])) for colour in colours), reverse=True
    )


def test_what_is_said_in_words(picture):
    said = texts(picture())
    for text in (
        "Hallway tank: CO2 20 mg/L, 16 to 24 at 14:00",
        "Saturday 8 March 2025.",
        "animals' limit 30 mg/L",
        "aim 24 mg/L",
        "now",
        "forecast",
        "light",
        "gas",
        "CO2, mg/L",
        "electrode",
        "drop checker, less its lag",
        "00:00",
        "12:00",
        "24:00",
    ):
        assert text in said, text


def test_the_limit_line_stands_at_the_limit(picture):
    rules = [row for values in rows(day_chart(picture()).to_dict(), "rule") for row in values]
    assert {"hour": 0.0, "low": 30.0, "text": "animals' limit 30 mg/L"} in rules


def test_readings_have_their_own_error_bars(picture):
    bars = rows(day_chart(picture()).to_dict(), "rule")[-1]
    assert [(bar["hour"], bar["low"], bar["high"]) for bar in bars] == [(12, 14, 23), (13, 19, 36)]


def test_an_error_bar_ends_with_the_scale(picture):
    bars = rows(day_chart(picture(limit_mg_l=25.0)).to_dict(), "rule")[-1]
    assert bars[1]["high"] == 30.0


def test_an_aim_at_the_limit_is_not_drawn_twice(picture):
    assert not [text for text in texts(picture(target_mg_l=30.0)) if text.startswith("aim")]


def test_bars_run_from_on_to_off_and_an_idle_one_keeps_its_name(picture):
    shown = picture(bars=(Bar("light", ((10.0, 18.0),)), Bar("gas", ())))
    specification = day_chart(shown).to_dict()
    values = data(specification, specification["vconcat"][1])
    assert {"hour": 10.0, "end": 18.0, "name": "light"} in values
    assert {"hour": 0.0, "end": 0.0, "name": "gas"} in values
    assert "gas" in texts(shown)


def test_ticks_say_what_the_clock_shows_on_a_day_of_23_hours(picture):
    ticks = ((0.0, "00:00"), (2.0, "03:00"), (11.0, "12:00"), (23.0, "24:00"))
    said = texts(picture(length_h=23.0, ticks=ticks, now_h=None))
    assert [text for text in said if re.fullmatch(r"\d\d:00", text)] == [t for _, t in ticks]
    assert "now" not in said


def test_both_looks_differ_in_paper_and_in_nothing_that_is_told(picture):
    light, dark = (day_chart(picture(), look).to_dict() for look in (LIGHT, DARK))
    assert light["background"] == "#ffffff"
    assert dark["background"] == DARK.paper
    assert texts(picture(), look=LIGHT) == texts(picture(), look=DARK)


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_words_stand_out_from_the_paper(look):
    def luminance(colour):
        parts = np.array(list(bytes.fromhex(colour[1:]))) / 255.0
        linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
        return float(linear @ [0.2126, 0.7152, 0.0722])

    # WCAG 2.2, 1.4.3: text at least 4.5 to 1
    for colour in (look.ink, look.faint, look.danger):
        high, low = sorted((luminance(colour), luminance(look.paper)), reverse=True)
        assert (high + 0.05) / (low + 0.05) >= 4.5


def test_it_renders_as_a_picture(picture):
    assert vl_convert.vegalite_to_png(day_chart(picture()).to_dict())[:4] == b"\x89PNG"


def test_an_empty_day_renders(picture):
    none = np.empty(0)
    empty = picture(hours=none, mean=none, outer_low=none, outer_high=none, inner_low=none,
                    inner_high=none, marks=(), bars=())  # fmt: skip
    assert "animals' limit 30 mg/L" in texts(empty)


def test_a_narrow_one_without_a_title_leaves_words_to_its_page(picture):
    wide, narrow = texts(picture()), texts(picture(title="", subtitle=""), width=312, height=250)
    for text in ("CO2, mg/L", "drop checker, less its lag"):
        assert text in wide and text not in narrow
    assert [text for text in narrow if re.fullmatch(r"\d\d:00", text)] == [
        "00:00", "06:00", "12:00", "18:00", "24:00",
    ]  # fmt: skip
    assert "drop checker" in narrow
    assert "title" not in day_chart(picture(title="", subtitle="")).to_dict()


def test_a_pointed_one_has_words_for_every_moment_of_the_band(picture):
    shown = picture()
    specification = day_chart(shown, pointed=True).to_dict()
    assert [param["name"] for param in specification["params"]] == ["pointed"]
    (told,) = {
        name for name, rows in specification["datasets"].items() if set(rows[0]) == {"hour", "text"}
        and len(rows) == len(shown.hours)
    }  # fmt: skip
    assert specification["datasets"][told][60] == {
        "hour": 10.0, "text": "10:00: 20 mg/L, 16 to 24",
    }  # fmt: skip
    assert "params" not in day_chart(shown).to_dict()


def test_what_is_pointed_at_is_told_by_the_clock_on_a_day_of_23_hours(picture):
    ticks = ((0.0, "00:00"), (2.0, "03:00"), (11.0, "12:00"), (23.0, "24:00"))
    shown = picture(length_h=23.0, ticks=ticks, now_h=None)
    told = str(day_chart(shown, pointed=True).to_dict()["datasets"])
    assert "'hour': 10.0, 'text': '11:00: " in told
