"""Our equilibrium against tables of PHREEQC and PyCO2SYS answers, and live against PyCO2SYS.

Tables: made with phreeqpython 1.6.2 and phreeqc.dat (USGS), and PyCO2SYS 1.8.3.4. PHREEQC input:
alkalinity = KH · 0.35665 meq/kg, sodium equal to it, pH held; its CO2 molality times 44.0095 is
read as mg/L. `test_carbonate_phreeqc.py` makes the same answers again, live. Tolerances are half
a unit of a table's last digit, and what our activity model is allowed on top.
"""

import math

import numpy as np
import PyCO2SYS
import pytest

from leafgill.science import carbonate, gases
from leafgill.science.carbonate_directions import carbon_of_ph, hydrogen_of_ph
from leafgill.science.carbonate_kernel import conditional_constants, debye_hueckel_a
from leafgill.science.constants import CO2_G_MOL, DKH_MEQ_L

PHS = (6.0, 6.4, 6.8, 7.2, 7.6)

# T °C, log K1, log K2, log Kw, Debye-Hückel A. Plummer & Busenberg 1982 expressions (Kw:
# phreeqc.dat); A with the density of water from CoolProp 8.0.0.
CONSTANTS = """
 5  -6.5163  -10.5544  -14.7296  0.4953
10  -6.4633  -10.4879  -14.5314  0.4989
15  -6.4188  -10.4284  -14.3433  0.5027
18  -6.3958  -10.3959  -14.2350  0.5051
20  -6.3819  -10.3756  -14.1646  0.5067
22  -6.3691  -10.3562  -14.0956  0.5083
24  -6.3573  -10.3377  -14.0280  0.5100
25  -6.3519  -10.3289  -13.9948  0.5108
26  -6.3466  -10.3202  -13.9618  0.5117
28  -6.3369  -10.3036  -13.8969  0.5134
30  -6.3281  -10.2879  -13.8333  0.5151
35  -6.3102  -10.2523  -13.6796  0.5196
"""

# T °C, KH, then for each pH of PHS: CO2 mg/L, and by how many % the trade's rule is off.
BICARBONATE_WATER = """
20   1   37.11  -19.2   14.75  -19.0    5.86  -18.9    2.33  -18.8   0.926  -18.6
20   2   73.48  -18.3   29.22  -18.3   11.62  -18.2    4.62  -18.1    1.84  -17.9
20   4   145.1  -17.3   57.73  -17.2   22.97  -17.2    9.13  -17.1    3.63  -16.9
20   6   215.6  -16.5   85.80  -16.5   34.14  -16.4   13.58  -16.4    5.39  -16.1
20   8   285.3  -15.9   113.5  -15.9   45.18  -15.8   17.97  -15.7    7.13  -15.5
20  12   422.7  -14.8   168.2  -14.8   66.93  -14.8   26.62  -14.7   10.57  -14.4
25   1   34.63  -13.4   13.76  -13.2    5.47  -13.1    2.17  -13.0   0.863  -12.7
25   2   68.55  -12.5   27.26  -12.4   10.84  -12.3    4.31  -12.2    1.71  -11.9
25   4   135.4  -11.4   53.86  -11.3   21.43  -11.2    8.52  -11.1    3.38  -10.9
25   6   201.2  -10.5   80.04  -10.5   31.85  -10.4   12.66  -10.3    5.03  -10.1
25   8   266.2   -9.8   105.9   -9.8   42.14   -9.7   16.76   -9.6    6.65   -9.4
25  12   394.3   -8.7   156.9   -8.7   62.43   -8.6   24.82   -8.5    9.85   -8.2
28   1   33.45  -10.3   13.29  -10.1    5.28  -10.0    2.10   -9.9   0.833   -9.6
28   2   66.22   -9.4   26.34   -9.3   10.48   -9.2    4.16   -9.1    1.65   -8.8
28   4   130.8   -8.2   52.02   -8.2   20.70   -8.1    8.23   -8.0    3.27   -7.7
28   6   194.3   -7.4   77.31   -7.3   30.76   -7.3   12.23   -7.1    4.85   -6.9
28   8   257.1   -6.6   102.3   -6.6   40.70   -6.5   16.18   -6.4    6.42   -6.1
28  12   380.8   -5.5   151.5   -5.4   60.29   -5.4   23.97   -5.2    9.51   -4.9
"""

