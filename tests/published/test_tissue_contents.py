"""What freshwater plants hold of each nutrient, against figures other than those it is drawn from.

All figures here are cited from memory and not checked against the papers.
"""

import pytest

from leafgill.advise.balance.nutrients import CARBON_PERCENT, NUTRIENTS, ion_per_carbon

C, N, P = 12.011, 14.007, 30.974


def test_carbon_nitrogen_and_phosphorus_of_benthic_plants():
    # median atoms 550:30:1 of benthic plants, of which many are algae of the sea's shore
    # (Atkinson & Smith 1983, Limnol. Oceanogr. 28, 568-574)
    nitrogen = 30.0 * N / (550.0 * C) * CARBON_PERCENT.value
    phosphorus = P / (550.0 * C) * CARBON_PERCENT.value
    tissue = NUTRIENTS["nitrate"].tissue_percent
    assert tissue.low <= nitrogen <= tissue.high
    tissue = NUTRIENTS["phosphate"].tissue_percent
    assert tissue.low <= phosphorus <= tissue.high


@pytest.mark.parametrize(
    ("key", "low", "high"),
    # usual contents of freshwater plants, % of dry weight (Hutchinson 1975; surveys)
    [("nitrate", 1.5, 4.0), ("phosphate", 0.15, 0.6), ("potassium", 1.0, 4.0),
     ("calcium", 0.5, 3.0), ("magnesium", 0.2, 0.6), ("iron", 0.01, 0.1)],
)  # fmt: skip
def test_usual_contents(key, low, high):
    tissue = NUTRIENTS[key].tissue_percent
    assert low <= tissue.value <= high
    # the ends lie where those of the surveys do, within a third or so of a factor of two
    assert tissue.low == pytest.approx(low, rel=0.3)
    assert tissue.high == pytest.approx(high, rel=0.3)


@pytest.mark.parametrize(
    ("key", "percent"),
    # contents at 95 % of the best growth of Elodea (Gerloff 1973, EPA-R1-73-001)
    [("nitrate", 1.6), ("phosphate", 0.14), ("potassium", 0.8), ("calcium", 0.28),
     ("magnesium", 0.10), ("iron", 60e-4), ("manganese", 4e-4), ("zinc", 8e-4),
     ("boron", 1.3e-4), ("copper", 0.8e-4), ("molybdenum", 0.15e-4)],
)  # fmt: skip
def test_critical_contents_lie_below_usual_ones(key, percent):
    one = NUTRIENTS[key]
    assert one.critical_percent == pytest.approx(percent)
    assert one.critical_percent < one.tissue_percent.value


def test_a_gram_of_carbon_takes_a_third_of_a_gram_of_nitrate():
    # 2.5 % of nitrogen and 38 % of carbon: 0.0658 g of nitrogen, 0.291 g of nitrate
    one = NUTRIENTS["nitrate"]
    assert ion_per_carbon(one, 2.5, 38.0) == pytest.approx(0.2912, rel=1e-3)
    assert one.ion_per_element == pytest.approx((N + 3 * 15.999) / N, rel=1e-4)
    assert NUTRIENTS["phosphate"].ion_per_element == pytest.approx((P + 4 * 15.999) / P, rel=1e-4)
