import json

import numpy as np
import pytest

from leafgill.charts.record import record_chart
from leafgill.charts.record_picture import Read, RecordPicture, stretches


def picture(**changes):
    nothing = np.empty(0)
    given = {
        "title": "Den",
        "subtitle": "1 to 2 March",
        "length_days": 2.0,
        "ticks": ((0.0, "1 Mar"), (1.0, "2 Mar")),
        "logged_from": nothing,
        "logged_to": nothing,
        "logged_low": nothing,
        "logged_high": nothing,
    }
    return RecordPicture(**{**given, **changes})


def test_every_peak_is_inside_its_stretch_and_a_gap_stays_a_gap():
    days = np.array([0.1, 0.2, 0.3, 1.6, 1.9])
    values = np.array([6.5, 7.9, 6.6, 6.0, 6.1])
    begin, end, low, high = stretches(days, values, 2.0, most=4)
    assert begin.tolist() == [0.0, 1.5]
    assert end.tolist() == [0.5, 2.0]
    assert low.tolist() == [6.5, 6.0]
    assert high.tolist() == [7.9, 6.1]


def test_readings_outside_the_days_are_left_out():
    begin, *_ = stretches(np.array([-0.1, 2.0]), np.array([6.0, 6.0]), 2.0)
    assert begin.size == 0


def test_a_panel_without_anything_is_left_out():
    readings = (Read(0.5, 6.8, "hand test"),)
    both = record_chart(picture(readings=readings, rates=((0.2, 2.0, 1.5),))).to_dict()
    assert [len(panel.get("layer", [1])) for panel in both["vconcat"]] == [1, 1]
    only_rates = record_chart(picture(rates=((0.2, 2.0, 1.5),))).to_dict()
    assert len(only_rates["vconcat"]) == 1
    assert only_rates["vconcat"][0]["encoding"]["y"]["title"] == "bubbles/s set"


def test_the_axis_never_makes_mountains_of_noise():
    chart = record_chart(picture(readings=(Read(0.5, 6.80, "x"), Read(0.6, 6.81, "x")))).to_dict()
    low, high = chart["vconcat"][0]["layer"][-1]["encoding"]["y"]["scale"]["domain"]
    assert high - low == pytest.approx(0.66)
    assert (low + high) / 2 == pytest.approx(6.805)


def test_what_was_read_with_is_told_by_shape_and_name():
    chart = record_chart(
        picture(readings=(Read(0.5, 6.8, "electrode"), Read(0.6, 8.0, "degassed sample")))
    ).to_dict()
    shape = chart["vconcat"][0]["layer"][-1]["encoding"]["shape"]
    assert shape["scale"]["domain"] == ["electrode", "degassed sample"]
    assert shape["scale"]["range"] == ["circle", "triangle-up"]


def test_water_changes_are_named_while_they_are_few():
    readings = (Read(0.5, 6.8, "electrode"),)
    few = json.dumps(record_chart(picture(readings=readings, changes=((1.0, 40.0),))).to_dict())
    assert "40 % changed" in few
    changes = tuple((0.1 * n, 40.0) for n in range(9))
    many = json.dumps(record_chart(picture(readings=readings, changes=changes)).to_dict())
    assert many.count("dotted lines: water changes") == 1