# The same with GH 6: Ca : Mg 3 : 1 in moles, Ca as chloride, Mg as sulfate.
HARD_WATER = """
20  2   70.10  -14.4   27.87  -14.3   11.08  -14.2    4.40  -14.0    1.74  -13.6
20  4   139.4  -13.9   55.45  -13.8   22.05  -13.8    8.76  -13.6    3.47  -13.2
20  8   276.1  -13.1   109.9  -13.0   43.70  -13.0   17.36  -12.8    6.88  -12.4
25  2   65.35   -8.2   25.98   -8.1   10.33   -8.0    4.10   -7.7    1.62   -7.2
25  4   129.9   -7.6   51.68   -7.6   20.55   -7.5    8.16   -7.3    3.23   -6.8
25  8   257.4   -6.8   102.4   -6.7   40.73   -6.6   16.18   -6.4    6.41   -5.9
28  2   63.10   -4.9   25.09   -4.8    9.97   -4.7    3.96   -4.4    1.57   -3.8
28  4   125.4   -4.3   49.90   -4.3   19.84   -4.2    7.88   -3.9    3.12   -3.4
28  8   248.5   -3.4   98.86   -3.4   39.32   -3.3   15.62   -3.0    6.18   -2.5
"""

# T °C, then F in CO2 = F · KH · 10^(7 - pH) at pH 6.8 for KH 1, 2, 4, 6, 8, 12.
FACTORS = """
15  4.029  3.994  3.946  3.911  3.881  3.834
18  3.821  3.787  3.742  3.708  3.680  3.635
20  3.700  3.667  3.623  3.590  3.563  3.519
22  3.592  3.560  3.517  3.485  3.459  3.416
24  3.496  3.465  3.423  3.392  3.366  3.325
25  3.452  3.421  3.380  3.349  3.324  3.282
26  3.410  3.380  3.339  3.309  3.284  3.243
28  3.334  3.305  3.265  3.235  3.210  3.170
30  3.267  3.238  3.199  3.169  3.145  3.106
"""

# T °C, KH, pH, CO2 mg/kg by PyCO2SYS (opt_k_carbonic 8: Millero 1979, fresh water; salinity 0,
# free scale: no activity model), CO2 mg/kg by PHREEQC, and PyCO2SYS's pK1, pK2, pKw.
IDEAL_WATER = """
20  1 6.0  37.939  37.110  6.3821  10.3768  14.1650
20  4 6.4  60.256  57.728  6.3821  10.3768  14.1650
20  4 6.8  23.976  22.969  6.3821  10.3768  14.1650
20  4 7.2  9.536  9.134  6.3821  10.3768  14.1650
20  8 6.8  47.951  45.180  6.3821  10.3768  14.1650
20 12 7.6  11.366  10.568  6.3821  10.3768  14.1650
25  1 6.0  35.353  34.626  6.3515  10.3297  13.9946
25  4 6.4  56.149  53.855  6.3515  10.3297  13.9946
25  4 6.8  22.341  21.427  6.3515  10.3297  13.9946
25  4 7.2  8.885  8.520  6.3515  10.3297  13.9946
25  8 6.8  44.680  42.142  6.3515  10.3297  13.9946
25 12 7.6  10.588  9.852  6.3515  10.3297  13.9946
28  1 6.0  34.131  33.450  6.3362  10.3042  13.8966
28  4 6.4  54.207  52.022  6.3362  10.3042  13.8966
28  4 6.8  21.568  20.696  6.3362  10.3042  13.8966
28  4 7.2  8.577  8.229  6.3362  10.3042  13.8966
28  8 6.8  43.134  40.703  6.3362  10.3042  13.8966
28 12 7.6  10.219  9.512  6.3362  10.3042  13.8966
"""

