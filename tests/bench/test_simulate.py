"""The invented tanks: their balances close, their instruments err as said, their files read."""

import ast
import csv
import itertools
import sys
import tomllib
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from bench.trial import chemistry, instruments, nature, readings, schedule
from bench.trial.actions import Read, SetGasDay, SetValve, WaterChange, Window
from bench.trial.diary import START
from bench.trial.simulate import main, simulate, write_trial
from bench.trial.world import invent

TRIAL = Path(chemistry.__file__).parent
SEEDS = (0, 1, 2, 3)


@pytest.fixture(scope="module")
def trials():
    return {seed: simulate(seed, probe=seed != 2) for seed in SEEDS}


class Idle:
    """A keeper who looks once and does what it was given."""

    def __init__(self, *actions, at=START):
        self.actions, self.at, self.senses = actions, at, None

    def next_look(self, now):
        return self.at if now < self.at else None

    def look(self, now, senses):
        self.senses = senses
        return self.actions if now == self.at else []


# --- chemistry -----------------------------------------------------------------------------


def test_table_gives_what_phreeqc_gives_between_its_nodes():
    """Source: PHREEQC (phreeqc.dat), live, at waters that are no nodes of the table."""
    import phreeqpython

    engine = phreeqpython.PhreeqPython(database="phreeqc.dat")
    for ph, kh, warmth, gh in (
        (6.03, 1.3, 23.1, 4.4),
        (6.77, 5.1, 25.7, 8.0),
        (7.96, 3.2, 21.9, 12),
    ):
        alkalinity = kh * chemistry.DKH_MEQ_L
        co2, bound = chemistry._solved(engine, ph, alkalinity, warmth, gh)
        water = chemistry.Chemistry(gh)
        assert water.co2_mg_l(ph, alkalinity, warmth) == pytest.approx(co2 * 44.0095, rel=2e-3)
        assert water.dic_mmol_l(ph, alkalinity, warmth) == pytest.approx(co2 + bound, rel=2e-3)


def test_directions_return_to_where_they_began():
    water = chemistry.Chemistry(6.0)
    row = water._profile(1.1, 24.3)
    for ph in (5.6, 6.4, 7.3, 8.4):
        assert water.ph(water.co2_mg_l(ph, 1.1, 24.3), 1.1, 24.3) == pytest.approx(ph, abs=1e-9)
        dic = chemistry.dic_of_ph(row, 1.1, ph)
        assert chemistry.ph_of_dic(row, 1.1, dic, 7.0) == pytest.approx(ph, abs=1e-6)


def test_hardness_outside_the_table_is_refused():
    with pytest.raises(ValueError, match=r"30\.0 dGH is outside"):
        chemistry.Chemistry(30.0)


# --- nature --------------------------------------------------------------------------------


def test_carbon_and_oxygen_that_came_and_went_are_what_the_tank_gained(trials):
    for trial in trials.values():
        play, fresh = trial.play, simulate(trial.play.world.seed, days=2, keeper=Idle()).play
        start = type(play)(play.world, 60, True)  # the state before the first minute
        assert play.budget[nature.CHANGED] != 0.0
        assert fresh.budget[nature.GAS] == 0.0
        for run in (play, fresh):
            carbon = (run.mean(nature.DIC_OPEN) - start.mean(nature.DIC_OPEN)) * chemistry.CO2_G_MOL
            o2 = run.mean(nature.O2_OPEN) - start.mean(nature.O2_OPEN)
            came = run.budget[: nature.CHANGED + 1].sum()
            assert carbon == pytest.approx(came, abs=1e-6)
            assert o2 == pytest.approx(run.budget[nature.O2_AIR :].sum(), abs=1e-6)


def test_gas_dissolved_is_that_of_the_bubbles(trials):
    for trial in trials.values():
        world, play = trial.play.world, trial.play
        rate = trial.truth["rate"]
        fall = np.maximum(rate, 0.05) ** -world.dissolved_fall
        given = 60.0 * np.sum(rate * fall * play.course.gain_mg_l)
        assert play.budget[nature.GAS] == pytest.approx(given, rel=1e-9)
        used = 60.0 * rate.sum() * world.bubble_mg * 1e-3
        assert play.state[nature.USED_G] == pytest.approx(used, rel=1e-9)
        assert given * world.volume_l * 1e-3 < used


def test_without_gas_the_tank_stays_near_the_air():
    trial = simulate(5, days=4, keeper=Idle())
    air = trial.play.weather.co2_equilibrium_mg_l
    world = trial.play.world
    ahead = (trial.truth["co2_mean"] - air)[2000:]
    assert np.all(np.abs(ahead) < (world.uptake_mg_l_h + 3 * world.respiration_mg_l_h) * 1.5)
    assert np.all(trial.truth["rate"] == 0.0)


