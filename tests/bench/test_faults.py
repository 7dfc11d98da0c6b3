"""What goes wrong in the trial's tanks: each fault does what it says from its minute on, unseen."""

import numpy as np
import pytest
from bench.trial import instruments, nature
from bench.trial.actions import SetValve, Window
from bench.trial.diary import MINUTES_DAY
from bench.trial.faults import KINDS, Fault, draw
from bench.trial.simulate import simulate
from bench.trial.world import invent

SEED, DAYS = 4003, 8
AT = 5 * MINUTES_DAY + 300  # the sixth day, 13:00


@pytest.fixture(scope="module")
def sound():
    return simulate(SEED, DAYS)


def with_fault(kind, size=1.0, **more):
    return simulate(SEED, DAYS, fault=Fault(kind, AT, size, **more))


def open_minutes(trial):
    return trial.play.course.gas_open_min >= 0.0


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_differs_before_it_and_something_after(kind, sound):
    broken = simulate(SEED, DAYS, fault=draw(kind, SEED, 5, invent(SEED).light))
    began = broken.play.struck
    assert began >= 5 * MINUTES_DAY
    np.testing.assert_array_equal(broken.probe[: began - 1], sound.probe[: began - 1])
    if kind == "leak":
        day = MINUTES_DAY
        more = broken.play.leaked_g() - sound.play.leaked_g()
        size = broken.play.fault.size
        assert more == pytest.approx(size * (DAYS - broken.play.fault.at / day))
        assert 3.0 <= size <= 15.0
    else:
        assert not np.array_equal(broken.probe[began:], sound.probe[began:])
    assert all("fault" not in row.note for row in broken.diary)


def test_a_surge_multiplies_the_flow_and_then_the_cylinder_is_empty(sound):
    broken = with_fault("surge", 2.0, over_min=60.0)
    rate = broken.play.course.rate / np.maximum(sound.play.course.rate, 1e-9)
    assert rate[AT - 1] == pytest.approx(1.0)
    assert rate[AT + 15] == pytest.approx(1.5, abs=0.02)
    assert rate[AT + 45] == pytest.approx(2.0)
    assert rate[AT + 60 + 60] == pytest.approx(1.0, abs=0.02)
    assert broken.play.course.rate[AT + 200] == 0.0


def test_a_valve_set_during_a_surge_gives_what_was_counted():
    broken = with_fault("surge", 2.0, over_min=3000.0)
    rows = [r for r in broken.diary if r.kind == "bubble_rate"]
    start = rows[0].time.replace(hour=8, minute=0) - rows[0].time.replace(hour=8, minute=0)
    assert start.days == 0
    play = broken.play
    fresh = simulate(SEED, DAYS, fault=play.fault).play
    fresh.now = AT + 100
    fresh.set_valve(1.0)
    slip = 4.0 * play.world.setting_error
    assert fresh.course.rate[AT + 100] == pytest.approx(1.0, abs=slip)


def test_a_solenoid_stuck_open_misses_its_next_switch_off(sound):
    broken, whole = open_minutes(with_fault("stuck open")), open_minutes(sound)
    off = AT + int(np.argmin(whole[AT:]))
    assert whole[off - 1] and not whole[off]
    np.testing.assert_array_equal(broken[:off], whole[:off])
    assert broken[off:].all()


def test_a_solenoid_stuck_shut_misses_its_next_switch_on(sound):
    trial = with_fault("stuck shut")
    broken, whole = open_minutes(trial), open_minutes(sound)
    off = AT + int(np.argmin(whole[AT:]))
    np.testing.assert_array_equal(broken[:off], whole[:off])
    assert not broken[off:].any()
    assert trial.play.struck == off + int(np.argmax(whole[off:]))
    # its lamp shows what the timer wants
    assert (trial.play.timer_min[trial.play.struck :] >= 0.0).any()


