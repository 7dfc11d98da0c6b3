import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from leafgill.science import air
from leafgill.science.cited import Mark


def test_each_law_scalar_array_and_nan():
    calls = [
        (air.room_co2_ppm_after_release, (2.0, 30.0, 20.0, 420.0)),
        (air.room_co2_ppm, (10.0, 30.0, 0.5)),
        (air.room_co2_ppm, (10.0, 30.0, 0.5, 2.0)),
        (air.hours_to_limit, (500.0, 10.0, 30.0, 0.5)),
    ]
    for law, args in calls:
        alone = law(*args)
        assert type(alone) is float
        for i in range(len(args)):
            arrays = list(args)
            arrays[i] = np.array([[args[i]], [math.nan]])
            answer = law(*arrays)
            assert answer.shape == (2, 1)
            assert answer[0, 0] == pytest.approx(alone, rel=1e-13)
            assert math.isnan(answer[1, 0])


def test_a_whole_cylinder_by_hand():
    """2 kg at 543.67 L/kg into 30 m³ on top of 420 ppm."""
    share = 2.0 * 0.54367 / 30.0
    assert air.room_co2_ppm_after_release(2.0, 30.0, 20.0) == pytest.approx(
        420.0 + (1e6 - 420.0) * share, rel=1e-5
    )
    assert air.room_co2_ppm_after_release(0.0, 30.0, 20.0) == 420.0
    assert air.room_co2_ppm_after_release(60.0, 2.0, 20.0) == 1e6


def test_a_small_leak_ends_at_leak_over_fresh_air():
    """1 g/h is 0.54367 L/h; into 15 m³ of fresh air an hour: 36.2 ppm on top."""
    assert air.room_co2_ppm(1.0, 30.0, 0.5) == pytest.approx(420.0 + 36.24, abs=0.02)


def balance(leak_g_h, room, changes, hours, start, outdoor=420.0):
    gas = leak_g_h * air.gas_volume_l(1e-3, 20.0) * 1e-3

    def slope(_t, c):
        return [(1e6 * gas + changes * room * outdoor - (changes * room + gas) * c[0]) / room]

    return solve_ivp(slope, (0.0, hours), [start], rtol=1e-10, atol=1e-6).y[0, -1]


@pytest.mark.parametrize(
    ("leak", "room", "changes", "hours", "start"),
    [(10.0, 30.0, 0.5, 3.0, 420.0), (500.0, 20.0, 0.0, 8.0, 420.0), (0.0, 25.0, 2.0, 1.0, 40000.0)],
)
def test_the_closed_form_against_stepwise_integration(leak, room, changes, hours, start):
    ours = air.room_co2_ppm(leak, room, changes, hours, start_ppm=start)
    assert ours == pytest.approx(balance(leak, room, changes, hours, start), rel=1e-7)


def test_the_end_is_what_long_hours_come_to():
    assert air.room_co2_ppm(50.0, 30.0, 0.3, 1e4) == pytest.approx(
        air.room_co2_ppm(50.0, 30.0, 0.3), rel=1e-12
    )
    assert air.room_co2_ppm(50.0, 30.0, 0.3, 0.0, start_ppm=900.0) == 900.0


def test_without_air_change():
    assert air.room_co2_ppm(1.0, 30.0, 0.0) == pytest.approx(1e6, rel=1e-12)
    assert air.room_co2_ppm(0.0, 30.0, 0.0) == 420.0
    assert air.room_co2_ppm(0.0, 30.0, 0.0, start_ppm=900.0) == 900.0


def test_warm_gas_takes_more_room():
    cold, warm = (air.room_co2_ppm(10.0, 30.0, 0.5, temperature_c=t) for t in (10.0, 30.0))
    assert (warm - 420.0) / (cold - 420.0) == pytest.approx(303.15 / 283.15, rel=2e-3)


@given(st.floats(50.0, 3000.0), st.floats(10.0, 80.0), st.floats(0.0, 2.0))
def test_the_time_to_a_limit_is_when_the_room_is_there(leak, room, changes):
    hours = air.hours_to_limit(5000.0, leak, room, changes)
    end = air.room_co2_ppm(leak, room, changes)
    if math.isinf(hours):
        assert end <= 5000.0
    else:
        assert air.room_co2_ppm(leak, room, changes, hours) == pytest.approx(5000.0, rel=1e-6)


def test_never_at_once_and_from_a_start():
    assert air.hours_to_limit(5000.0, 0.0, 30.0, 0.0) == math.inf
    assert air.hours_to_limit(5000.0, 1.0, 30.0, 0.5) == math.inf
    assert air.hours_to_limit(5000.0, 1.0, 30.0, 0.5, start_ppm=6000.0) == 0.0
    sooner = air.hours_to_limit(5000.0, 500.0, 30.0, 0.5, start_ppm=2000.0)
    assert 0.0 < sooner < air.hours_to_limit(5000.0, 500.0, 30.0, 0.5)


def test_limits_have_averaging_times_and_marks():
    limits = air.LIMITS
    assert (limits["osha-pel"].ppm, limits["osha-pel"].minutes) == (5000.0, 480.0)
    assert (limits["uk-stel"].ppm, limits["uk-stel"].minutes) == (15000.0, 15.0)
    assert (limits["idlh"].ppm, limits["idlh"].minutes) == (40000.0, 0.0)
    assert limits["eu-8h"].source.mark is Mark.MEMORY
    assert {key for key, limit in limits.items() if limit.source.mark is Mark.CHECKED} == set(
        limits
    ) - {"eu-8h"}


def test_effects_leave_no_gap():
    """From 2 % up every concentration has an effect, and a higher one never a milder last one."""
    last = -1
    for ppm in np.linspace(20_000.0, 1e6, 400):
        found = air.effects_at(float(ppm))
        assert found
        rank = air.EFFECTS_IN_AIR.index(found[-1])
        assert rank >= last
        last = rank
    assert air.effects_at(19_999.0) == ()
    assert [e.low_ppm for e in air.effects_at(30_000.0)] == [30_000.0]
    assert "death" in air.effects_at(1e6)[-1].effect
    assert [e.after for e in air.effects_at(95_000.0)] == ["a few minutes", "5 min"]


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: air.room_co2_ppm_after_release(-1.0, 30.0, 20.0), "a mass of -1 kg"),
        (lambda: air.room_co2_ppm_after_release(1.0, 0.0, 20.0), "a room of 0 m³"),
        (lambda: air.room_co2_ppm_after_release(1.0, 30.0, 20.0, 2e6), "air of 2e\\+06 ppm"),
        (lambda: air.room_co2_ppm(-1.0, 30.0, 0.5), "a leak of -1 g/h"),
        (lambda: air.room_co2_ppm(1.0, 30.0, -0.5), "an air change of -0.5 per h"),
        (lambda: air.room_co2_ppm(1.0, 30.0, 0.5, -1.0), "a time of -1 h"),
        (lambda: air.room_co2_ppm(1.0, 30.0, 0.5, start_ppm=-1.0), "room of -1 ppm"),
        (lambda: air.room_co2_ppm(1.0, -30.0, 0.5), "a room of -30 m³"),
        (lambda: air.hours_to_limit(-5.0, 1.0, 30.0, 0.5), "a limit of -5 ppm"),
        (lambda: air.effects_at(math.nan), "nan ppm"),
    ],
)
def test_refused(call, said):
    with pytest.raises(ValueError, match=said):
        call()
