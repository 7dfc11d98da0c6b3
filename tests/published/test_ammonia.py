"""Un-ionised ammonia and the limits of ammonia and copper, against their sources."""

import phreeqpython
import pytest

from leafgill.science import ammonia, copper


@pytest.mark.parametrize(
    ("t", "ph", "percent"),
    [
        (10.0, 7.0, 0.186),
        (10.0, 8.0, 1.83),
        (15.0, 7.0, 0.273),
        (15.0, 8.0, 2.66),
        (20.0, 7.0, 0.396),
        (20.0, 8.0, 3.82),
        (25.0, 7.0, 0.566),
        (25.0, 8.0, 5.38),
        (30.0, 7.0, 0.799),
        (30.0, 8.0, 7.46),
    ],
)
def test_emerson_1975(t, ph, percent):
    """Emerson et al. 1975, their table of per cent NH3 (cited from memory).

    They counted kelvins from 273.2, so that the table stands 0.4 % above the formula with 273.15.
    """
    assert 100.0 * ammonia.unionised_share(ph, t) == pytest.approx(percent, rel=0.007)


@pytest.mark.parametrize("t", [15.0, 20.0, 25.0, 30.0])
@pytest.mark.parametrize("ph", [6.5, 7.0, 7.5, 8.0])
def test_against_phreeqc(t, ph):
    """PHREEQC's NH4+ = NH3 + H+ (phreeqc.dat: 0.6322 - 0.001225·T - 2835.76/T), thin water."""
    engine = phreeqpython.PhreeqPython(database="phreeqc.dat")
    solution = engine.add_solution(
        {"units": "mmol/kgw", "temp": t, "pH": ph, "N(-3)": 0.01, "Cl": 0.01}
    )
    share = solution.species["NH3"] / (solution.species["NH3"] + solution.species["NH4+"])
    assert ammonia.unionised_share(ph, t) == pytest.approx(share, rel=0.04)


def test_epa_2013():
    """EPA 822-R-13-001, abstract: 1.9 and 17 mg/L as N at pH 7 and 20 °C (cited from memory)."""
    assert ammonia.lasting_limit_n_mg_l(7.0, 20.0) == pytest.approx(1.9, abs=0.05)
    assert ammonia.short_limit_n_mg_l(7.0, 20.0) == pytest.approx(17.0, abs=0.5)
    # its tables at pH 7 and 25 °C, and at 7 °C, below which the lasting one rises no more
    assert ammonia.lasting_limit_n_mg_l(7.0, 25.0) == pytest.approx(1.4, abs=0.05)
    assert ammonia.short_limit_n_mg_l(7.0, 25.0) == pytest.approx(11.0, abs=0.5)
    assert ammonia.lasting_limit_n_mg_l(7.0, 7.0) == pytest.approx(4.4, abs=0.05)


def test_eifac_1970():
    """0.025 mg/L of NH3 (EIFAC Technical Paper 11, cited from memory)."""
    assert ammonia.LASTING_NH3_MG_L.value == 0.025


@pytest.mark.parametrize(("mg_l", "lasting", "short"), [(50.0, 4.95, 6.99), (100.0, 9.0, 13.4)])
def test_copper(mg_l, lasting, short):
    """EPA 1996: dissolved copper at 50 and 100 mg/L of CaCO3 [µg/L] (cited from memory)."""
    gh = mg_l / copper.CACO3_MG_L_PER_DGH
    assert copper.lasting_limit_ug_l(gh) == pytest.approx(lasting, rel=0.01)
    assert copper.short_limit_ug_l(gh) == pytest.approx(short, rel=0.01)