def test_bubbles_come_late_and_last_as_long_as_the_gas_is_open():
    trial = simulate(7, days=2, keeper=Idle(SetGasDay(Window(600, 900)), SetValve(2.0)))
    rate = trial.truth["rate"][: 16 * 60]  # 08:00 to 24:00
    flowing = np.flatnonzero(rate > 1.0)
    late = flowing[0] - 120  # the solenoid opens at 10:00
    assert trial.play.world.line_lag_min - 1 <= late <= trial.play.world.line_lag_min + 5
    assert 300 + 120 - 1 <= flowing[-1] <= 300 + 120 + 5
    assert rate[flowing].mean() == pytest.approx(2.0, rel=0.25)


def test_windows_may_cross_midnight_or_never_open():
    clock = np.arange(4 * 1440)
    night = schedule.minutes_into(clock, Window(1320, 120)) >= 0.0
    assert night[[1439, 1440 + 119]].all()
    assert not night[[1319, 1440 + 120]].any()
    assert night.sum() == 3 * 240 + 240
    assert np.all(schedule.minutes_into(clock, Window(300, 300)) < 0.0)
    bright = schedule.daylight(clock[:1440], Window(600, 1200), 0.3)
    assert bright.max() == 1.0
    assert bright[1199] == pytest.approx(0.7, abs=0.001)
    assert bright[1200] == 0.0


def test_an_emptied_cylinder_gives_no_more():
    trial = simulate(11, days=14, keeper=Idle(SetGasDay(Window(0, 1439)), SetValve(200.0)))
    world = trial.play.world
    assert trial.truth["rate"].max() > 100.0
    assert trial.truth["rate"][-1] < 1.0
    assert trial.play.state[nature.USED_G] == pytest.approx(world.content_g, rel=0.02)


def test_a_water_change_goes_unwritten_when_the_keeper_is_so():
    change = simulate(3, days=3, keeper=Idle(WaterChange(50.0, written=False)))
    assert not [r for r in change.diary if r.kind == "water_change"]
    assert change.play.budget[nature.CHANGED] != 0.0


# --- instruments ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def kits():
    return [instruments.buy(np.random.default_rng([seed, 3])) for seed in range(600)]


def test_electrodes_differ_as_two_point_calibrated_ones_do(kits):
    assert np.std([k.probe_offset for k in kits]) == pytest.approx(0.07, rel=0.12)
    assert np.mean([k.probe_slope for k in kits]) == pytest.approx(0.97, abs=0.004)
    assert np.std([k.probe_slope for k in kits]) == pytest.approx(0.02, rel=0.12)


def test_the_log_is_the_truth_through_its_electrode(trials):
    trial = trials[1]
    kit, ph = trial.play.kit, trial.truth["ph"]
    days = trial.truth["time"] / 1440.0
    columns = np.column_stack([np.ones(ph.size), ph - 7.0, days])
    fitted, *_ = np.linalg.lstsq(columns, trial.probe - 7.0, rcond=None)
    assert fitted[0] == pytest.approx(kit.probe_offset, abs=0.002)
    assert fitted[1] == pytest.approx(kit.probe_slope, abs=0.002)
    assert fitted[2] == pytest.approx(kit.probe_drift_day, abs=0.0003)
    noise = np.std(trial.probe - 7.0 - columns @ fitted)
    assert noise == pytest.approx(np.hypot(0.008, 0.01 / np.sqrt(12)), rel=0.05)
    assert np.allclose(trial.probe * 100, np.round(trial.probe * 100))


def test_hand_tests_stand_on_their_steps_and_err_by_their_bottle(kits):
    rng = np.random.default_rng(1)
    for kit in kits[:30]:
        seen = np.array([instruments.hand_ph(kit, 6.73, rng) for _ in range(300)])
        steps = seen / kit.hand_resolution
        assert np.allclose(steps, np.round(steps))
        assert seen.mean() - 6.73 == pytest.approx(kit.hand_bias, abs=0.03)
    assert {k.hand_resolution for k in kits} == {0.1, 0.2}


def test_kh_is_rounded_up_to_whole_drops(kits):
    rng = np.random.default_rng(2)
    for kit in kits[:30]:
        seen = [instruments.kh_dkh(kit, 3.3 * chemistry.DKH_MEQ_L, rng) for _ in range(100)]
        over = np.array(seen) - 3.3 * kit.kh_bias
        assert np.all(np.mod(seen, kit.kh_drop_dkh) == 0.0)
        assert np.all(over > -4 * 0.03 * 3.3)
        assert np.all(over < kit.kh_drop_dkh + 4 * 0.03 * 3.3)


