"""Every kind that informs reaches the fit, as what it is."""

import itertools
import zlib
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from leafgill.diary import Diary, Kind
from leafgill.estimate.evidence import LOOK_BACK_DAYS, gather
from leafgill.estimate.problem import Problem
from leafgill.estimate.readings import kh_intervals

INFORMING = [
    "ph", "ph_probe", "degassed_ph", "kh", "gh", "drop_checker", "bubble_rate", "bubble_count",
    "gas_day", "light_day", "air_day", "temperature", "cylinder_mass", "working_pressure",
    "water_change", "test", "calibration",
]  # fmt: skip


@pytest.fixture
def gathered(tank, when):
    """Return a maker of evidence from entries, up to the morning of day 4."""

    def make(entries, day=4, stream=None):
        diary = Diary(sorted(entries, key=lambda row: row.time)).localised("UTC")
        for sensor, times, values in stream or ():
            diary.add_readings(sensor, times, values)
        return gather(tank, diary, when(day, "08:00"))

    return make


def two_tanks(problem):
    """Return two tanks' coordinates, the same for a name in every problem."""
    seeds = [zlib.crc32(row.name.encode()) for row in problem.rows]
    return 0.3 * np.stack([np.random.default_rng(seed).standard_normal(2) for seed in seeds], 1)


def favour(evidence):
    """Return by how much the evidence likes one of two tanks better than the other."""
    problem = Problem.of(evidence)
    _, loss = problem.score(two_tanks(problem))
    return float(loss[1] - loss[0])


@pytest.mark.parametrize("kind", INFORMING)
def test_leaving_a_kind_out_changes_what_the_evidence_favours(kind, rows, gathered, write):
    rows = [*rows, write(1, "18:00", "air_day", "20:00-06:00")]
    less = [row for row in rows if row.kind != kind]
    assert len(less) < len(rows)
    assert abs(favour(gathered(less)) - favour(gathered(rows))) > 1e-3


def test_the_kinds_that_only_tell_a_story_change_nothing(rows, gathered, write):
    story = [
        write(2, "12:00", "note", "the stems are pearling"),
        write(2, "12:00", "fish", "normal"),
        write(2, "12:00", "dose", 5, "mL", "trace elements"),
        write(2, "12:00", "test", 10, "mg/L", "nitrate"),
    ]
    assert favour(gathered(rows + story)) == favour(gathered(rows))


@pytest.mark.parametrize(
    ("kind", "value", "note"),
    [
        ("ph", 6.4, None), ("ph_probe", 6.4, None), ("degassed_ph", 7.9, None),
        ("degassed_ph", None, "same probe, outdoors, glass drawn 08:00"),
        ("degassed_ph", None, "hand test, indoor air, glass drawn 08:00"),
        ("kh", 4.5, None), ("kh", None, "to the nearest 0.5 dKH"), ("kh", None, "1.0 dKH drop"),
        ("gh", 14.0, None), ("drop_checker", "blue", None), ("bubble_rate", 2.5, None),
        ("bubble_count", 2.4, None), ("temperature", 23.0, None), ("cylinder_mass", 4000.0, None),
        ("working_pressure", 2.5, None), ("water_change", 20.0, None),
        ("water_change", None, "kh 2"), ("test", 7.0, None),
    ],
)  # fmt: skip
def test_another_value_or_note_changes_what_the_evidence_favours(kind, value, note, rows, gathered):
    at = max(k for k, row in enumerate(rows) if row.kind == kind)
    old = rows[at]
    told = old.note if note is None else note
    unit = old.unit if kind != "bubble_count" else "per s over 10 s"
    changed = type(old)(old.time, kind, old.value if value is None else value, unit, told)
    other = gathered([*rows[:at], changed, *rows[at + 1 :]])
    assert abs(favour(other) - favour(gathered(rows))) > 1e-3


def test_temperature_of_a_logger_is_used(rows, gathered, when):
    start = when(0, "08:00").timestamp()
    times = np.arange(start, start + 4 * 86400, 1800.0)
    warm = gathered(rows, stream=[("temperature", times, np.full(times.size, 29.0))])
    assert warm.forcing.temperature_c == pytest.approx(29.0)


def test_temperature_is_drawn_as_a_line_between_readings(gathered, write):
    evidence = gathered(
        [write(0, "08:00", "temperature", 24.0, "°C"), write(2, "08:00", "temperature", 26.0, "°C")]
    )
    middle = np.searchsorted(evidence.edges_s, evidence.start_s + 86400.0)
    assert evidence.forcing.temperature_c[[0, middle, -1]] == pytest.approx([24, 25, 26], abs=0.06)


