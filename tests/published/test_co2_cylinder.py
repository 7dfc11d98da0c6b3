"""CO2 in a cylinder against the outside world: Span & Wagner 1996, other correlations, a table.

The tables by CoolProp 8.0.0 (the equation of state of Span & Wagner 1996) were computed apart from
our code and are held to the last printed digit, the closed saturation line to that and 2 in 10 000.
"""

import numpy as np
import pytest
from chemicals import dippr, vapor_pressure, virial, volume
from CoolProp import AbstractState, CoolProp

from leafgill.science import co2_fluid, cylinder

CAS = "124-38-9"
# K; MPa; liquid and vapour kg/m³ on the saturation line. Span & Wagner 1996, J. Phys. Chem. Ref.
# Data 25, 1509-1596, as printed in its tables; quoted from memory, not checked against the paper.
SPAN_WAGNER = """
220     0.59913  1166.14   15.817
250     1.7850   1045.97   46.644
280     4.1607    883.58  121.74
290     5.3177    804.67  171.96
300     6.7131    679.24  268.58
"""

# °C; bar (absolute); liquid and vapour kg/m³; part of the volume that liquid fills at 0.68, 0.667
# and 0.75 kg/L. CoolProp 8.0.0.
SATURATION = """
5    39.69  896.0  114.6  0.724  0.707  0.813
10   45.02  861.1  135.2  0.751  0.733  0.847
15   50.87  821.2  160.7  0.786  0.767  0.892
18   54.65  793.8  179.6  0.815  0.794  0.929
20   57.29  773.4  194.2  0.839  0.816  0.960
22   60.03  750.8  211.1  0.869  0.845  0.999
24   62.88  725.0  231.1  0.909  0.883  1
25   64.34  710.5  242.7  0.935  0.907  1
26   65.84  694.5  255.9  0.967  0.937  1
28   68.92  655.3  289.1  1      1      1
30   72.14  593.3  345.1  1      1      1
"""

# Filling kg/L; bar (absolute) of a full cylinder at 25, 31, 35, 40, 50, 55, 65 °C. CoolProp 8.0.0.
FULL = """
0.667  64.3  78.5   90.7  106.3  138.4  154.6  187.5
0.680  64.3  80.0   92.8  109.2  142.6  159.6  193.8
0.750  71.7  95.9  112.4  133.2  175.4  196.8  239.7
0.760  74.4  99.6  116.7  138.3  181.9  203.9  248.3
"""

# g per L of water capacity; bar (absolute) at 20 and 25 °C, the last liquid gone. CoolProp 8.0.0.
GAS = """
242.7  57.3  64.3
194.2  57.3  60.4
160.0  53.2  55.6
120.0  45.7  47.4
100.0  40.7  42.0
80.0   34.7  35.7
60.0   27.7  28.4
40.0   19.7  20.1
20.0   10.4  10.6
10.0    5.4   5.5
"""


def rows(table):
    return [line.split() for line in table.strip().splitlines()]


def half_unit(figure):
    """A little more than half a unit of the last digit a figure is printed with."""
    return 0.51 * 10.0 ** -len(figure.partition(".")[2])


@pytest.mark.parametrize("row", rows(SPAN_WAGNER), ids=lambda row: row[0])
def test_saturation_in_the_paper(row):
    kelvin, mpa, liquid, vapour = map(float, row)
    t = kelvin - 273.15
    assert cylinder.saturation_pressure_bar(t) == pytest.approx(mpa * 10.0, rel=5e-5)
    assert cylinder.liquid_density_kg_m3(t) == pytest.approx(liquid, rel=1e-4)
    assert cylinder.vapour_density_kg_m3(t) == pytest.approx(vapour, rel=1.5e-4)


@pytest.mark.parametrize("row", rows(SATURATION), ids=lambda row: row[0])
def test_saturation_table(row):
    t = float(row[0])
    laws = (
        cylinder.saturation_pressure_bar(t),
        cylinder.liquid_density_kg_m3(t),
        cylinder.vapour_density_kg_m3(t),
        *cylinder.liquid_volume_fraction([0.68, 0.667, 0.75], 1.0, t),
    )
    for ours, theirs in zip(laws, row[1:], strict=True):
        printed, room = float(theirs), half_unit(theirs)
        assert abs(ours - printed) <= room + 2e-4 * printed
    assert cylinder.last_liquid_kg(1.0, t) * 1e3 == pytest.approx(float(row[3]), rel=5e-4)