def test_counts_are_fair_and_rough_only_when_fast(kits):
    rng = np.random.default_rng(3)
    slow = np.array([instruments.bubble_count(kits[0], 3.0, rng) for _ in range(4000)])
    fast = np.array([instruments.bubble_count(kits[0], 12.0, rng) for _ in range(4000)])
    assert slow.mean() == pytest.approx(3.0, rel=0.01)
    assert slow.std() / 3.0 == pytest.approx(0.03, abs=0.008)
    assert fast.mean() == pytest.approx(12.0, rel=0.02)
    assert fast.std() / 12.0 == pytest.approx(0.11, abs=0.01)


def test_scale_errs_by_five_grams(kits):
    rng = np.random.default_rng(4)
    seen = np.array([instruments.weight(kits[0], 5000.0, rng) for _ in range(4000)])
    assert seen.std() == pytest.approx(5.0, rel=0.05)
    assert seen.mean() == pytest.approx(5000.0, abs=0.3)


def test_checker_colours_run_from_blue_to_yellow_and_slip_one_time_in_ten(kits):
    rng = np.random.default_rng(5)
    checker = instruments.DropChecker(kits[0])
    for co2, colour in (
        (4.0, "blue"),
        (16.0, "blue-green"),
        (32.0, "green"),
        (55.0, "yellow-green"),
    ):
        seen = [checker.colour(co2, 25.0, rng) for _ in range(1500)]
        places = np.array([instruments.COLOURS.index(c) for c in seen])
        right = instruments.COLOURS.index(colour)
        assert np.max(np.abs(places - right)) == 1
        slips = 0.05 if colour == "blue" else 0.1  # below blue there is only blue
        assert np.mean(places != right) == pytest.approx(slips, abs=0.03)


def test_fish_gasp_far_above_the_limit_or_without_oxygen(kits):
    def chance(co2, o2):
        return instruments.distress(kits[0], co2, 30.0, o2)

    assert chance(25.0, 8.0) < 0.01
    assert chance(45.0, 8.0) < 0.08
    assert chance(54.0, 8.0) == pytest.approx(0.5, abs=0.01)
    assert chance(70.0, 8.0) > 0.97
    assert chance(5.0, 2.5) > 0.95


def test_nobody_reads_what_is_not_there():
    with pytest.raises(ValueError, match="no instrument reads 'nitrate'"):
        simulate(0, days=2, keeper=Idle(Read("nitrate")))
    with pytest.raises(ValueError, match="no glass was drawn"):
        simulate(0, days=2, keeper=Idle(Read("degassed_ph")))
    with pytest.raises(ValueError, match="no electrode"):
        simulate(0, days=2, probe=False, keeper=Idle(Read("ph_probe")))


# --- keepers -------------------------------------------------------------------------------


def test_same_seed_same_tank_and_another_seed_another(trials):
    again = simulate(1)
    assert again.tank_toml == trials[1].tank_toml
    assert again.diary == trials[1].diary
    assert np.array_equal(again.probe, trials[1].probe)
    assert np.array_equal(again.truth["co2_max"], trials[1].truth["co2_max"])
    assert trials[3].tank_toml != trials[1].tank_toml


def test_a_longer_run_begins_like_a_shorter_one(trials):
    short = simulate(1, days=3)
    assert np.array_equal(short.probe, trials[1].probe[: short.probe.size])
    assert short.diary == trials[1].diary[: len(short.diary)]


def test_two_keepers_of_a_tank_meet_the_same_luck(trials):
    other = simulate(1, keeper=Idle(SetGasDay(Window(600, 1200)), SetValve(1.5))).play
    mine = trials[1].play
    assert np.array_equal(other.weather.exchange_h, mine.weather.exchange_h)
    assert np.array_equal(other.weather.valve_log, mine.weather.valve_log)
    assert other.kit == mine.kit


def test_a_program_can_keep_and_sees_only_its_own_diary():
    when = START + timedelta(hours=3)
    keeper = Idle(SetGasDay(Window(540, 1080)), SetValve(1.25), Read("ph"), at=when)
    trial = simulate(4, days=2, keeper=keeper)
    kinds = [r.kind for r in trial.diary]
    assert kinds == ["light_day", "kh", "cylinder_mass", "gas_day", "bubble_rate", "ph"]
    assert keeper.senses.rows == trial.diary
    assert [r.value for r in trial.diary[3:5]] == ["09:00-18:00", "1.25"]
    times, values = keeper.senses.probe(when)
    assert times[0] == when + timedelta(minutes=1)
    assert np.array_equal(values, trial.probe[180:])


def test_a_keeper_who_looks_back_in_time_is_refused():
    class Backwards(Idle):
        def next_look(self, now):
            return now

    with pytest.raises(ValueError, match="is not after"):
        simulate(0, days=2, keeper=Backwards())


