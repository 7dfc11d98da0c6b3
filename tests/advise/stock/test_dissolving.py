import pytest

from leafgill.advise.stock.dissolving import (
    DISSOLVES,
    MAYBE,
    NOT,
    dissolving,
    ions_mol_l,
    share_of,
    thinner_by,
)
from leafgill.science.salts import SALTS, solubility_g_l
from leafgill.tank.bottle import Bottle, bottle_of


def bottle(**grams):
    """A litre of a solution."""
    return Bottle("b", 1000.0, tuple((key.replace("_", "."), g) for key, g in grams.items()))


def test_moles_of_each_ion():
    found = ions_mol_l(bottle(KNO3=101.102, K2SO4=17.4253))
    assert found == pytest.approx({"K": 1.2, "NO3": 1.0, "SO4": 0.1}, rel=1e-4)
    assert ions_mol_l(bottle_of("iron: iron 5 g/L")) == {}


@pytest.mark.parametrize("key", ["KNO3", "K2SO4", "MgSO4.7H2O", "urea", "CaCl2.2H2O"])
def test_alone_the_share_is_the_grams_over_those_that_dissolve(key):
    held = float(solubility_g_l(key, 15.0).value)
    for part in (0.3, 1.0, 1.7):
        (found,) = dissolving(Bottle("b", 1000.0, ((key, part * held),)), 15.0)
        assert found.weighed
        assert found.share.value == pytest.approx(part, rel=1e-9)


def test_verdicts_by_the_ends_of_what_dissolves():
    known = solubility_g_l("K2SO4", 15.0)

    def verdict(grams):
        return dissolving(bottle(K2SO4=grams), 15.0)[0].verdict

    assert verdict(0.99 * known.low) == DISSOLVES
    assert verdict(known.value) == MAYBE
    assert verdict(1.01 * known.high) == NOT


def test_cold_lets_less_dissolve():
    (warm,), (cold,) = (dissolving(bottle(KNO3=200.0), t) for t in (25.0, 5.0))
    assert cold.share.value > 1.5 * warm.share.value
    assert cold.verdict == NOT


def test_a_salt_of_the_others_ions_crystallises():
    """Potassium of the nitrate and sulfate of the magnesium's: potassium sulfate comes first."""
    found = dissolving(bottle(KNO3=250.0, MgSO4_7H2O=300.0), 15.0)
    formed = {one.salt: one for one in found if not one.weighed}
    assert "K2SO4" in formed
    assert formed["K2SO4"].verdict == NOT
    assert [one.weighed for one in found] == sorted((one.weighed for one in found), reverse=True)
    thin = dissolving(bottle(KNO3=5.0, MgSO4_7H2O=5.0), 15.0)
    assert all(one.weighed for one in thin)  # nothing near to crystallising is told of


def test_a_common_ion_pushes_a_salt_out():
    alone = dissolving(bottle(K2SO4=60.0), 15.0)[0]
    beside = next(one for one in dissolving(bottle(K2SO4=60.0, KCl=150.0), 15.0)
                  if one.salt == "K2SO4")  # fmt: skip
    assert beside.share.value > 1.5 * alone.share.value


def test_gypsum_is_left_to_what_falls_out():
    found = dissolving(bottle(CaCl2_2H2O=40.0, K2SO4=40.0), 15.0)
    assert "CaSO4.2H2O" not in {one.salt for one in found}
    weighed = dissolving(bottle(CaSO4_2H2O=5.0), 15.0)
    assert weighed[0].verdict == NOT


def test_thinner_until_all_dissolves():
    found = dissolving(bottle(K2SO4=150.0, KNO3=100.0), 15.0)
    thinner = thinner_by(found)
    assert thinner > 1.0
    again = dissolving(bottle(K2SO4=150.0 / thinner, KNO3=100.0 / thinner), 15.0)
    assert all(one.verdict == DISSOLVES for one in again)
    assert max(one.share.high for one in again) == pytest.approx(1.0, rel=1e-9)
    assert thinner_by(dissolving(bottle(KNO3=1.0), 15.0)) == 1.0


def test_share_is_the_root_of_the_ion_product():
    salt = SALTS["K2SO4"]
    half = 0.5 * salt.molar_mass_g_mol  # half a mole a litre dissolves
    share = share_of(salt, {"K": 0.5, "SO4": 1.0}, half)
    assert share == pytest.approx((0.5**2 * 1.0 / (1.0**2 * 0.5)) ** (1 / 3))
