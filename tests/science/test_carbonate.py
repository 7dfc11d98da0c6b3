import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.science import carbonate
from leafgill.science.carbonate_kernel import ionic_strength_mol_l

PARTS = ("ph", "alkalinity_meq_l", "dic_mmol_l", "co2_mg_l")
PAIRS = list(itertools.combinations(PARTS, 2))
SALTS = {"gh_dgh": 6.0, "extra_salt_mmol_l": 0.5, "bicarbonate_share": 0.3}
TWO_GIVEN = {
    carbonate.co2_mg_l: (6.8, 1.4, 25.0),
    carbonate.dic_mmol_l: (6.8, 1.4, 25.0),
    carbonate.ph: (20.0, 1.4, 25.0),
    carbonate.alkalinity_meq_l: (6.8, 20.0, 25.0),
    carbonate.co2_from_dic: (1.9, 1.4, 25.0),
    carbonate.ph_from_dic: (1.9, 1.4, 25.0),
}

PHS = st.floats(5.5, 8.3)
ALKALINITIES = st.floats(0.1, 6.0)
TEMPERATURES = st.floats(5.0, 35.0)
WATERS = {
    "gh_dgh": st.floats(0.0, 20.0),
    "extra_salt_mmol_l": st.floats(0.0, 20.0),
    "bicarbonate_share": st.floats(0.0, 1.0),
}
quick = settings(deadline=None, max_examples=100)


@pytest.mark.parametrize("pair", PAIRS)
@quick
@given(
    ph=PHS, alkalinity=ALKALINITIES, temperature_c=TEMPERATURES, salts=st.fixed_dictionaries(WATERS)
)
def test_any_two_give_back_the_whole_state(pair, ph, alkalinity, temperature_c, salts):
    whole = carbonate.equilibrium(
        ph=ph, alkalinity_meq_l=alkalinity, temperature_c=temperature_c, **salts
    )
    given_two = {name: getattr(whole, name) for name in pair}
    again = carbonate.equilibrium(**given_two, temperature_c=temperature_c, **salts)
    assert again.ph == pytest.approx(whole.ph, abs=1e-9)
    np.testing.assert_allclose(again[1:], whole[1:], rtol=1e-9)


@quick
@given(PHS, ALKALINITIES, TEMPERATURES)
def test_carbon_adds_up(ph, alkalinity, temperature):
    """DIC is more than CO2 + alkalinity's bicarbonate can be at most, and at least half of it."""
    state = carbonate.equilibrium(ph=ph, alkalinity_meq_l=alkalinity, temperature_c=temperature)
    co2 = state.co2_mg_l / 44.0095
    water = 10.0 ** (3.0 - ph) * 1.2
    assert co2 + 0.4 * alkalinity < state.dic_mmol_l < co2 + alkalinity + water


@quick
@given(PHS, ALKALINITIES, TEMPERATURES, st.floats(0.001, 1.0))
def test_co2_falls_with_ph_and_rises_with_alkalinity(ph, alkalinity, temperature, more):
    here = carbonate.co2_mg_l(ph, alkalinity, temperature)
    assert carbonate.co2_mg_l(ph + more, alkalinity, temperature) < here
    assert carbonate.co2_mg_l(ph, alkalinity + more, temperature) > here


@quick
@given(st.floats(0.1, 200.0), ALKALINITIES, TEMPERATURES, st.floats(0.001, 1.0))
def test_ph_falls_with_co2_and_with_carbon(co2, alkalinity, temperature, more):
    assert carbonate.ph(co2 * (1.0 + more), alkalinity, temperature) < carbonate.ph(
        co2, alkalinity, temperature
    )
    dic = alkalinity + co2 / 44.0
    assert carbonate.ph_from_dic(dic + more, alkalinity, temperature) < carbonate.ph_from_dic(
        dic, alkalinity, temperature
    )
    assert carbonate.co2_from_dic(dic + more, alkalinity, temperature) > carbonate.co2_from_dic(
        dic, alkalinity, temperature
    )


@quick
@given(PHS, ALKALINITIES, st.floats(5.0, 30.0), st.floats(0.1, 20.0))
def test_salt_and_hardness_lower_the_co2_of_a_ph(ph, alkalinity, temperature, more):
    plain = carbonate.co2_mg_l(ph, alkalinity, temperature)
    assert carbonate.co2_mg_l(ph, alkalinity, temperature, gh_dgh=more) < plain
    assert carbonate.co2_mg_l(ph, alkalinity, temperature, extra_salt_mmol_l=more) < plain


@pytest.mark.parametrize("function", TWO_GIVEN)
def test_numbers_in_a_float_out(function):
    value = function(*TWO_GIVEN[function], **SALTS)
    assert type(value) is float
    assert type(function(np.float64(TWO_GIVEN[function][0]), *TWO_GIVEN[function][1:])) is float
    assert math.isfinite(value)


@pytest.mark.parametrize("function", TWO_GIVEN)
def test_arrays_in_an_array_out_equal_to_the_numbers(function):
    first, second, temperature = TWO_GIVEN[function]
    firsts = np.array([first, first * 1.01, first * 1.02])
    answer = function(firsts, second, temperature, **SALTS)
    assert answer.shape == (3,)
    one_by_one = [function(float(x), second, temperature, **SALTS) for x in firsts]
    np.testing.assert_array_equal(answer, one_by_one)
    assert function(firsts[:1], second, temperature).shape == (1,)
    assert function(firsts[:0], second, temperature).shape == (0,)