def test_ordinary_habits(trials):
    for trial in trials.values():
        light = trial.play.light
        first = next(r.time for r in trial.diary if r.kind == "drop_checker")
        assert (first.hour * 60 + first.minute) - light.on_min == 60
        rates = [float(r.value) for r in trial.diary if r.kind == "bubble_rate"]
        assert rates[0] == 1.0
        steps = itertools.pairwise(rates)
        allowed = [
            any(abs(b - c) < 2e-3 for c in (a + 0.5 if a < 2.5 else 1.2 * a, 0.8 * a, 0.7 * a))
            for a, b in steps
        ]
        assert all(allowed)
        assert len(allowed) >= 2
        glasses = [r for r in trial.diary if r.kind == "degassed_ph"]
        assert len(glasses) == 2
        hand = "hand test" if trial.probe is None else "same probe"
        assert all(r.note.startswith(hand) for r in glasses)
        kinds = {r.kind for r in trial.diary}
        assert ("ph_probe" in kinds) == (trial.probe is not None)


# --- files ---------------------------------------------------------------------------------


def test_files_have_the_diaries_own_format(trials, tmp_path):
    trial = trials[1]
    write_trial(trial, tmp_path / "tank")
    tank = tomllib.loads((tmp_path / "tank" / "tank.toml").read_text())
    assert set(tank) == {"tank", "water", "day", "livestock", "target", "rig"}
    litres = tank["tank"]["volume_l"]
    assert litres == pytest.approx(trial.play.world.volume_l, rel=0.11)
    rows = list(csv.DictReader((tmp_path / "tank" / "diary.csv").open()))
    assert list(rows[0]) == ["time", "kind", "value", "unit", "note"]
    assert [r["kind"] for r in rows[:3]] == ["light_day", "kh", "cylinder_mass"]
    assert float(rows[1]["value"]) == tank["water"]["kh_dkh"]
    times = [datetime.fromisoformat(r["time"]) for r in rows]
    assert times == sorted(times)
    probe = (tmp_path / "tank" / "probe.csv").read_text().splitlines()
    assert probe[0] == "time,ph"
    assert len(probe) == 20161
    assert probe[1].startswith("2025-03-03T08:01,")
    assert len(probe[1].split(",")[1].split(".")[1]) == 3
    truth = list(csv.DictReader((tmp_path / "tank" / "truth.csv").open()))
    assert list(truth[0]) == ["time", "co2_mg_l", "co2_max_mg_l", "o2_min_mg_l", "ph"]
    assert len(truth) == 60
    i = int((datetime.fromisoformat(truth[9]["time"]) - START).total_seconds() / 60) - 1
    assert float(truth[9]["co2_mg_l"]) == pytest.approx(trial.truth["co2_mean"][i], abs=6e-4)
    assert all(float(t["co2_max_mg_l"]) >= float(t["co2_mg_l"]) for t in truth)


def test_the_command_leaves_every_third_tank_without_a_probe(tmp_path, monkeypatch, capsys):
    few = ["simulate", "--seeds", "8-10", "--days", "3", "--out", str(tmp_path)]
    monkeypatch.setattr(sys, "argv", few)
    main()
    names = sorted(p.name for p in tmp_path.iterdir())
    assert names == ["tank-0008", "tank-0009", "tank-0010-no-probe"]
    assert not (tmp_path / "tank-0010-no-probe" / "probe.csv").exists()
    assert len(capsys.readouterr().out.splitlines()) == 3


def test_the_command_refuses_a_run_that_ends_before_the_gas(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["simulate", "--days", "1", "--out", str(tmp_path)])
    with pytest.raises(SystemExit) as refused:
        main()
    assert refused.value.code == 2
    assert "at least 2" in capsys.readouterr().err


def test_tanks_are_of_the_usual_kind():
    """Ranges of ordinary planted tanks; common practice, no source."""
    worlds = [invent(seed) for seed in range(300)]
    half_lives = np.log(2.0) / np.array([w.exchange_20_h for w in worlds])
    assert half_lives.min() > 0.6
    assert half_lives.max() < 6.1
    assert 0.8 < np.median(half_lives) < 1.4
    assert all(30.0 < w.volume_l < 400.0 for w in worlds)
    kh = np.array([w.kit_alkalinity_meq_l for w in worlds]) / chemistry.DKH_MEQ_L
    assert 2.2 < np.median(kh) < 3.4
    assert 0.1 < np.mean([w.night_air for w in worlds]) < 0.4


def test_the_trial_stands_apart_from_the_product():
    for path in TRIAL.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            assert not [n for n in names if n.split(".")[0] == "leafgill"], path


def test_readings_cover_what_a_diary_of_this_keeper_holds(trials):
    written = {r.kind for t in trials.values() for r in t.diary}
    set_or_done = {"light_day", "gas_day", "bubble_rate", "water_change"}
    assert written - set_or_done == set(readings.READERS)
