import math

import numpy as np
import pytest

from leafgill.science import conductivity
from leafgill.science.conductivity import conductivity_us_cm, limiting_s_cm2_mol
from leafgill.science.salt_table import IONS
from leafgill.science.water_properties import water_viscosity_pa_s

MIX = {"Ca": 1.0, "Mg": 0.4, "Na": 1.5, "HCO3": 1.5, "Cl": 1.6, "SO4": 0.6}


def test_number_array_and_nan():
    assert type(conductivity_us_cm(MIX)) is float
    answer = conductivity_us_cm({**MIX, "Cl": np.array([[1.6], [math.nan]])}, [20.0, 25.0])
    assert answer.shape == (2, 2)
    assert answer[0, 1] == pytest.approx(conductivity_us_cm(MIX), rel=1e-9)
    assert np.isnan(answer[1]).all()
    assert type(limiting_s_cm2_mol("K")) is float
    assert limiting_s_cm2_mol("K", np.array([20.0, math.nan])).shape == (2,)


def test_very_thin_water_is_the_sum_of_its_ions():
    """1 µmol/L of KCl: (73.48 + 76.31)·1e-3 µS/cm, less 0.1 %."""
    assert conductivity_us_cm({"K": 1e-3, "Cl": 1e-3}) == pytest.approx(0.14979, rel=2e-3)


def test_ions_hinder_one_another():
    thin, thick = (
        conductivity_us_cm({"K": 1.0, "Cl": 1.0}),
        conductivity_us_cm({"K": 10.0, "Cl": 10.0}),
    )
    assert 0.93 < thick / (10.0 * thin) < 0.98
    # and pairs carry nothing: magnesium sulfate falls short of its ions by far more
    strong = conductivity_us_cm({"Mg": 10.0, "SO4": 10.0})
    assert strong < 0.6 * 10.0 * (106.0 + 160.0)


def test_what_has_no_charge_carries_nothing():
    with_urea = conductivity_us_cm({**MIX, "urea": 3.0, "B(OH)3": 1.0})
    assert with_urea == pytest.approx(conductivity_us_cm(MIX), rel=1e-9)
    assert limiting_s_cm2_mol("urea") == 0.0


def test_warm_water_conducts_more_by_two_per_cent_a_degree():
    warmer = conductivity_us_cm(MIX, 26.0) / conductivity_us_cm(MIX, 25.0)
    assert warmer == pytest.approx(1.02, abs=0.003)
    thinner = water_viscosity_pa_s(25.0) / water_viscosity_pa_s(30.0)
    assert limiting_s_cm2_mol("Cl", 30.0) == pytest.approx(76.31 * thinner**0.9, rel=1e-12)


def test_every_ion_of_a_salt_has_a_conductivity():
    for name, ion in IONS.items():
        assert (limiting_s_cm2_mol(name) > 0.0) == (ion.charge != 0)
    assert limiting_s_cm2_mol("Fe-DTPA") == 60.0
    assert set(conductivity.LIMITING_S_CM2_MOL) <= {*IONS, "H", "OH"}


def test_an_unknown_ion_is_refused():
    with pytest.raises(ValueError, match='an ion "Xe"'):
        conductivity_us_cm({"Xe": 1.0})
    with pytest.raises(ValueError, match='an ion "Xe"'):
        limiting_s_cm2_mol("Xe")
