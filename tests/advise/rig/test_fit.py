"""Whether a cylinder stands in the cabinet."""

import pytest

from leafgill.advise.rig.fit import ABOVE_CM, CLOSE, NO, SIDEWAYS_CM, UNKNOWN, YES, fit_of
from leafgill.advise.rig.sizes import SIZES
from leafgill.tank.spec import Cabinet

TWO_KG = next(size for size in SIZES if size.key == "2kg")
ROOMY = {"width_cm": 60.0, "depth_cm": 40.0, "height_cm": 120.0}


def verdict(**sides):
    return fit_of(TWO_KG, Cabinet(**{**ROOMY, **sides})).verdict


def test_the_height_counts_regulator_and_counter_on_top():
    fit = fit_of(TWO_KG, Cabinet(**ROOMY))
    assert fit.height.low == pytest.approx(TWO_KG.height_cm.low + ABOVE_CM.low)
    assert fit.height.high == pytest.approx(TWO_KG.height_cm.high + ABOVE_CM.high)
    assert fit.verdict == YES
    assert verdict(height_cm=fit.height.high) == YES
    assert verdict(height_cm=fit.height.high - 0.1) == CLOSE
    assert verdict(height_cm=fit.height.low) == CLOSE
    assert verdict(height_cm=fit.height.low - 0.1) == NO


def test_the_regulator_needs_floor_to_one_side_whichever():
    fit = fit_of(TWO_KG, Cabinet(**ROOMY))
    assert fit.length.high == pytest.approx(0.5 * TWO_KG.diameter_cm.high + SIDEWAYS_CM.high)
    long, wide = fit.length.high, TWO_KG.diameter_cm.high
    assert verdict(width_cm=long, depth_cm=wide) == YES
    assert verdict(width_cm=wide, depth_cm=long) == YES
    assert verdict(width_cm=long, depth_cm=TWO_KG.diameter_cm.low - 0.1) == NO
    assert verdict(width_cm=fit.length.low - 0.1, depth_cm=fit.length.low - 0.1) == NO


def test_one_measure_too_small_is_enough_and_is_named():
    fit = fit_of(TWO_KG, Cabinet(height_cm=45.0))
    assert fit.verdict == NO
    assert fit.why == "needs 62 cm of height (50 to 75), has 45"


def test_what_is_not_given_is_not_known():
    assert fit_of(TWO_KG, Cabinet()).why == "no cabinet is given"
    fit = fit_of(TWO_KG, Cabinet(height_cm=120.0))
    assert fit.verdict == UNKNOWN
    assert fit.why == "the cabinet's width and depth not given"


def test_larger_cylinders_need_no_less():
    kilos = [size for size in SIZES if size.key.endswith("kg")]
    heights = [fit_of(size, Cabinet()).height.value for size in kilos]
    assert heights == sorted(heights)
