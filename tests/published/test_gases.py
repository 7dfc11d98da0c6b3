"""Gas solubility and exchange against published tables and formulas.

GASES was computed from the published formulas named at its columns with CoolProp 8.0.0 (IAPWS
water) for vapour pressure and density, at 1 atm of moist air, in code apart from ours.
"""

import numpy as np
import PyCO2SYS
import pytest

from leafgill.science import gases

# T °C; O2 mg/L (Benson & Krause 1984); N2 mg/L (Hamme & Emerson 2004); N2 mg/L (Weiss 1970);
# CO2 K0 mol/(L·atm) (Weiss 1974); CO2 mg/L at 1 atm of CO2; vapour pressure atm and density
# g/mL of water (CoolProp 8.0.0).
GASES = """
15  10.084  16.50  16.36  0.04553  2004  0.01683  0.99910
16  9.870  16.18  16.04  0.04412  1942  0.01795  0.99895
17  9.665  15.88  15.73  0.04278  1883  0.01913  0.99878
18  9.467  15.58  15.44  0.04149  1826  0.02038  0.99860
19  9.276  15.30  15.15  0.04027  1772  0.02170  0.99841
20  9.092  15.03  14.88  0.03910  1721  0.02309  0.99821
21  8.915  14.77  14.61  0.03798  1671  0.02456  0.99800
22  8.744  14.51  14.36  0.03691  1624  0.02611  0.99777
23  8.578  14.27  14.11  0.03589  1579  0.02774  0.99754
24  8.418  14.03  13.87  0.03491  1536  0.02947  0.99730
25  8.263  13.80  13.64  0.03397  1495  0.03128  0.99705
26  8.114  13.58  13.41  0.03307  1455  0.03320  0.99679
27  7.968  13.37  13.20  0.03221  1417  0.03521  0.99652
28  7.828  13.16  12.99  0.03138  1381  0.03734  0.99624
29  7.691  12.96  12.78  0.03059  1346  0.03957  0.99595
30  7.559  12.77  12.58  0.02983  1313  0.04191  0.99565
"""

# T °C; Schmidt numbers CO2 (Wanninkhof 1992), CO2 (Wanninkhof 2014), O2 (1992), O2 (2014).
SCHMIDT = """
15  776.9  779.0  689.3  663.8
18  662.8  664.9  586.5  565.2
20  599.4  600.3  530.5  510.2
22  543.8  543.2  481.9  461.9
24  494.0  492.2  438.4  418.7
25  470.7  468.7  417.8  398.8
26  448.0  446.3  397.7  379.8
28  403.9  404.9  357.6  344.4
30  359.6  367.3  315.8  312.2
"""

# Room CO2 ppm, then CO2 mg/L of water in equilibrium at 20, 22, 24, 25, 26, 28 °C, 1 atm:
# Weiss 1974 with the vapour pressure of CoolProp 8.0.0.
AIR = """
420   0.706 0.664 0.626 0.608 0.591 0.558
600   1.009 0.949 0.895 0.869 0.844 0.798
1000  1.681 1.582 1.491 1.448 1.407 1.329
1500  2.521 2.373 2.236 2.172 2.110 1.994
"""


def rows(table):
    return [line.split() for line in table.strip().splitlines()]


def half_unit(figure):
    """Half a unit of the last digit a figure is printed with."""
    return 0.5 * 10.0 ** -len(figure.partition(".")[2])


@pytest.mark.parametrize("row", rows(GASES), ids=lambda row: row[0])
def test_solubility_table(row):
    t = float(row[0])
    o2, n2, n2_weiss, k0, co2, vapour, density = row[1:]
    assert gases.o2_saturation_mg_l(t) == pytest.approx(float(o2), abs=half_unit(o2) * 1.02)
    assert gases.n2_saturation_mg_l(t) == pytest.approx(float(n2), abs=half_unit(n2) + 0.001)
    # An older measurement of the same thing, 1 to 1.5 % below.
    assert gases.n2_saturation_mg_l(t) / float(n2_weiss) == pytest.approx(1.0117, abs=0.004)
    henry = gases.co2_henry_mol_l_atm(t)
    assert henry == pytest.approx(float(k0), abs=half_unit(k0) * 1.02)
    assert henry * 44009.5 == pytest.approx(float(co2), abs=0.51)
    assert gases.water_vapour_pressure_atm(t) == pytest.approx(float(vapour), rel=2e-3)
    assert gases.water_density_kg_l(t) == pytest.approx(float(density), abs=2e-5)