# Room CO2 ppm; at 25 °C its CO2 in water, mg/L; pH at KH 2, 4, 8; CO2 after a drop of 1.0 pH;
# drop needed for 30 mg/L. By PHREEQC.
AIR = """
420   0.61  8.05 8.34 8.62   6.2  1.68
600   0.87  7.89 8.18 8.47   8.8  1.53
1000  1.45  7.67 7.97 8.25  14.6  1.31
1500  2.17  7.50 7.79 8.08  21.9  1.14
"""


def rows(table):
    return [line.split() for line in table.strip().splitlines()]


def half_unit(figure):
    """Half a unit of the last digit a figure is printed with."""
    return 0.5 * 10.0 ** -len(figure.partition(".")[2])


def near(figure, relative):
    return pytest.approx(float(figure), abs=half_unit(figure) + relative * float(figure))


@pytest.mark.parametrize(("t", "log_k1", "log_k2", "log_kw", "a"), rows(CONSTANTS))
def test_constants(t, log_k1, log_k2, log_kw, a):
    k1, k2, kw, _ = conditional_constants(float(t), 0.0, 0.0)
    assert math.log10(k1) - 3.0 == pytest.approx(float(log_k1), abs=half_unit(log_k1) * 1.01)
    assert math.log10(k2) - 3.0 == pytest.approx(float(log_k2), abs=half_unit(log_k2) * 1.01)
    assert math.log10(kw) - 6.0 == pytest.approx(float(log_kw), abs=half_unit(log_kw) * 1.01)
    assert debye_hueckel_a(float(t)) == pytest.approx(float(a), abs=half_unit(a) * 1.2)


@pytest.mark.parametrize("row", rows(BICARBONATE_WATER), ids=lambda row: "_".join(row[:2]))
def test_bicarbonate_water(row):
    t, kh = float(row[0]), float(row[1])
    for ph, co2, rule_off in zip(PHS, row[2::2], row[3::2], strict=True):
        ours = carbonate.co2_mg_l(ph, kh * DKH_MEQ_L, t)
        assert ours == near(co2, 0.001)
        bias = (carbonate.rule_co2_mg_l(ph, kh) / ours - 1.0) * 100.0
        assert bias == pytest.approx(float(rule_off), abs=0.15)


@pytest.mark.parametrize("row", rows(HARD_WATER), ids=lambda row: "_".join(row[:2]))
def test_hard_water(row):
    t, kh = float(row[0]), float(row[1])
    for ph, co2, rule_off in zip(PHS, row[2::2], row[3::2], strict=True):
        ours = carbonate.co2_mg_l(ph, kh * DKH_MEQ_L, t, gh_dgh=6.0)
        assert ours == near(co2, 0.004)
        bias = (carbonate.rule_co2_mg_l(ph, kh) / ours - 1.0) * 100.0
        assert bias == pytest.approx(float(rule_off), abs=0.4)


@pytest.mark.parametrize("row", rows(FACTORS), ids=lambda row: row[0])
def test_factor_the_rule_should_have(row):
    for kh, factor in zip((1, 2, 4, 6, 8, 12), row[1:], strict=True):
        ours = carbonate.co2_mg_l(6.8, kh * DKH_MEQ_L, float(row[0]))
        assert ours / (kh * 10.0**0.2) == near(factor, 0.001)


@pytest.mark.parametrize(
    ("salt", "co2"),
    [(0.0, "21.43"), (2.0, "20.96"), (5.0, "20.50"), (10.0, "19.97"), (20.0, "19.24")],
)
def test_neutral_salt_at_kh_4(salt, co2):
    ours = carbonate.co2_mg_l(6.8, 4.0 * DKH_MEQ_L, 25.0, extra_salt_mmol_l=salt)
    assert ours == near(co2, 0.003)


