"""Our equilibrium against PHREEQC, live.

Source: PHREEQC (Parkhurst & Appelo, USGS) through phreeqpython, with its database phreeqc.dat,
which uses the same thermodynamic constants but other activity coefficients (extended
Debye-Hückel) and every ion pair. Its molality is read as mmol/L, as everywhere here.
"""

import phreeqpython
import pytest

from leafgill.science import carbonate
from leafgill.science.carbonate_kernel import ionic_strength_mol_l
from leafgill.science.constants import CO2_G_MOL, DGH_MMOL_L, DKH_MEQ_L

PHS = (6.0, 6.5, 7.0, 7.5, 8.0)
TEMPERATURES = (18.0, 22.0, 26.0, 30.0)
KHS = (0.5, 1.0, 2.0, 4.0, 8.0, 15.0)
GHS = (2.0, 5.0, 10.0, 15.0)
CARBON = ("CO2", "HCO3-", "CO3-2", "NaHCO3", "NaCO3-", "CaHCO3+", "CaCO3", "MgHCO3+", "MgCO3")


@pytest.fixture(scope="module")
def engine():
    return phreeqpython.PhreeqPython(database="phreeqc.dat")


def remineralised(kh, gh, salt=0.0):
    """NaHCO3 with hardness Ca : Mg 3 : 1, Ca as chloride, Mg as sulfate; and NaCl [mmol/L]."""
    alkalinity, hardness = kh * DKH_MEQ_L, gh * DGH_MMOL_L
    return {
        "Alkalinity": alkalinity,
        "Na": alkalinity + salt,
        "Ca": 0.75 * hardness,
        "Mg": 0.25 * hardness,
        "Cl": 1.5 * hardness + salt,
        "S(6)": 0.25 * hardness,
    }


def limestone(kh, magnesium_share=0.0):
    """All alkalinity as Ca(HCO3)2 and Mg(HCO3)2: hardness and alkalinity are the same, GH = KH."""
    hardness = 0.5 * kh * DKH_MEQ_L
    return {
        "Alkalinity": kh * DKH_MEQ_L,
        "Ca": (1.0 - magnesium_share) * hardness,
        "Mg": magnesium_share * hardness,
    }


def solved(engine, ph, temperature, salts):
    """(CO2 mg/L, DIC mmol/L, ionic strength mol/L) by PHREEQC; salts in mmol/kg water."""
    present = {name: amount for name, amount in salts.items() if amount > 0.0}
    solution = engine.add_solution({"units": "mmol/kgw", "temp": temperature, "pH": ph, **present})
    species = solution.species
    answer = (
        species["CO2"] * 1e3 * CO2_G_MOL,
        sum(species.get(name, 0.0) for name in CARBON) * 1e3,
        solution.I,
    )
    solution.forget()
    return answer


def grid(ghs):
    return [(ph, t, kh, gh) for ph in PHS for t in TEMPERATURES for kh in KHS for gh in ghs]


def test_bicarbonate_water_within_half_a_percent(engine):
    worst = 0.0
    for ph, t, kh, _ in grid((0.0,)):
        co2, dic, strength = solved(engine, ph, t, remineralised(kh, 0.0))
        ours = carbonate.equilibrium(ph=ph, alkalinity_meq_l=kh * DKH_MEQ_L, temperature_c=t)
        assert ours.co2_mg_l == pytest.approx(co2, rel=0.005), (ph, t, kh)
        assert ours.dic_mmol_l == pytest.approx(dic, rel=0.002), (ph, t, kh)
        assert ionic_strength_mol_l(kh * DKH_MEQ_L, 0.0, 0.0) == pytest.approx(strength, rel=0.01)
        worst = max(worst, abs(ours.co2_mg_l / co2 - 1.0))
    # What was seen when written was 0.13 %; the promise is 0.5 %.
    assert worst < 0.002


