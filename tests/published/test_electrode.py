"""The electrode against physical constants and buffers against PHREEQC, live."""

import math

import phreeqpython
import pytest

from leafgill.science import electrode
from leafgill.science.carbonate_kernel import conditional_constants


@pytest.fixture(scope="module")
def engine():
    return phreeqpython.PhreeqPython(database="phreeqc.dat")


@pytest.mark.parametrize(("t", "mv"), [(0, 54.20), (20, 58.17), (25, 59.16), (30, 60.15)])
def test_nernst_slope(t, mv):
    """Printed in every handbook of electrochemistry; quoted from memory."""
    assert electrode.nernst_slope_mv(t) == pytest.approx(mv, abs=0.006)


# What the two primary standards are made of, mol/kg water (Bates 1973; from memory).
PHOSPHATE = {"K": 0.025, "Na": 0.05, "P": 0.05}
BORAX = {"Na": 0.02, "B": 0.04}


@pytest.mark.parametrize("t", [10.0, 15.0, 20.0, 25.0, 30.0, 35.0])
@pytest.mark.parametrize(("name", "salts"), [(6.86, PHOSPHATE), (9.18, BORAX)])
def test_primary_buffers_against_phreeqc(engine, name, salts, t):
    """pH of the recipe found by charge balance in phreeqc.dat (USGS), with its own activity model.

    The standards' pH rest on a convention for the activity of chloride, so two hundredths are all
    that can be asked for; at 10 °C the database's enthalpies cost borax three.
    """
    solution = engine.add_solution({"units": "mol/kgw", "temp": t, "pH": "7 charge", **salts})
    ph = solution.pH
    solution.forget()
    assert electrode.buffer_ph(name, t) == pytest.approx(ph, abs=0.032 if t < 15.0 else 0.02)


@pytest.mark.parametrize("t", [10.0, 15.0, 20.0, 25.0, 30.0, 35.0])
def test_carbonate_buffer_against_the_second_dissociation(t):
    """0.025 m NaHCO3 + 0.025 m Na2CO3: half is carbonate, so h = k2 (Plummer & Busenberg 1982).

    At an ionic strength of 0.1, where Davies' equation is good to one or two hundredths of a pH.
    """
    _, k2, _, gamma_h = conditional_constants(t, 0.1, 0.0)
    expected = 3.0 - math.log10(gamma_h * k2)
    assert electrode.buffer_ph(10.01, t) == pytest.approx(expected, abs=0.013)


def test_ninety_five_percent_slope_at_ph_6_reads_a_twentieth_high():
    """By the definition of the slope: one pH below 7, 5 % short, is 0.05 pH towards 7."""
    assert electrode.shown_ph(6.0, slope_fraction=0.95) == pytest.approx(6.05)
