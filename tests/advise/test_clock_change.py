"""The nights the clocks change: hours are hours that pass, gas hours are the wall clock's."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.advise.forecast import Plan, look_ahead
from leafgill.advise.real_time import after, hours_from, later, sooner
from leafgill.advise.tune import next_step
from leafgill.diary import Diary, Entry
from leafgill.estimate.belief import Belief
from leafgill.estimate.believe import days_of
from leafgill.estimate.evidence import gather
from leafgill.estimate.problem import Problem

BERLIN = ZoneInfo("Europe/Berlin")
SPRING = datetime(2025, 3, 30, tzinfo=BERLIN)  # 02:00 becomes 03:00
AUTUMN = datetime(2025, 10, 26, tzinfo=BERLIN)  # 03:00 becomes 02:00


def at(day, hour, minute=0):
    return day.replace(hour=hour, minute=minute)


def test_hours_that_pass():
    assert hours_from(at(SPRING, 1, 30), at(SPRING, 3, 30)) == 1.0
    assert hours_from(at(AUTUMN, 1, 30), at(AUTUMN, 3, 30)) == 3.0
    assert after(at(SPRING, 1, 30), 1.0) == at(SPRING, 3, 30)
    assert after(at(AUTUMN, 3, 30), -3.0) == at(AUTUMN, 1, 30)
    twice = at(AUTUMN, 2, 30).replace(fold=1)
    once = at(AUTUMN, 2, 40)
    assert later(once, twice) is twice and sooner(once, twice) is once


def kept(make_tank, day, now, *rows):
    """A narrow belief of a tank in Berlin whose gas runs from midnight to eight."""
    tank = make_tank(
        tank={"timezone": "Europe/Berlin"}, day={"lights_on": "00:00", "lights_off": "08:00"}
    )
    start = day - timedelta(days=2)
    entries = [
        Entry(start, "gas_day", "00:00-08:00"),
        Entry(start, "bubble_rate", 1.0),
        *(Entry(when, kind, value) for when, kind, value in rows),
    ]
    diary = Diary(entries).localised("Europe/Berlin")
    problem = Problem.of(gather(tank, diary, now))
    z = 0.1 * np.random.default_rng(1).standard_normal((30, problem.size))
    z[:, problem.index["exchange"]] += 3.0
    z[:, problem.index["bubble_mass"]] += 3.0
    timeline, evidence = problem.evidence.timeline, problem.evidence
    edges = timeline.edges(evidence.start_s, evidence.now_s + 36 * 3600.0)
    course = problem.course(z, timeline.forcing(edges))
    days = days_of(course, np.zeros(course.ph.shape))
    return tank, diary, Belief(tank, now, edges, 30.0, z, problem.draws(z), days, problem)


@pytest.mark.parametrize(
    ("day", "set_at", "now", "hours"),
    [(SPRING, (1, 30), (3, 10), 40 / 60), (AUTUMN, (1, 50), (3, 5), 2.25)],
)
def test_the_wait_is_counted_in_hours_that_pass(make_tank, day, set_at, now, hours):
    moment = at(day, *now)
    rows = ((at(day, *set_at), "bubble_rate", 1.3), (at(day, 1), "ph", 7.0))
    tank, diary, belief = kept(make_tank, day, moment, *rows)
    step = next_step(tank, diary, belief, moment, awake=(0, 24))
    row = next(row for row in step.reasons if "h old" in row.text and row.about == "wait")
    assert row.figure == pytest.approx(hours)
    assert (step.action == "hold") == (hours < 1.0)


def test_a_day_ahead_has_the_hours_it_has(make_tank):
    now = at(SPRING, 1)
    tank, diary, belief = kept(make_tank, SPRING, now, (at(SPRING, 0, 30), "ph", 7.0))
    step = next_step(tank, diary, belief, now, awake=(0, 24))
    assert step.action == "raise"
    assert hours_from(now, step.look_at) >= 1.0
    ahead = look_ahead(belief, Plan(), now.timestamp(), after(now, 24.0).timestamp())
    # Gas goes off at eight by the wall clock: six hours on, not seven.
    before, behind = (
        ahead.at("co2", at(SPRING, *wall).timestamp()).mean() for wall in ((7, 50), (8, 50))
    )
    assert behind < 0.5 * before
    assert at(SPRING, 8).timestamp() - now.timestamp() == 6 * 3600.0