@pytest.mark.parametrize(("kh", "co2"), [(4.0, "21.09"), (8.0, "41.13"), (12.0, "60.51")])
def test_calcium_bicarbonate_water(kh, co2):
    """All the alkalinity comes with Ca(HCO3)2, so GH equals KH; pH 6.8, 25 °C."""
    ours = carbonate.co2_mg_l(6.8, kh * DKH_MEQ_L, 25.0, gh_dgh=kh, bicarbonate_share=1.0)
    assert ours == near(co2, 0.004)


@pytest.mark.parametrize("row", rows(AIR), ids=lambda row: row[0])
def test_room_air_and_the_drop_of_ph(row):
    ppm, co2, *phs, after_drop, needed = row
    air = gases.co2_equilibrium_mg_l(float(ppm), 25.0)
    assert air == near(co2, 0.002)
    for kh, ph in zip((2.0, 4.0, 8.0), phs, strict=True):
        alkalinity = kh * DKH_MEQ_L
        start = carbonate.ph(air, alkalinity, 25.0)
        assert start == pytest.approx(float(ph), abs=0.011)
        assert carbonate.co2_mg_l(start - 1.0, alkalinity, 25.0) == near(after_drop, 0.02)
        drop = start - carbonate.ph(30.0, alkalinity, 25.0)
        assert drop == pytest.approx(float(needed), abs=0.011)


def ideal_co2_mg_l(ph, alkalinity_meq_l, temperature_c):
    """Our equilibrium at zero ionic strength."""
    k1, k2, kw, gamma_h = conditional_constants(temperature_c, 0.0, 0.0)
    h = hydrogen_of_ph(ph, gamma_h)
    return carbon_of_ph(alkalinity_meq_l, h, k1, k2, kw) * CO2_G_MOL


@pytest.mark.parametrize(
    ("t", "kh", "ph", "ideal", "phreeqc", "pk1", "pk2", "pkw"), rows(IDEAL_WATER)
)
def test_ideal_water_is_that_of_pyco2sys(t, kh, ph, ideal, phreeqc, pk1, pk2, pkw):
    t, ph, alkalinity = float(t), float(ph), float(kh) * DKH_MEQ_L
    assert ideal_co2_mg_l(ph, alkalinity, t) == pytest.approx(float(ideal), rel=0.002)
    assert carbonate.co2_mg_l(ph, alkalinity, t) == near(phreeqc, 0.001)
    k1, k2, kw, _ = conditional_constants(t, 0.0, 0.0)
    assert 3.0 - math.log10(k1) == pytest.approx(float(pk1), abs=0.001)
    assert 3.0 - math.log10(k2) == pytest.approx(float(pk2), abs=0.0015)
    assert 6.0 - math.log10(kw) == pytest.approx(float(pkw), abs=0.001)


def test_ideal_water_and_activity_against_pyco2sys_live():
    """PyCO2SYS 1.8 (Humphreys et al. 2022), fresh-water constants of Millero 1979, S = 0."""
    ph, kh, t = (
        axis.reshape(-1)
        for axis in np.meshgrid(
            [6.0, 6.5, 7.0, 7.5, 8.0], [0.5, 4.0, 15.0], [18.0, 24.0, 30.0], indexing="ij"
        )
    )
    answer = PyCO2SYS.sys(
        par1=kh * DKH_MEQ_L * 1e3,
        par1_type=1,
        par2=ph,
        par2_type=3,
        salinity=0.0,
        temperature=t,
        opt_k_carbonic=8,
        opt_pH_scale=3,
        opt_buffers_mode=0,
    )
    theirs = answer["CO2"] * 1e-3 * CO2_G_MOL
    ideal = [ideal_co2_mg_l(*water) for water in zip(ph, kh * DKH_MEQ_L, t, strict=True)]
    np.testing.assert_allclose(ideal, theirs, rtol=0.003)
    # What activity takes off grows with KH: 1.5 % at KH 0.5, 8.2 % at KH 15 (mean of the grid).
    ratio = theirs / carbonate.co2_mg_l(ph, kh * DKH_MEQ_L, t)
    for level, percent in ((0.5, 1.5), (15.0, 8.2)):
        assert 100.0 * (np.mean(ratio[kh == level]) - 1.0) == pytest.approx(percent, abs=0.3)