@pytest.mark.parametrize("function", TWO_GIVEN)
def test_every_argument_broadcasts(function):
    first, second, temperature = TWO_GIVEN[function]
    grid = function(
        np.array([first, first * 1.01])[:, None, None],
        second,
        np.array([temperature, 20.0, 28.0])[:, None],
        gh_dgh=np.array([0.0, 4.0, 8.0, 12.0]),
        extra_salt_mmol_l=np.array([0.0, 1.0])[:, None, None],
    )
    assert grid.shape == (2, 3, 4)
    expected = function(first * 1.01, second, 28.0, gh_dgh=4.0, extra_salt_mmol_l=1.0)
    assert grid[1, 2, 1] == expected
    assert function([first, first], second, temperature).shape == (2,)


@pytest.mark.parametrize("function", TWO_GIVEN)
@pytest.mark.parametrize("place", [0, 1, 2, "gh_dgh", "extra_salt_mmol_l", "bicarbonate_share"])
def test_nan_stays_nan_and_where_it_is(function, place):
    arguments, salts = list(TWO_GIVEN[function]), dict(SALTS)
    where = salts if isinstance(place, str) else arguments
    good = where[place]
    where[place] = math.nan
    assert math.isnan(function(*arguments, **salts))
    where[place] = np.array([good, math.nan, good])
    answer = function(*arguments, **salts)
    np.testing.assert_array_equal(np.isnan(answer), [False, True, False])
    assert answer[0] == answer[2]


def test_bulk_co2_is_that_of_the_whole_equilibrium():
    """The fast road for arrays and the general one, over changing and repeating waters."""
    rng = np.random.default_rng(11)
    ph, alkalinity = rng.uniform(6.0, 8.0, 500), np.repeat(rng.uniform(0.2, 5.0, 50), 10)
    temperature, gh = np.repeat([18.0, 30.0], 250), np.repeat(rng.uniform(0.0, 15.0, 100), 5)
    bulk = carbonate.co2_mg_l(ph, alkalinity, temperature, gh_dgh=gh)
    whole = carbonate.equilibrium(
        ph=ph, alkalinity_meq_l=alkalinity, temperature_c=temperature, gh_dgh=gh
    )
    np.testing.assert_allclose(bulk, whole.co2_mg_l, rtol=1e-14)


def test_hardness_of_the_same_ionic_strength_is_told_apart():
    """Salt that stands in for hardness in ionic strength does not stand in for it in pairing."""
    hard = ionic_strength_mol_l(1.4, 10.0, 0.0)
    salt = (hard - ionic_strength_mol_l(1.4, 0.0, 0.0)) * 1e3
    while ionic_strength_mol_l(1.4, 0.0, salt) != hard:
        salt = math.nextafter(salt, math.inf if ionic_strength_mol_l(1.4, 0.0, salt) < hard else 0)
    water = {"gh_dgh": np.array([10.0, 0.0]), "extra_salt_mmol_l": np.array([0.0, salt])}
    both = carbonate.co2_mg_l(6.8, 1.4, 25.0, **water)
    assert both[1] > 1.01 * both[0]


def test_a_water_that_cannot_be_is_nan():
    # Alkalinity of 0.001 meq/L at pH 9.5: hydroxide alone is thirty times that.
    assert math.isnan(carbonate.co2_mg_l(9.5, 0.001, 25.0))
    # More CO2 (44 mg/L = 1 mmol/L) than carbon in all.
    state = carbonate.equilibrium(dic_mmol_l=0.9, co2_mg_l=44.0095, temperature_c=25.0)
    assert all(math.isnan(part) for part in (state.ph, state.alkalinity_meq_l))
    assert math.isnan(carbonate.ph(-1.0, 1.4, 25.0))
    assert math.isnan(carbonate.ph_from_dic(-1.0, 1.4, 25.0))


def test_water_of_no_alkalinity_is_acid_with_carbon_dioxide():
    # Rain: 0.608 mg/L CO2 in pure water; [H+]² = K1·CO2, pH 5.61.
    expected = 0.5 * (6.3519 - math.log10(0.608 / 44009.5))
    assert carbonate.ph(0.608, 0.0, 25.0) == pytest.approx(expected, abs=0.003)


@pytest.mark.parametrize(
    "names", [(), ("ph",), ("ph", "alkalinity_meq_l", "co2_mg_l"), PARTS], ids=len
)
def test_equilibrium_wants_exactly_two(names):
    with pytest.raises(TypeError, match="exactly two of ph, alkalinity_meq_l"):
        carbonate.equilibrium(temperature_c=25.0, **dict.fromkeys(names, 1.0))


def test_the_rule_of_the_trade():
    assert carbonate.rule_co2_mg_l(7, 4) == 12.0
    assert type(carbonate.rule_co2_mg_l(7, 4)) is float
    np.testing.assert_allclose(
        carbonate.rule_co2_mg_l([6.0, 7.0], np.array([[1.0], [2.0]])), [[30.0, 3.0], [60.0, 6.0]]
    )
    assert math.isnan(carbonate.rule_co2_mg_l(math.nan, 4.0))


def test_arguments_are_left_as_they_were():
    ph, alkalinity = np.array([6.8, 7.0]), np.array([1.4, 1.4])
    carbonate.co2_mg_l(ph, alkalinity, 25.0)
    np.testing.assert_array_equal(ph, [6.8, 7.0])
    np.testing.assert_array_equal(alkalinity, [1.4, 1.4])
