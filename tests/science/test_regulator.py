import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.science import regulator
from leafgill.science.cited import Mark

PRESSURES = st.floats(0.0, 6.0)


def test_each_law_scalar_array_and_nan():
    calls = [
        (regulator.outlet_gauge_bar, (2.0, 30.0, 57.0, 0.01)),
        (regulator.two_stage_outlet_gauge_bar, (2.0, 30.0, 57.0, 0.01)),
        (regulator.needle_flow_ratio, (2.5, 2.0, 0.2)),
    ]
    for law, args in calls:
        alone = law(*args)
        assert type(alone) is float
        for i in range(len(args)):
            arrays = list(args)
            arrays[i] = np.array([[args[i]], [math.nan]])
            answer = law(*arrays)
            assert answer.shape == (2, 1)
            assert answer[0, 0] == pytest.approx(alone, rel=1e-14)
            assert math.isnan(answer[1, 0])
    assert type(regulator.critical_pressure_ratio()) is float


def test_one_stage_gains_what_the_inlet_loses():
    """57 to 5 bar at 1 and 2 %: +0.5 and +1.0 bar."""
    effects = np.array([0.0, 0.01, 0.02])
    np.testing.assert_allclose(
        regulator.outlet_gauge_bar(2.0, 5.0, 57.0, effects), [2.0, 2.52, 3.04], rtol=1e-12
    )
    assert regulator.outlet_gauge_bar(2.0, 57.0, 57.0, 0.02) == 2.0
    assert regulator.outlet_gauge_bar(2.0, 65.0, 57.0, 0.01) == pytest.approx(1.92)


def test_no_outlet_above_the_inlet_or_below_the_air():
    inlets = np.array([3.0, 2.0, 1.01325, 0.5])
    np.testing.assert_allclose(
        regulator.outlet_gauge_bar(2.0, inlets, 57.0, 0.01),
        [1.98675, 0.98675, 0.0, 0.0],
        atol=1e-12,
    )


def test_two_stages_nearly_cancel_it():
    two = regulator.two_stage_outlet_gauge_bar(2.0, np.array([57.0, 20.0]), 57.0, 0.02)
    # the square, and downward: -0.02²·37
    np.testing.assert_allclose(two, [2.0, 2.0 - 0.0004 * 37.0], rtol=1e-12)
    # below the pressure between the stages only the second is left: +0.02·(10 - 4)
    assert regulator.two_stage_outlet_gauge_bar(2.0, 5.01325, 57.0, 0.02) == pytest.approx(2.12)
    assert regulator.two_stage_outlet_gauge_bar(2.0, 2.0, 57.0, 0.02) == pytest.approx(0.98675)
    inlets = np.linspace(1.5, 57.0, 300)
    one = regulator.outlet_gauge_bar(2.0, inlets, 57.0, 0.02)
    two = regulator.two_stage_outlet_gauge_bar(2.0, inlets, 57.0, 0.02)
    assert two.max() - 2.0 < 0.2 * (one.max() - 2.0)


def test_choked_from_1_83():
    assert regulator.critical_pressure_ratio() == pytest.approx(1.826, abs=1e-3)
    # for air, 1.893: any text on gas dynamics
    assert regulator.critical_pressure_ratio(1.4) == pytest.approx(1.893, abs=1e-3)


def test_choked_flow_goes_with_the_absolute_pressure_before():
    ratio = regulator.needle_flow_ratio(np.array([1.5, 2.0, 3.0, 4.0]), 2.0, 0.2)
    np.testing.assert_allclose(ratio, (np.array([1.5, 2.0, 3.0, 4.0]) + 1.01325) / 3.01325)
    # what stands behind does not matter until the flow is choked no more
    assert regulator.needle_flow_ratio(3.0, 2.0, 0.6) == regulator.needle_flow_ratio(3.0, 2.0, 0.0)
    assert regulator.needle_flow_ratio(3.0, 2.0, 1.0) > regulator.needle_flow_ratio(3.0, 2.0, 0.0)