def test_hard_water_within_one_percent(engine):
    worst = 0.0
    for ph, t, kh, gh in grid(GHS):
        co2, dic, strength = solved(engine, ph, t, remineralised(kh, gh))
        alkalinity = kh * DKH_MEQ_L
        ours = carbonate.equilibrium(ph=ph, alkalinity_meq_l=alkalinity, temperature_c=t, gh_dgh=gh)
        assert ours.co2_mg_l == pytest.approx(co2, rel=0.01), (ph, t, kh, gh)
        assert ours.dic_mmol_l == pytest.approx(dic, rel=0.005), (ph, t, kh, gh)
        assert ionic_strength_mol_l(alkalinity, gh, 0.0) == pytest.approx(strength, rel=0.02)
        worst = max(worst, abs(ours.co2_mg_l / co2 - 1.0))
    # What was seen when written was 0.56 %; the promise is 1 %.
    assert worst < 0.0065


@pytest.mark.parametrize("magnesium_share", [0.0, 0.25])
def test_limestone_water_within_one_percent(engine, magnesium_share):
    for ph, t, kh, _ in grid((0.0,)):
        # 1 dGH of CaO is the same charge as 1 dKH: hardness in dGH is KH.
        gh = 0.5 * kh * DKH_MEQ_L / DGH_MMOL_L
        co2, _, _ = solved(engine, ph, t, limestone(kh, magnesium_share))
        ours = carbonate.co2_mg_l(ph, kh * DKH_MEQ_L, t, gh_dgh=gh, bicarbonate_share=1.0)
        assert ours == pytest.approx(co2, rel=0.01), (ph, t, kh)


def test_the_share_of_bicarbonate_hardness_matters_and_is_told_apart(engine):
    """KH 15, GH 15: the two waters differ by more than the promise, so neither stands for both."""
    alkalinity = 15.0 * DKH_MEQ_L
    soft, *_ = solved(engine, 7.0, 25.0, remineralised(15.0, 15.0))
    lime, *_ = solved(engine, 7.0, 25.0, limestone(15.0, 0.25))
    assert lime / soft == pytest.approx(1.022, abs=0.004)
    for share, co2 in ((0.0, soft), (1.0, lime)):
        ours = carbonate.co2_mg_l(7.0, alkalinity, 25.0, gh_dgh=15.0, bicarbonate_share=share)
        assert ours == pytest.approx(co2, rel=0.006)


def test_added_salt_within_half_a_percent(engine):
    for salt in (1.0, 5.0, 20.0):
        for kh in (1.0, 4.0, 12.0):
            co2, _, strength = solved(engine, 6.8, 25.0, remineralised(kh, 0.0, salt))
            alkalinity = kh * DKH_MEQ_L
            ours = carbonate.co2_mg_l(6.8, alkalinity, 25.0, extra_salt_mmol_l=salt)
            assert ours == pytest.approx(co2, rel=0.005), (salt, kh)
            assert ionic_strength_mol_l(alkalinity, 0.0, salt) == pytest.approx(strength, rel=0.01)


def test_ph_of_a_carbonated_water(engine):
    """The way back: DIC and alkalinity given to PHREEQC as C(4) and salts, pH found by charge."""
    for kh, dic, t in ((1.0, 1.0, 20.0), (4.0, 1.5, 25.0), (4.0, 2.1, 25.0), (12.0, 6.0, 28.0)):
        alkalinity = kh * DKH_MEQ_L
        solution = engine.add_solution(
            {"units": "mmol/kgw", "temp": t, "pH": "7 charge", "Na": alkalinity, "C(4)": dic}
        )
        ph, co2 = solution.pH, solution.species["CO2"] * 1e3 * CO2_G_MOL
        solution.forget()
        assert carbonate.ph_from_dic(dic, alkalinity, t) == pytest.approx(ph, abs=0.002)
        assert carbonate.co2_from_dic(dic, alkalinity, t) == pytest.approx(co2, rel=0.002)
        assert carbonate.ph(co2, alkalinity, t) == pytest.approx(ph, abs=0.002)
