"""Light: the day's sum, what water takes, and how light enters it."""

import numpy as np
import pytest

from leafgill.science import light, light_response, light_water


@pytest.mark.parametrize(
    ("ppfd", "mol_m2"), [(20.0, 0.58), (50.0, 1.44), (100.0, 2.88), (200.0, 5.76)]
)
def test_daily_light_integral(ppfd, mol_m2):
    """Eight hours: PPFD·h·0.0036, the definition."""
    assert light.daily_light_integral_mol_m2(ppfd, 8.0) == pytest.approx(mol_m2, abs=0.005)


@pytest.mark.parametrize(
    ("nm", "per_m"),
    [
        # Pope & Fry 1997, Table 3: seen in copies
        (440.0, 0.00635),
        (680.0, 0.465),
        # from memory
        (420.0, 0.00454),
        (550.0, 0.0565),
        (600.0, 0.2224),
        (650.0, 0.340),
        (700.0, 0.624),
    ],
)
def test_pure_water(nm, per_m):
    assert light_water.pure_water_absorption_per_m(nm) == pytest.approx(per_m, rel=1e-9)


@pytest.mark.parametrize(
    ("nm", "at_40_cm", "at_60_cm"),
    [
        (440.0, 99.7, 99.6),
        (550.0, 97.8, 96.7),
        (650.0, 87.3, 81.5),
        (680.0, 83.0, 75.7),
        (700.0, 77.9, 68.8),
    ],
)
def test_what_is_left_under_pure_water(nm, at_40_cm, at_60_cm):
    """Arithmetic on the absorption, done apart: exp(-a·z), per cent."""
    kd = light_water.pure_water_absorption_per_m(nm)
    left = 100.0 * light_water.left_at_depth(np.array([0.4, 0.6]), kd)
    assert left == pytest.approx([at_40_cm, at_60_cm], abs=0.05)


def test_reflection_of_the_water_surface():
    """2.0 % straight down, 6.6 % of wholly diffuse light.

    Kirk, Light and Photosynthesis in Aquatic Ecosystems, ch. 2 (cited from memory).
    """
    assert 1.0 - light.entry_share(1.0) == pytest.approx(0.020, abs=6e-4)
    cos, weights = np.polynomial.legendre.leggauss(60)
    cos, weights = 0.5 * (cos + 1.0), 0.5 * weights
    diffuse = 1.0 - (2.0 * cos * weights) @ light.entry_share(cos)
    assert diffuse == pytest.approx(0.066, abs=6e-4)


@pytest.mark.parametrize(
    ("degrees", "percent"), [(0.0, 2.0), (20.0, 2.0), (40.0, 2.4), (60.0, 5.9), (80.0, 34.7)]
)
def test_reflection_by_angle(degrees, percent):
    """Kirk, ch. 2, table of the reflectance of a flat surface (cited from memory)."""
    reflected = 100.0 * (1.0 - light.entry_share(np.cos(np.radians(degrees))))
    assert reflected == pytest.approx(percent, abs=0.15)


def test_carbon_ceiling():
    """50 µmol/m²/s for 8 h at 0.05 mol/mol: 0.072 mol, 3.2 g of CO2 a square metre and day."""
    dli = light.daily_light_integral_mol_m2(50.0, 8.0)
    carbon = light_response.carbon_ceiling_g_m2_day(dli, 0.05, 1.0)
    assert carbon * 44.0095 / 12.011 == pytest.approx(3.2, abs=0.05)


def test_what_submerged_leaves_ask_for():
    """Compensation 5 to 35 and saturation 100 to 600 µmol/m²/s (Van et al. 1976, from memory).

    tanh has come to 96 % at 2·Ik.
    """
    ik, dark = light_response.SUBMERGED_IK, light_response.SUBMERGED_COMPENSATION
    assert (dark.low, dark.high) == (5.0, 35.0)
    assert light_response.tanh_share(2.0 * ik.low, ik.low) == pytest.approx(0.96, abs=0.005)
    assert 60.0 <= 2.0 * ik.low <= 100.0
    assert 400.0 <= 2.0 * ik.high <= 600.0