def test_saturation_against_the_full_equation_of_state():
    """The closed forms against CoolProp's solution of the equation itself."""
    state = AbstractState("HEOS", "CarbonDioxide")
    for t in np.linspace(-50.0, 30.5, 60):
        state.update(CoolProp.QT_INPUTS, 0, t + 273.15)
        assert cylinder.saturation_pressure_bar(t) == pytest.approx(state.p() / 1e5, rel=5e-5)
        assert cylinder.liquid_density_kg_m3(t) == pytest.approx(state.rhomass(), rel=2e-4)
        state.update(CoolProp.QT_INPUTS, 1, t + 273.15)
        assert cylinder.vapour_density_kg_m3(t) == pytest.approx(state.rhomass(), rel=7e-4)
    assert state.T_critical() - 273.15 == pytest.approx(co2_fluid.CRITICAL_TEMPERATURE_C, abs=1e-4)
    assert state.p_critical() / 1e5 == pytest.approx(co2_fluid.CRITICAL_PRESSURE_BAR, abs=1e-3)
    assert state.Ttriple() - 273.15 == pytest.approx(co2_fluid.TRIPLE_TEMPERATURE_C, abs=1e-3)


def test_saturation_pressure_by_three_other_correlations():
    """McGarry 1983 (Wagner form), Perry's Handbook 8th ed. table 2-8, VDI Heat Atlas (PPDS)."""
    t = np.linspace(-50.0, 30.0, 9)
    kelvin, ours = t + 273.15, cylinder.saturation_pressure_bar(t) * 1e5
    perry = vapor_pressure.Psat_data_Perrys2_8.loc[CAS]
    vdi = vapor_pressure.Psat_data_VDI_PPDS_3.loc[CAS]
    garry = vapor_pressure.Psat_data_WagnerMcGarry.loc[CAS]
    for i, k in enumerate(kelvin):
        by_perry = dippr.EQ101(k, *(float(perry[c]) for c in ("C1", "C2", "C3", "C4", "C5")))
        by_vdi = vapor_pressure.Wagner(
            k, *(float(vdi[c]) for c in ("Tc", "Pc", "A", "B", "C", "D"))
        )
        by_garry = vapor_pressure.Wagner_original(
            k, *(float(garry[c]) for c in ("Tc", "Pc", "A", "B", "C", "D"))
        )
        assert ours[i] == pytest.approx(by_perry, rel=0.006)
        assert ours[i] == pytest.approx(by_vdi, rel=0.002)
        assert ours[i] == pytest.approx(by_garry, rel=0.003)


def test_liquid_density_by_two_other_correlations():
    """Perry's Handbook 8th ed. table 2-32 (mol/L) and VDI Heat Atlas (PPDS), both to 1 %."""
    perry = volume.rho_data_Perry_8E_105_l.loc[CAS]
    vdi = volume.rho_data_VDI_PPDS_2.loc[CAS]
    for t in (-40.0, -20.0, 0.0, 10.0, 20.0, 25.0):
        k, ours = t + 273.15, cylinder.liquid_density_kg_m3(t)
        mol_m3 = dippr.EQ105(k, *(float(perry[c]) for c in ("C1", "C2", "C3", "C4")))
        kg_m3 = dippr.EQ116(k, *(float(vdi[c]) for c in ("Tc", "rhoc", "A", "B", "C", "D")))
        assert ours == pytest.approx(mol_m3 * 44.0095e-3, rel=0.01)
        assert ours == pytest.approx(kg_m3, rel=0.01)


@pytest.mark.parametrize("row", rows(FULL), ids=lambda row: row[0])
def test_what_heat_does_to_a_full_cylinder(row):
    t = np.array([25.0, 31.0, 35.0, 40.0, 50.0, 55.0, 65.0])
    ours = cylinder.cylinder_pressure_bar(float(row[0]), 1.0, t)
    np.testing.assert_allclose(ours, [float(p) for p in row[1:]], atol=0.051)


