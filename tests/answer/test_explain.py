"""Figures as text and as JSON."""

import pytest

from leafgill.advise.figure import Figure, Input
from leafgill.answer.explain import amount, bare, figures_json, put_in, shown, within


def figure(key="gas_g_per_day", value=21.04, low=8.06, high=52.3, unit="g/day"):
    inputs = (Input("water", 151.4, "L", "tank file"), Input("hose", "pvc", "", "tank file"))
    return Figure(key, "Gas a day", value, unit, "need / share", inputs, "arithmetic", low, high)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (0.01456, "0.0146"),
        (0.5, "0.5"),
        (24.06, "24.1"),
        (99.96, "100"),
        (151.4, "151"),
        (40312.0, "40300"),
        (-2.346, "-2.35"),
        (1e-7, "0.0000001"),
        (float("nan"), "not known"),
        (float("inf"), "not known"),
    ],
)
def test_three_digits_and_never_an_exponent(value, text):
    assert amount(value) == text


def test_a_figure_is_read_with_unit_and_interval():
    assert shown(figure()) == "21 g/day, 8.1 to 52"
    assert within(figure()) == "21 g/day (8.1 to 52)"
    assert bare(figure()) == "21, 8.1 to 52"
    assert shown(figure(), 3) == "21 g/day, 8.06 to 52.3"


def test_one_without_an_interval_shows_none():
    sure = figure(low=None, high=None)
    assert (shown(sure), within(sure), bare(sure)) == ("21 g/day", "21 g/day", "21")
    assert bare(None) == "-"


def test_an_interval_that_cannot_be_seen_is_not_shown():
    assert shown(figure(value=11.02, low=11.0, high=11.04)) == "11 g/day"
    assert shown(figure(value=11.02, low=11.0, high=11.04), 4) == "11.02 g/day, 11 to 11.04"


def test_what_went_in_tells_where_it_is_from():
    assert put_in(Input("water", 151.416, "L", "tank file")) == "water 151.4 L (tank file)"
    assert put_in(Input("hose", "pvc", "", "assumed")) == "hose pvc (assumed)"


def test_json_has_all_of_a_figure_under_its_key():
    assert figures_json([figure()]) == {
        "gas_g_per_day": {
            "label": "Gas a day",
            "value": 21.04,
            "low": 8.06,
            "high": 52.3,
            "unit": "g/day",
            "formula": "need / share",
            "inputs": [
                {"name": "water", "value": 151.4, "unit": "L", "from": "tank file"},
                {"name": "hose", "value": "pvc", "unit": "", "from": "tank file"},
            ],
            "source": "arithmetic",
        }
    }


def test_the_same_figure_twice_is_one_and_two_of_one_key_are_refused():
    assert len(figures_json([figure(), figure()])) == 1
    with pytest.raises(ValueError, match="two figures are called gas_g_per_day"):
        figures_json([figure(), figure(value=22.0)])
