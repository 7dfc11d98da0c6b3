"""The drop checker against PHREEQC's answers for its reference, and what is published of the dye.

Tables by phreeqpython 1.6.2 and phreeqc.dat (USGS): NaHCO3 water of 4.0 dKH, pH held.
"""

import pytest

from leafgill.science import carbonate, indicator
from leafgill.science.constants import DKH_MEQ_L

# pH; CO2 mg/L in a 4.0 dKH reference at 20, 25, 28 °C; by the trade's rule; part of bromothymol
# blue in its blue form at pKa 7.1 and 7.0 (the dye's law alone).
REFERENCE = """
6.0  145.1  135.4  130.8  120.0   0.07   0.09
6.2   91.5   85.4   82.5   75.7   0.11   0.14
6.4   57.7   53.9   52.0   47.8   0.17   0.20
6.6   36.4   34.0   32.8   30.1   0.24   0.28
6.8   23.0   21.4   20.7   19.0   0.33   0.39
7.0   14.5   13.5   13.1   12.0   0.44   0.50
7.2    9.1    8.5    8.2    7.6   0.56   0.61
7.4    5.8    5.4    5.2    4.8   0.67   0.72
7.6    3.6    3.4    3.3    3.0   0.76   0.80
"""

# CO2 mg/L; pH of a 4.0 dKH reference at 20, 25, 28 °C.
TARGETS = """
10  7.16 7.13 7.12
15  6.98 6.95 6.94
20  6.86 6.83 6.81
25  6.76 6.73 6.72
30  6.68 6.65 6.64
35  6.62 6.59 6.57
40  6.56 6.53 6.51
50  6.46 6.43 6.42
"""


def rows(table):
    return [tuple(map(float, line.split())) for line in table.strip().splitlines()]


@pytest.mark.parametrize("row", rows(REFERENCE), ids=lambda row: str(row[0]))
def test_reference_table(row):
    ph, *levels, rule, blue_71, blue_70 = row
    for t, co2 in zip((20.0, 25.0, 28.0), levels, strict=True):
        assert carbonate.co2_mg_l(ph, 4.0 * DKH_MEQ_L, t) == pytest.approx(co2, abs=0.051, rel=5e-4)
        assert indicator.reference_ph(co2, t) == pytest.approx(ph, abs=0.007)
    assert carbonate.rule_co2_mg_l(ph, 4.0) == pytest.approx(rule, abs=0.051)
    assert indicator.blue_fraction(ph) == pytest.approx(blue_71, abs=0.0051)
    assert indicator.blue_fraction(ph, 7.0) == pytest.approx(blue_70, abs=0.0051)


@pytest.mark.parametrize("row", rows(TARGETS), ids=lambda row: str(row[0]))
def test_ph_of_a_target(row):
    for t, ph in zip((20.0, 25.0, 28.0), row[1:], strict=True):
        assert indicator.reference_ph(row[0], t) == pytest.approx(ph, abs=0.0055)


@pytest.mark.parametrize(("kh", "co2"), [(3.5, 23.7), (4.0, 27.0), (4.5, 30.3)])
def test_reference_kh_matters(kh, co2):
    """PHREEQC at pH 6.7, 25 °C."""
    assert carbonate.co2_mg_l(6.7, kh * DKH_MEQ_L, 25.0) == pytest.approx(co2, abs=0.055)
    assert indicator.reference_ph(co2, 25.0, kh) == pytest.approx(6.7, abs=0.0015)


def test_mid_green_is_a_low_level():
    """Half the dye in each form, pH 7.0 to 7.1 by the published pKa, is 11 to 13.5 mg/L."""
    low, high = (carbonate.co2_mg_l(pka, 4.0 * DKH_MEQ_L, 25.0) for pka in (7.1, 7.0))
    assert low == pytest.approx(10.7, abs=0.1)
    assert high == pytest.approx(13.5, abs=0.1)


def test_the_card_lies_within_the_published_range_of_the_dye():
    """Yellow below pH 6.0, blue above 7.6 (encyclopaedia article on bromothymol blue): every
    change of colour on the card is inside it. Where the card draws them is common practice, no
    source."""
    first, *_, last = indicator.boundaries_ph()
    assert 6.0 < last < first < 7.6


def test_thirty_is_about_a_quarter_blue():
    """PHREEQC: 30 mg/L in 4 dKH at 25 °C is pH 6.65; the dye at pKa 7.1 is then 26 % blue."""
    ph = indicator.reference_ph(30.0, 25.0)
    assert indicator.blue_fraction(ph) == pytest.approx(0.26, abs=0.01)