@pytest.mark.parametrize("row", rows(GAS), ids=lambda row: row[0])
def test_pressure_after_the_last_liquid(row):
    ours = cylinder.cylinder_pressure_bar(float(row[0]) * 1e-3, 1.0, np.array([20.0, 25.0]))
    np.testing.assert_allclose(ours, [float(p) for p in row[1:]], atol=0.051)


@pytest.mark.parametrize(
    ("fill", "t"),
    [
        (0.60, 29.9),
        (0.667, 27.5),
        (0.68, 26.8),
        (0.70, 25.7),
        (0.745, 22.5),
        (0.75, 22.1),
        (0.76, 21.2),
    ],
)
def test_where_liquid_fills_a_cylinder(fill, t):
    """CoolProp 8.0.0, to the tenth printed."""
    assert cylinder.liquid_full_temperature_c(fill) == pytest.approx(t, abs=0.06)


@pytest.mark.parametrize(("t", "litres", "g_l"), [(15, 534, 1.8718), (20, 543.7, 1.8393)])
def test_gas_of_a_kilogram(t, litres, g_l):
    """CoolProp 8.0.0 at 1.01325 bar."""
    ours = cylinder.gas_volume_l(1.0, t)
    assert ours == pytest.approx(litres, abs=0.5)
    assert 1000.0 / ours == pytest.approx(g_l, abs=5e-5)


def test_density_of_the_gas_at_its_norm():
    """1.9768 g/L at 0 °C and 1.01325 bar: gas handbooks, and CoolProp 8.0.0."""
    assert co2_fluid.thin_gas_density_kg_m3(1.01325, 0.0) == pytest.approx(1.9768, abs=5e-5)


def test_virial_coefficients_by_other_roads():
    """B by CRC Handbook's fit to measurements and by Tsonopoulos 1974; C by Orbey & Vera 1983."""
    a = volume.rho_data_CRC_virial.loc[CAS]
    for t in (0.0, 20.0, 40.0, 60.0):
        k = t + 273.15
        measured = sum(float(a[f"a{i + 1}"]) * (298.15 / k - 1.0) ** i for i in range(5))
        b = co2_fluid.second_virial_cm3_mol(t)
        assert b == pytest.approx(measured, abs=4.5)
        corresponding = virial.BVirial_Tsonopoulos(k, 304.1282, 7.3773e6, 0.22394) * 1e6
        assert b == pytest.approx(corresponding, rel=0.02)
        third = virial.CVirial_Orbey_Vera(k, 304.1282, 7.3773e6, 0.22394)[0] * 1e12
        assert co2_fluid.third_virial_cm6_mol2(t) == pytest.approx(third, rel=0.06)


def test_sizes_of_cylinders_that_are_sold():
    """Arithmetic on the fillings: pounds at 68 % (49 CFR 173.304a), kilograms at 0.75."""
    pounds = np.array([2.5, 5.0, 10.0, 15.0, 20.0]) * 0.45359237
    np.testing.assert_allclose(
        cylinder.water_capacity_l(pounds), [1.67, 3.34, 6.67, 10.01, 13.34], atol=0.0051
    )
    left = cylinder.last_liquid_kg(cylinder.water_capacity_l(pounds), 20.0)
    np.testing.assert_allclose(left, [0.32, 0.65, 1.30, 1.94, 2.59], atol=0.0051)
    kilograms = np.array([0.5, 2.0, 5.0, 6.0, 10.0])
    np.testing.assert_allclose(
        cylinder.water_capacity_l(kilograms, 0.75), [0.67, 2.67, 6.67, 8.0, 13.3], atol=0.04
    )


def test_a_third_of_the_charge_is_left_when_the_gauge_begins_to_fall():
    """29 % at 20 °C, 36 % at 25 °C of a 0.68 filling: CoolProp 8.0.0."""
    share = cylinder.last_liquid_kg(1.0, np.array([20.0, 25.0])) / 0.68
    np.testing.assert_allclose(share, [0.286, 0.357], atol=5e-4)
