import math

import numpy as np
import pytest

from leafgill.science import complexes, speciation
from leafgill.science.carbonate_kernel import conditional_constants
from leafgill.science.salt_table import IONS
from leafgill.science.speciation import charge_of, davies_log_gamma, ionic_strength_mol_l, speciated

HARD = {"Ca": 2.0, "Mg": 0.8, "Na": 1.0, "K": 0.5, "HCO3": 4.0, "Cl": 1.5, "SO4": 0.8}


def test_davies_scalar_array_nan_and_its_end():
    assert type(davies_log_gamma(0.01, 1, 25)) is float
    answer = davies_log_gamma(np.array([0.0, 0.01, math.nan]), 2.0, 25.0)
    assert answer[0] == 0.0
    assert answer[1] == pytest.approx(4.0 * davies_log_gamma(0.01, 1.0, 25.0), rel=1e-12)
    assert math.isnan(answer[2])
    assert davies_log_gamma(3.0, 1.0, 25.0) == davies_log_gamma(0.5, 1.0, 25.0)


def test_the_same_activities_as_the_carbonate_system():
    *_, gamma = conditional_constants(25.0, 0.01, 0.0)
    assert 10.0 ** davies_log_gamma(0.01, 1.0, 25.0) == pytest.approx(gamma, rel=1e-12)


def test_ionic_strength_by_hand():
    assert ionic_strength_mol_l({"K": 10.0, "Cl": 10.0}) == pytest.approx(0.010, rel=1e-9)
    assert ionic_strength_mol_l({"Ca": 1.0, "Cl": 2.0}) == pytest.approx(0.003, rel=1e-9)
    # pairs take ions out
    assert 0.0030 < ionic_strength_mol_l({"Mg": 1.0, "SO4": 1.0}) < 0.0040
    assert ionic_strength_mol_l({"urea": 5.0}) == 0.0


def test_number_array_and_nan():
    assert type(ionic_strength_mol_l(HARD)) is float
    answer = ionic_strength_mol_l({**HARD, "SO4": np.array([[0.8], [math.nan]])}, [20.0, 25.0])
    assert answer.shape == (2, 2)
    assert answer[0, 1] == pytest.approx(ionic_strength_mol_l(HARD, 25.0), rel=1e-9)
    assert np.isnan(answer[1]).all()


@pytest.mark.parametrize("ph", [4.5, 7.0, 8.5])
def test_nothing_is_lost_or_made(ph):
    mix = {**HARD, "HPO4": 0.05, "NH4": 0.1, "Fe3": 0.01, "Fe": 0.002}
    species = speciated(mix, 22.0, complexes=complexes.ALL, ph=ph)
    made = {each.name: dict(each.parts) for each in complexes.ALL}
    for master, total in mix.items():
        found = species.mmol_l[master] + sum(
            made[name].get(master, 0) * amount
            for name, amount in species.mmol_l.items()
            if name in made
        )
        assert float(found) == pytest.approx(total, rel=1e-8), master


def test_mass_action_holds_in_the_answer():
    species = speciated(HARD, 25.0)
    pair = species.log_activity("CaSO4")
    ions = species.log_activity("Ca") + species.log_activity("SO4")
    assert float(pair - ions) == pytest.approx(2.25, abs=1e-7)


def test_warmth_moves_a_constant_by_its_heat():
    """Van 't Hoff: MgSO4's 4.55 kcal/mol, 25 to 35 °C: 19037/(8.3145·2.3026)·1.0885e-4 = 0.1082."""
    species = speciated(HARD, 35.0)
    k = species.log_activity("MgSO4") - species.log_activity("Mg") - species.log_activity("SO4")
    assert float(k) == pytest.approx(2.37 + 0.1082, abs=2e-4)


def test_a_complex_balances_in_charge():
    for each in (*complexes.ALL, complexes.DISSOLVED_CO2):
        parts = sum(n * charge_of(part) for part, n in each.parts)
        assert parts + each.protons == each.charge, each.name
        assert each.log_k != 0.0


def test_charges():
    assert charge_of("SO4") == -2
    assert charge_of("Fe3") == 3
    assert set(complexes.EXTRA_CHARGES).isdisjoint(IONS)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: speciated({}), "a mix without ions"),
        (lambda: speciated({"Xe": 1.0}), 'an ion "Xe"; accepted: K, Na'),
        (lambda: speciated({"K": -1.0}), "K of -1 mmol/L"),
        (lambda: speciated(HARD, complexes=complexes.CARBONATE), "without a pH"),
    ],
)
def test_refused(call, said):
    with pytest.raises(ValueError, match=said):
        call()


def test_it_settles_in_strong_mixes(monkeypatch):
    """A litre with a mole of everything settles before the rounds run out."""
    mix = dict.fromkeys(("Ca", "Mg", "K", "Na", "SO4", "HCO3", "HPO4", "NH4"), 1000.0)
    settled = speciated(mix, 20.0, complexes=complexes.ALL, ph=6.0)
    monkeypatch.setattr(speciation, "_ROUNDS", 4 * speciation._ROUNDS)
    longer = speciated(mix, 20.0, complexes=complexes.ALL, ph=6.0)
    assert float(settled.mmol_l["Ca"]) == pytest.approx(float(longer.mmol_l["Ca"]), rel=1e-9)