def test_clogging_and_drift_go_on_day_by_day(sound):
    clogged = with_fault("clogging", 0.1).play.course.gain_mg_l / sound.play.course.gain_mg_l
    assert clogged[AT - 1] == 1.0
    assert clogged[AT + MINUTES_DAY] == pytest.approx(0.9)
    assert clogged[AT + 2 * MINUTES_DAY] == pytest.approx(0.81)
    drifted = with_fault("flow drift", -0.2)
    settings = drifted.play.flow.since
    minute = max(AT, settings) + 600
    if minute < drifted.play.minutes and settings == sound.play.flow.since:
        ratio = drifted.play.course.rate[minute] / sound.play.course.rate[minute]
        assert ratio == pytest.approx(1.2 ** (600 / MINUTES_DAY))


def test_kh_moves_at_once_with_a_change_or_slowly_without(sound):
    before = sound.play.course.alkalinity_meq_l
    at_once = with_fault("kh at a change", 0.7, part=0.5).play
    ratio = at_once.course.alkalinity_meq_l / before
    assert ratio[AT - 1] == 1.0
    assert ratio[AT] == pytest.approx(0.7, abs=0.05)  # the hand is off by a few percent
    assert not any(r.kind == "water_change" and r.time.day == 8 for r in at_once.rows)
    slow = with_fault("kh slowly", 1.4, over_min=float(MINUTES_DAY)).play.course.alkalinity_meq_l
    assert (slow / before)[AT + MINUTES_DAY // 2] == pytest.approx(np.sqrt(1.4), rel=1e-3)
    assert (slow / before)[AT + MINUTES_DAY + 5] == pytest.approx(1.4)


def test_air_runs_on_and_the_lamp_stays_dark(sound):
    aired = with_fault("aeration left on").play
    more = aired.course.exchange_h[AT:] - aired.weather.exchange_h[AT:]
    np.testing.assert_allclose(more, aired.weather.night_air_h[AT:])
    dark = with_fault("light not on").play.course.uptake_mg_l_h
    assert dark[:AT].max() > 0.0
    assert not dark[AT:].any()


@pytest.mark.parametrize(("size", "shown"), [(0.0, None), (1.0, np.nan), (2.0, 14.0)])
def test_a_dead_probe_is_flat_silent_or_off_the_scale(size, shown, sound):
    broken = with_fault("probe dead", size)
    value = sound.probe[AT - 1] if shown is None else shown
    np.testing.assert_array_equal(broken.probe[AT:], np.full(broken.probe.size - AT, value))
    after = [r for r in broken.diary if (r.time - sound.diary[0].time).total_seconds() > 60 * AT]
    kinds = {r.kind for r in after}
    assert ("ph_probe" in kinds) is (shown is None)
    assert "ph" in kinds  # who sees that it is dead takes the drops


def test_a_probe_that_jumped_is_off_by_so_much(sound):
    broken = with_fault("probe jumped", 0.3)
    quiet = np.arange(AT, AT + 20)  # before the keeper looks again
    np.testing.assert_allclose(broken.probe[quiet] - sound.probe[quiet], 0.3, atol=1e-9)


def test_a_fault_is_drawn_the_same_again_and_a_wrong_name_is_refused():
    light = Window(600, 1080)
    assert draw("surge", 1, 5, light) == draw("surge", 1, 5, light)
    assert draw("surge", 1, 5, light) != draw("surge", 2, 5, light)
    with pytest.raises(ValueError, match="no fault is called 'flood'"):
        draw("flood", 1, 5, light)


def test_sizes_are_as_they_are_met():
    light = Window(600, 1080)
    surges = [draw("surge", seed, 5, light) for seed in range(200)]
    assert all(1.5 <= one.size <= 3.0 for one in surges)
    into = [one.at - 5 * MINUTES_DAY - 120 for one in surges]
    assert min(into) >= 0
    assert max(into) < 480 - 120
    kh = [draw("kh at a change", seed, 5, light).size for seed in range(200)]
    assert all(0.2 <= abs(size - 1.0) <= 0.5 for size in kh)
    assert 0.3 < np.mean(np.array(kh) > 1.0) < 0.7


def test_without_a_fault_the_gas_follows_its_timer(sound):
    np.testing.assert_array_equal(sound.play.timer_min, sound.play.course.gas_open_min)
    assert sound.play.struck is None
    assert isinstance(sound.play.kit, instruments.Kit)
    assert sound.play.state.size == nature.STATE_SIZE
    assert SetValve(1.0).rate == 1.0