def test_subsonic_flow_by_hand():
    """Isentropic nozzle from 1.3 and from 1.6 to 1.1 bar absolute, γ = 1.29."""

    def flow(up, down):
        r = down / up
        return up * math.sqrt(r ** (2 / 1.29) - r ** (2.29 / 1.29))

    before, setting, back = (absolute - 1.01325 for absolute in (1.3, 1.6, 1.1))
    ratio = regulator.needle_flow_ratio(before, setting, back)
    assert ratio == pytest.approx(flow(1.3, 1.1) / flow(1.6, 1.1), rel=1e-9)


def test_the_flow_is_smooth_where_it_chokes():
    choked = (1.2 * regulator.critical_pressure_ratio()) - 1.01325
    below, at, above = regulator.needle_flow_ratio(
        np.array([choked - 1e-5, choked, choked + 1e-5]), 2.0, 0.18675
    )
    assert above - at == pytest.approx(at - below, rel=1e-3)


def test_a_capillary_goes_with_the_difference_of_squares():
    ratio = regulator.needle_flow_ratio(3.0, 2.0, 0.2, passage="capillary")
    behind = 1.21325**2
    assert ratio == pytest.approx((4.01325**2 - behind) / (3.01325**2 - behind), rel=1e-12)


@given(before=PRESSURES, more=st.floats(0.001, 2.0), back=PRESSURES)
@pytest.mark.parametrize("passage", regulator.PASSAGES)
def test_more_before_gives_more_and_nothing_flows_back(passage, before, more, back):
    low, high = (
        regulator.needle_flow_ratio(p, 7.0, back, passage=passage) for p in (before, before + more)
    )
    assert 0.0 <= low <= high
    if before <= back:
        assert low == 0.0
    if before + more > back + 1e-9:
        assert high > 0.0


@given(st.floats(0.31, 6.0), st.floats(0.31, 6.0))
def test_a_capillary_answers_more_than_a_nozzle(before, setting):
    nozzle, capillary = (
        regulator.needle_flow_ratio(before, setting, 0.3, passage=p) for p in regulator.PASSAGES
    )
    if before >= setting:
        assert capillary >= nozzle * (1.0 - 1e-9)
    else:
        assert capillary <= nozzle * (1.0 + 1e-9)


def test_a_valve_that_let_nothing_through():
    assert regulator.needle_flow_ratio(1.0, 0.1, 0.2) == math.inf
    assert math.isnan(regulator.needle_flow_ratio(0.1, 0.1, 0.2))


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: regulator.outlet_gauge_bar(-1.0, 5.0, 57.0, 0.01), "a set pressure of -1 bar"),
        (
            lambda: regulator.outlet_gauge_bar(2.0, 5.0, 57.0, 1.0),
            "effect of 1; accepted: 0 to 0.2",
        ),
        (lambda: regulator.needle_flow_ratio(-1.0, 2.0, 0.2), "before the valve of -1 bar"),
        (lambda: regulator.needle_flow_ratio(1.0, -2.0, 0.2), "a set pressure of -2 bar"),
        (lambda: regulator.needle_flow_ratio(1.0, 2.0, -0.2), "behind the valve of -0.2 bar"),
        (lambda: regulator.needle_flow_ratio(1.0, 2.0, 0.2, passage="pipe"), "nozzle, capillary"),
    ],
)
def test_refused(call, said):
    with pytest.raises(ValueError, match=said):
        call()


def test_effects_are_named_with_range_and_mark():
    assert set(regulator.EFFECTS) == {"single-stage", "two-stage"}
    for effect in regulator.EFFECTS.values():
        assert (effect.size.low, effect.size.high) == (0.005, 0.02)
        assert effect.source.mark is Mark.MEMORY
    assert [e.stages for e in regulator.EFFECTS.values()] == [1, 2]
