import math

import numpy as np
import pytest

from leafgill.science import yeast
from leafgill.science.gas_course import given_g
from leafgill.science.gases import co2_henry_mol_l_atm


def test_each_law_scalar_array_and_nan():
    for law in (yeast.fermented_share, yeast.fermentation_rate_per_day):
        alone = law(5, 0.5, 18)
        assert type(alone) is float
        for i in range(3):
            args = [5.0, 0.5, 18.0]
            args[i] = np.array([[args[i]], [math.nan]])
            answer = law(*args)
            assert answer.shape == (2, 1)
            assert answer[0, 0] == pytest.approx(alone, rel=1e-14)
            assert math.isnan(answer[1, 0])


def test_the_share_runs_from_nothing_to_all():
    days = np.linspace(0.0, 80.0, 400)
    share = yeast.fermented_share(days, 0.5, 18.0)
    assert share[0] == pytest.approx(0.0, abs=1e-15)
    assert share[-1] == pytest.approx(1.0, abs=1e-4)
    assert np.all(np.diff(share) > 0.0)
    # 95 % of the curve from its very beginning; of that from day 0 a little less
    assert yeast.fermented_share(18.0, 0.5, 18.0) == pytest.approx(0.9475, abs=5e-4)


def test_the_rate_is_the_slope_of_the_share():
    for day in (0.5, 2.0, 5.0, 12.0, 25.0):
        slope = (
            yeast.fermented_share(day + 1e-4, 0.5, 18.0)
            - yeast.fermented_share(day - 1e-4, 0.5, 18.0)
        ) / 2e-4
        assert yeast.fermentation_rate_per_day(day, 0.5, 18.0) == pytest.approx(slope, rel=1e-6)


def test_grams_by_hand():
    """100 g sucrose in 1 L: 51.43 g in theory, 92 % of it, less what 1 L holds at 1 atm."""
    kept = co2_henry_mol_l_atm(25.0) * 44.0095
    found = yeast.yeast_grams(100.0, 1.0)
    assert found.value == pytest.approx(51.428 * 0.92 - kept, abs=0.01)
    assert found.low == pytest.approx(51.428 * 0.75 - kept, abs=0.01)
    assert found.high == pytest.approx(51.428 * 0.95 - kept, abs=0.01)


def test_alcohol_ends_what_sugar_does_not():
    """12 % alcohol is 94.7 g in a litre, which comes with 90.4 g of CO2."""
    kept = co2_henry_mol_l_atm(25.0) * 44.0095
    found = yeast.yeast_grams(400.0, 1.0)
    assert found.value == pytest.approx(94.68 * 44.009 / 46.069 - kept, abs=0.02)
    assert found.low == pytest.approx(found.value - (94.68 - 78.9) * 44.009 / 46.069, abs=0.02)
    assert yeast.yeast_grams(800.0, 1.0) == found
    assert yeast.yeast_grams(400.0, 2.0).value > 1.5 * found.value


def test_little_sugar_never_gets_out_of_the_water():
    assert yeast.yeast_grams(1.0, 1.0) == (0.0, 0.0, 0.0)
    course = yeast.yeast_course(1.0, 1.0)
    assert np.all(course.rate_g_per_day.high == 0.0)


def test_the_course_rises_and_dies_away_and_nothing_stops_it():
    course = yeast.yeast_course(200.0, 1.0)
    assert course.source == "yeast" and not course.shuts_at_night
    rate = course.rate_g_per_day
    top = int(rate.value.argmax())
    assert 2.0 < course.times_d[top] < 9.0
    assert course.rate_at(21.0).value < 0.2 * rate.value[top]
    assert np.all(rate.low <= rate.value) and np.all(rate.value <= rate.high)
    assert given_g(course.times_d, rate.value)[-1] == pytest.approx(course.grams.value, rel=0.01)
    assert course.days.low < 14.5 and course.days.high > 26.0


def test_warmth_hurries_it():
    cool, warm = (yeast.yeast_course(200.0, 1.0, t) for t in (20.0, 30.0))
    assert cool.days.value / warm.days.value == pytest.approx(2.0, rel=0.01)
    assert warm.rate_g_per_day.value.max() / cool.rate_g_per_day.value.max() == pytest.approx(
        2.0, rel=0.02
    )


def test_glucose_gives_less_than_sucrose():
    sucrose, glucose = (yeast.yeast_grams(100.0, 1.0, sugar=s) for s in ("sucrose", "glucose"))
    assert glucose.value < sucrose.value


@pytest.mark.parametrize(
    ("args", "said"),
    [
        ((-1.0, 1.0), "sugar of -1 g"),
        ((100.0, 0.0), "water of 0 L"),
        ((100.0, 1.0, 40.0), "a temperature of 40 °C"),
    ],
)
def test_refused(args, said):
    with pytest.raises(ValueError, match=said):
        yeast.yeast_course(*args)


def test_refused_sugar():
    with pytest.raises(ValueError, match='a reaction "honey"'):
        yeast.yeast_grams(100.0, 1.0, sugar="honey")