@pytest.mark.parametrize(
    ("note", "value", "low", "high"),
    [
        ("rounded up to whole 0.5 dKH drops", 4.0, 3.5, 4.0),
        ("1.0 dKH drop", 4.0, 3.0, 4.0),
        ("", 4.0, 3.0, 4.0),
        ("", 4.5, 4.0, 4.5),
        ("to the nearest 0.5 dKH, drops of 0.5 dKH", 4.0, 3.75, 4.25),
        ("rounded down, drops of 0.5 dKH", 4.0, 4.0, 4.5),
    ],
)
def test_a_kit_reading_is_an_interval(note, value, low, high, write):
    (found,) = kh_intervals(Diary([write(0, "08:00", "kh", value, "dKH", note)]).localised("UTC"))
    assert found[1:] == pytest.approx((low, high))


def test_a_reading_the_diary_repeats_is_counted_once(gathered, write, when):
    start = when(0, "08:00").timestamp()
    times = np.arange(start, start + 86400.0, 600.0)
    values = 7.0 - 0.3 * np.sin((times - start) / 10000.0)
    single = write(0, "15:00", "ph_probe", 6.72)
    logged = [("ph", times, values)]
    alone = gathered([write(0, "08:00", "note", "start")], 1, logged).observations
    repeated = gathered([write(0, "08:00", "note", "start"), single], 1, logged).observations
    for without, with_it in zip(alone, repeated, strict=True):
        assert np.array_equal(without, with_it)
    between = gathered(
        [write(0, "08:00", "note", "start"), write(0, "15:05", "ph_probe", 6.0)], 1, logged
    ).observations
    assert between.ph.min() < alone.ph.min() - 0.05


def test_a_logger_is_averaged_around_each_edge(gathered, write, when):
    start = when(0, "08:00").timestamp()
    times = start + 60.0 * np.arange(240)
    noise = np.where(np.arange(240) % 2, 0.02, -0.02)
    o = gathered([write(0, "08:00", "note", "s")], 1, [("ph", times, 7.0 + noise)]).observations
    assert 8 <= o.ph.size < 30
    assert np.abs(o.ph - 7.0).max() < 0.005
    assert np.all(o.ph_probe == 1.0)
    assert 0.004 < o.ph_sd.min() < 0.006


@pytest.mark.parametrize(
    ("values", "note", "step"),
    [([6.8, 7.0, 6.6], "", 0.2), ([6.8, 6.9, 6.6], "", 0.1), ([6.8], "read to 0.5", 0.5)],
)
def test_a_hand_test_is_as_fine_as_it_is_read(values, note, step, gathered, write):
    rows = [write(0, f"{9 + k}:00", "ph", v, "", note) for k, v in enumerate(values)]
    sd = gathered(rows).observations.ph_sd
    assert sd == pytest.approx(np.hypot(step / np.sqrt(12.0), 0.10))


def test_readings_are_named_in_the_order_of_the_errors(rows, gathered):
    evidence = gathered(rows)
    kinds = [kind for _, kind, _ in evidence.readings]
    assert kinds == ["ph", "ph_probe", "ph_probe", "ph_probe", "ph", "degassed_ph", "kh",
                     "drop_checker", "test oxygen"]  # fmt: skip
    assert len(kinds) == evidence.observations.size
    errors, _ = Problem.of(evidence).score(np.zeros((1, Problem.of(evidence).size)))
    assert errors.shape[1] == evidence.observations.size + 2


def test_each_calibration_has_an_offset_of_its_own(rows, gathered):
    evidence = gathered(rows)
    assert evidence.epochs == 2
    assert evidence.observations.ph_epoch[[1, 2, 3]].tolist() == [0.0, 0.0, 1.0]
    assert "recalibrated_1" in Problem.of(evidence).index


def test_a_glass_stands_for_the_water_when_it_was_drawn(rows, gathered):
    o = gathered(rows).observations
    assert o.glass_h[0] == pytest.approx(24.0)
    assert o.glass_probe[0] == 1.0 and o.glass_outdoors[0] == 0.0


def test_working_pressure_scales_the_bubbles(rows, gathered):
    evidence = gathered(rows)
    later = evidence.pressure_factor[-1]
    assert evidence.pressure_factor[0] == pytest.approx(1.0)
    assert later == pytest.approx((1.5 + 1.01325) / (2.0 + 1.01325))


def test_weighings_count_the_seconds_of_gas_between_them(rows, gathered):
    w = gathered(rows).weighings
    assert w.mass_g.tolist() == [5000.0, 4970.0]
    assert w.cylinder.tolist() == [0.0, 0.0]
    # 08:30 to 17:00 on three days, and 08:30 to 16:00 on the fourth.
    assert (w.gas_s[1] - w.gas_s[0]).sum() == pytest.approx((3 * 8.5 + 7.5) * 3600.0, abs=1.0)


def test_a_heavier_cylinder_is_another_one(gathered, write):
    masses = [(0, 5000.0), (1, 4990.0), (2, 5700.0), (3, 5690.0)]
    evidence = gathered([write(d, "09:00", "cylinder_mass", m, "g") for d, m in masses])
    assert evidence.weighings.cylinder.tolist() == [0.0, 0.0, 1.0, 1.0]


