"""Saturation indices and the pH of bottles, against PHREEQC live."""

import phreeqpython
import pytest

from leafgill.science.precipitation import saturation_indices, settled_ph

NAMES = {"HCO3": "Alkalinity", "SO4": "S(6)", "NO3": "N(5)", "H2PO4": "P", "HPO4": "P",
         "NH4": "N(-3)", "Fe": "Fe(2)", "Fe3": "Fe(3)"}  # fmt: skip
PHASES = {
    "calcite": "Calcite",
    "gypsum": "Gypsum",
    "hydroxyapatite": "Hydroxyapatite",
    "vivianite": "Vivianite",
    "iron hydroxide": "Fe(OH)3(a)",
}
HARD = {
    "Ca": 2.0, "Mg": 0.8, "Na": 1.0, "K": 0.5, "HCO3": 4.0, "Cl": 1.0, "SO4": 0.8, "NO3": 0.5,
    "H2PO4": 0.02,
}  # fmt: skip
WATERS = [
    ({**HARD, "Fe": 0.002, "NH4": 0.01}, 6.8),
    ({**HARD, "Fe3": 0.002}, 7.8),
    ({"Ca": 0.5, "Mg": 0.2, "Na": 0.7, "HCO3": 0.7, "Cl": 1.0, "SO4": 0.2, "H2PO4": 0.01}, 6.5),
    ({"Ca": 14.0, "Mg": 5.0, "SO4": 19.0, "Na": 2.0, "Cl": 2.0}, 7.0),
    ({"K": 100.0, "H2PO4": 100.0, "Fe": 1.0, "SO4": 1.0, "Ca": 1.0, "Cl": 2.0}, 4.5),
]


@pytest.fixture(scope="module")
def engine():
    return phreeqpython.PhreeqPython(database="phreeqc.dat")


def added(engine, mix, t, ph, names=NAMES):
    named = {names.get(ion, ion): amount for ion, amount in mix.items()}
    return engine.add_solution({"units": "mmol/kgw", "temp": t, "pH": ph, **named})


@pytest.mark.parametrize("t", [20.0, 25.0, 30.0])
@pytest.mark.parametrize(("mix", "ph"), WATERS)
def test_saturation_indices(engine, mix, ph, t):
    """Same constants, Davies for extended Debye-Hückel: 0.02 an ion pair, 0.08 for apatite's 9."""
    solution = added(engine, mix, t, ph)
    ours = saturation_indices(mix, ph, t)
    compared = [name for name in ours if name in PHASES]
    assert compared
    for name in compared:
        tolerance = 0.08 if name == "hydroxyapatite" else 0.03
        assert ours[name] == pytest.approx(solution.si(PHASES[name]), abs=tolerance), name


@pytest.mark.parametrize(
    ("name", "line", "log_k", "mix", "ph"),
    [
        # strengite: its line in wateq4f.dat (USGS), which was read
        (
            "strengite",
            "FePO4:2H2O = Fe+3 + PO4-3 + 2H2O",
            -26.4,
            {"K": 10.0, "H2PO4": 10.0, "Fe3": 0.01, "Cl": 0.03},
            4.5,
        ),
        # Gregory et al. 1970 and Ohlinger et al. 1998 (constants cited from memory)
        (
            "brushite",
            "CaHPO4:2H2O = Ca+2 + HPO4-2 + 2H2O",
            -6.59,
            {"Ca": 10.0, "Cl": 20.0, "K": 10.0, "H2PO4": 10.0},
            5.0,
        ),
        (
            "struvite",
            "MgNH4PO4:6H2O = Mg+2 + NH4+ + PO4-3 + 6H2O",
            -13.26,
            {"Mg": 5.0, "SO4": 5.0, "NH4": 5.0, "Cl": 5.0, "K": 10.0, "H2PO4": 5.0},
            7.5,
        ),
    ],
)
def test_solids_that_its_database_lacks(name, line, log_k, mix, ph):
    """The solid told to PHREEQC as its users tell it one."""
    engine = phreeqpython.PhreeqPython(database="phreeqc.dat")
    engine.ip.run_string(f"PHASES\nTold\n  {line}\n  log_k {log_k}\nEND\n")
    solution = added(engine, mix, 25.0, ph)
    ours = saturation_indices(mix, ph, 25.0)[name]
    assert ours == pytest.approx(solution.si("Told"), abs=0.06)


@pytest.mark.parametrize(
    ("mix", "tolerance"),
    [
        ({"K": 10.0, "H2PO4": 10.0}, 0.01),
        ({"K": 1.0, "Cl": 1.0}, 0.01),
        ({"Fe": 1.0, "SO4": 1.0}, 0.02),
        ({"Na": 50.0, "HCO3": 50.0}, 0.1),
        ({"Na": 100.0, "CO3": 50.0}, 0.1),
        ({"K": 200.0, "HPO4": 100.0}, 0.15),
        ({"K": 1000.0, "H2PO4": 200.0, "NO3": 800.0}, 0.15),
        ({"NH4": 100.0, "SO4": 50.0}, 0.2),
    ],
)
def test_ph_of_bottles(engine, mix, tolerance):
    """The pH at which PHREEQC's charges balance; strong bottles are the harder."""
    closed = {**NAMES, "HCO3": "C(4)", "CO3": "C(4)"}
    solution = added(engine, mix, 25.0, "7 charge", closed)
    assert settled_ph(mix, 25.0) == pytest.approx(solution.pH, abs=tolerance)


def test_a_saturated_gypsum_bottle_reads_zero():
    """Pitzer's equations put gypsum's saturation at 15.1 mmol/kg at 25 °C; ours must agree."""
    engine = phreeqpython.PhreeqPython(database="pitzer.dat")
    solution = engine.add_solution({"units": "mol/kgw", "temp": 25.0, "pH": 7.0})
    solution.equalize(["Gypsum"], [0.0])
    held = 1e3 * solution.total_element("Ca", "mol")
    assert held == pytest.approx(15.1, abs=0.1)
    index = saturation_indices({"Ca": held, "SO4": held}, 7.0, 25.0)["gypsum"]
    assert index == pytest.approx(0.0, abs=0.05)