@pytest.mark.parametrize(
    ("pressure_hpa", "o2"), [(950.0, 7.731), (980.0, 7.984), (1013.25, 8.263), (1030.0, 8.404)]
)
def test_oxygen_at_pressure(pressure_hpa, o2):
    """Benson & Krause 1984 pressure terms at 25 °C, computed apart from our code."""
    assert gases.o2_saturation_mg_l(25.0, pressure_hpa) == pytest.approx(o2, abs=5.5e-4)


@pytest.mark.parametrize(
    ("t", "o2"), [(0, 14.621), (5, 12.770), (10, 11.288), (15, 10.084), (20, 9.092), (35, 6.949)]
)
def test_oxygen_in_the_water_analysts_table(t, o2):
    """APHA Standard Methods 4500-O, table of O2 solubility, fresh water, 101.325 kPa; quoted
    from memory, not checked against the book."""
    assert gases.o2_saturation_mg_l(t) == pytest.approx(o2, abs=0.0011)


@pytest.mark.parametrize("row", rows(AIR), ids=lambda row: row[0])
def test_co2_of_room_air(row):
    for t, co2 in zip((20.0, 22.0, 24.0, 25.0, 26.0, 28.0), row[1:], strict=True):
        ours = gases.co2_equilibrium_mg_l(float(row[0]), t)
        assert ours == pytest.approx(float(co2), abs=half_unit(co2) * 1.2)


def test_co2_solubility_against_pyco2sys_live():
    """PyCO2SYS carries Weiss 1974 per kg of water; ours is his fit per litre."""
    t = np.array([5.0, 15.0, 20.0, 25.0, 30.0])
    answer = PyCO2SYS.sys(
        par1=1000.0,
        par1_type=1,
        par2=7.0,
        par2_type=3,
        salinity=0.0,
        temperature=t,
        opt_k_carbonic=8,
    )
    per_kg = gases.co2_henry_mol_l_atm(t) / gases.water_density_kg_l(t)
    np.testing.assert_allclose(per_kg, answer["k_CO2"], rtol=5e-4)


@pytest.mark.parametrize("row", rows(SCHMIDT), ids=lambda row: row[0])
def test_schmidt_numbers(row):
    t, co2_1992, co2_2014, o2_1992, o2_2014 = map(float, row)
    assert gases.schmidt_co2(t) == pytest.approx(co2_2014, abs=0.0501)
    assert gases.schmidt_o2(t) == pytest.approx(o2_2014, abs=0.0501)
    # The older fits are near it, as far as they can be: 2 % for CO2, 5 % for O2.
    assert gases.schmidt_co2(t) == pytest.approx(co2_1992, rel=0.022)
    assert gases.schmidt_o2(t) == pytest.approx(o2_1992, rel=0.05)


def test_schmidt_number_of_co2_at_20_degrees_is_600_by_convention():
    """Gas exchange is quoted as k600 for it (Wanninkhof 1992, 2014)."""
    assert gases.schmidt_co2(20.0) == pytest.approx(600.0, abs=0.5)


@pytest.mark.parametrize(
    ("t", "co2", "o2"), [(15.0, 1.459, 1.747), (20.0, 1.676, 1.996), (25.0, 1.917, 2.270)]
)
def test_exchange_ratio_against_measured_diffusion(t, co2, o2):
    """D of CO2 (Jähne et al. 1987) and O2 (fit to Ferrell & Himmelblau 1967), 1e-9 m²/s.

    Sc = ν/D, so (Sc_O2/Sc_CO2)^-½ = (D_O2/D_CO2)^½.
    """
    assert gases.o2_to_co2_exchange_ratio(t) == pytest.approx((o2 / co2) ** 0.5, rel=0.012)