def test_missing_hours_are_assumed_and_said(gathered, write):
    evidence = gathered([write(0, "08:00", "bubble_rate", 2.0, "per s")])
    assert evidence.assumed == (
        "no hours of light are written; taken as 10:00-18:00",
        "no hours of gas are written; taken as those of the light",
    )
    assert (evidence.forcing.gas > 0).sum() == (evidence.forcing.light > 0).sum() > 0


def test_a_count_while_the_line_fills_tells_nothing_of_the_valve(gathered, write):
    rows = [
        write(0, "08:00", "light_day", "10:00-18:00"),
        write(0, "08:00", "gas_day", "09:00-17:00"),
        write(1, "10:00", "bubble_rate", 4.0, "per s"),
    ]
    early = write(2, "09:29", "bubble_count", 2.0, "per s over 10 s")
    late = write(2, "09:30", "bubble_count", 2.0, "per s over 10 s")
    plain, filling, steady = (gathered(more).flow for more in (rows, [*rows, early], [*rows, late]))
    assert filling.log_mean == pytest.approx(plain.log_mean)
    assert steady.log_mean[-1] < plain.log_mean[-1] - 0.3
    said = gathered([*rows, early]).assumed
    assert said == (
        "one bubble count was taken within 30 minutes of gas-on, while the line fills and the "
        "bubbles come slower; not used for the valve's rate",
    )
    assert gathered([*rows, late]).assumed == ()


def air_hours(evidence, days):
    """Hours of air in each of the first days, from 8 to 8."""
    start = np.searchsorted(evidence.edges_s, evidence.start_s + 86400.0 * np.arange(days + 1))
    hours = evidence.forcing.air * evidence.forcing.dt_h
    return [float(hours[a:b].sum()) for a, b in itertools.pairwise(start)]


def test_air_of_the_diary_holds_from_its_moment_on(gathered, write):
    rows = [
        write(0, "08:00", "light_day", "10:00-18:00"),
        write(1, "08:00", "air_day", "18:00-22:00"),
        write(3, "08:00", "air_day", "off"),
    ]
    evidence = gathered(rows, 4)
    assert evidence.has_air
    assert air_hours(evidence, 4) == pytest.approx([0.0, 4.0, 4.0, 0.0])


def test_air_of_the_night_follows_the_light_until_the_diary_says_else(tank, write, when):
    aired = replace(tank, rig=replace(tank.rig, night_air=True))
    rows = [
        write(0, "08:00", "light_day", "10:00-18:00"),
        write(1, "08:00", "light_day", "10:00-20:00"),
        write(2, "08:00", "air_day", "22:00-04:00"),
        write(3, "08:00", "light_day", "10:00-16:00"),
    ]
    evidence = gather(aired, Diary(rows).localised("UTC"), when(4, "08:00"))
    assert air_hours(evidence, 4) == pytest.approx([16.0, 14.0, 6.0, 6.0])


def test_air_that_has_yet_to_run_has_a_strength_to_be_learnt(gathered, write):
    light = write(0, "08:00", "light_day", "10:00-18:00")
    assert gathered([light, write(4, "07:59", "air_day", "20:00-06:00")]).has_air
    assert not gathered([light, write(4, "07:59", "air_day", "off")]).has_air
    assert not gathered([light]).has_air


def test_a_long_diary_is_read_as_far_back_as_the_look_back(gathered, write):
    rows = [
        write(0, "08:00", "bubble_rate", 1.0, "per s"),
        write(0, "08:00", "gas_day", "09:00-16:00"),
        write(0, "08:00", "light_day", "11:00-17:00"),
        write(1, "12:00", "ph", 6.1),
        write(38, "12:00", "ph", 6.8),
    ]
    evidence = gathered(rows, 40)
    assert evidence.now_s - evidence.start_s == pytest.approx(LOOK_BACK_DAYS * 86400.0)
    assert evidence.observations.ph.tolist() == [6.8]
    # What was set before still holds.
    assert evidence.flow.log_mean == pytest.approx(0.0, abs=1e-9)
    assert evidence.forcing.gas @ evidence.forcing.dt_h == pytest.approx(28 * 7.0)
    assert evidence.forcing.light @ evidence.forcing.dt_h == pytest.approx(28 * 6.0)


def test_the_callers_diary_is_untouched_and_later_entries_unseen(tank, rows, when):
    diary = Diary(sorted(rows, key=lambda row: row.time)).localised("UTC")
    before = (list(diary.entries), list(diary.findings))
    evidence = gather(tank, diary, when(1, "08:00"))
    assert (list(diary.entries), list(diary.findings)) == before
    last = when(1, "08:00") + timedelta(seconds=1)
    assert all(seconds < last.timestamp() for seconds, _, _ in evidence.readings)
    assert {k for _, k, _ in evidence.readings} == {"ph", "kh", "drop_checker", "degassed_ph"}


def test_every_kind_is_either_informing_or_a_story():
    story = {"cylinder_pressure", "dose", "fish", "care", "note"}
    assert set(INFORMING) | story == {str(kind) for kind in Kind}
