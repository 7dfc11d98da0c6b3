"""The chart of the nutrients: what its specification holds, and that it renders here."""

import re

import numpy as np
import pytest
import vl_convert

from leafgill.charts.balance import balance_chart
from leafgill.charts.balance_picture import BalancePicture, Deed, NutrientPanel, TestMark
from leafgill.charts.dress import DARK

DAYS = np.arange(-14.0, 29.0)


def panel_of(name="nitrate", **changes):
    mean = np.full(DAYS.size, 12.0)
    dosed = np.where(DAYS > 0.0, 18.0, 12.0)
    fields = {
        "name": name,
        "mean": mean,
        "low": mean - 4.0,
        "high": mean + 6.0,
        "dosed_mean": dosed,
        "dosed_low": dosed - 4.0,
        "dosed_high": dosed + 6.0,
        "floor_mg_l": 5.0,
        "ceiling_mg_l": 40.0,
        "marks": (
            TestMark(-10.0, 10.0, 6.7, 15.0, "10 mg/L", True),
            TestMark(-3.0, 40.0, 26.0, 60.0, "40 mg/L", False),
        ),
    }
    return NutrientPanel(**(fields | changes))


def picture_of(*panels, **changes):
    fields = {
        "title": "Invented",
        "subtitle": "Bands hold the truth nine times in ten.",
        "days": DAYS,
        "panels": panels or (panel_of(), panel_of("iron, not tested", marks=())),
        "deeds": (
            Deed(-7.0, "water changes", "40 %", True),
            Deed(-6.5, "doses", "1 g KNO3", True),
            Deed(0.5, "doses", "1.2 g of KNO3", False),
        ),
        "ticks": ((-14.0, "22 Feb"), (0.0, "8 Mar"), (14.0, "22 Mar"), (28.0, "5 Apr")),
    }
    return BalancePicture(**(fields | changes))


def texts(picture, **options):
    drawing = vl_convert.vegalite_to_svg(balance_chart(picture, **options).to_dict())
    return [re.sub("<[^>]+>", "", text) for text in re.findall("<text[^>]*>.*?</text>", drawing)]


def test_all_that_tells_something_is_written_out():
    said = texts(picture_of())
    for words in (
        "Invented", "Nitrate, mg/L", "Iron, not tested, mg/L", "ceiling 40", "floor 5", "now",
        "doses", "water changes", "22 Feb", "8 Mar", "5 Apr",
    ):  # fmt: skip
        assert words in said, words
    assert said.count("now") == 1
    assert said.count("ceiling 40") == said.count("floor 5") == 2


def test_a_narrow_one_leaves_every_other_date_out():
    said = texts(picture_of(), width=300)
    assert "22 Feb" in said and "22 Mar" in said
    assert "8 Mar" not in said


def test_the_scale_holds_ceiling_bands_and_tests():
    assert panel_of().top_mg_l == pytest.approx(46.0)
    high = panel_of(dosed_high=np.full(DAYS.size, 90.0)).top_mg_l
    assert high == pytest.approx(91.8)
    mark = TestMark(-1.0, 80.0, 60.0, 100.0, "80 mg/L", True)
    assert panel_of(marks=(mark,)).top_mg_l == pytest.approx(84.0)


def rows_in(chart):
    """Return every row that a chart draws, of whatever layer."""
    return [row for rows in chart.to_dict()["datasets"].values() for row in rows]


def test_tests_carry_their_error_and_whether_they_fit():
    rows = [row for row in rows_in(balance_chart(picture_of())) if "showed" in row]
    odd = next(row for row in rows if row["showed"] == "40 mg/L")
    assert odd["beside the rest"] == "does not fit"
    # an error bar that leaves the scale is cut
    assert (odd["low"], odd["high"]) == (26.0, 46.0)
    assert next(row for row in rows if row["showed"] == "10 mg/L")["beside the rest"] == "fits"


def test_doses_are_dashed_from_now_on_alone():
    rows = [row for row in rows_in(balance_chart(picture_of())) if "line" in row]
    assert {row["line"] for row in rows} == {"middle", "low", "high"}
    assert min(row["day"] for row in rows) == 0.0
    assert max(row["low"] for row in rows if row["line"] == "middle") == 18.0


def test_deeds_are_told_from_what_is_to_come():
    rows = [row for row in rows_in(balance_chart(picture_of())) if "when" in row]
    assert {(row["what"], row["when"]) for row in rows} == {
        ("40 %", "done"), ("1 g KNO3", "done"), ("1.2 g of KNO3", "to come")
    }  # fmt: skip


def test_nothing_done_is_drawn_without_marks():
    said = texts(picture_of(panel_of(marks=()), deeds=()))
    assert "doses" in said
    assert "Nitrate, mg/L" in said


def test_dark_paper():
    assert balance_chart(picture_of(), DARK).to_dict()["background"] == DARK.paper
