"""Care in words and as JSON."""

import json
from datetime import UTC, datetime, timedelta

import pytest

from leafgill.advise.care.due import Due, State
from leafgill.advise.care.job import LAW, RECORD, USUAL, CarePlan, Job, due_of, in_order
from leafgill.advise.drawn import figure
from leafgill.answer import care_json
from leafgill.answer import care_said as said
from leafgill.answer.figures import plain
from leafgill.science.cited import Range

NOW = datetime(2025, 3, 20, 12, tzinfo=UTC)


USUALLY = Range(37.0, 17.0, 101.0)


def job(key="diffuser", days=USUALLY, basis=RECORD, ago=10.0, **more):
    every = figure(f"{key}_days", "Days", days, "days", "x", (), "x")
    last = None if ago is None else NOW - timedelta(days=ago)
    called = more.pop("called", "")
    return Job(key, f"Do the {key}", "Why.", every, basis, "because", "how", last,
               due_of(every.value, last, NOW, called), more.pop("told", ()), called)  # fmt: skip


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (Range(37.0, 17.0, 101.0), "every 37 days, 17 to 101"),
        (Range(1.2, 0.6, 2.4), "every day, 1 to 2"),
        (Range(180.0, 90.0, 360.0), "every 6 months, 3 to 10"),
        (Range(1095.0, 547.0, 2190.0), "every 3 years, 1.5 to 6"),
        (Range(30.0, 30.0, 30.0), "every 30 days"),
    ],
)
def test_how_often_is_said_as_people_say_it(days, words):
    assert said.every(job(days=days)) == words


def test_how_sure_an_interval_is():
    assert job(days=Range(20.0, 15.0, 30.0)).sure == "well known"
    assert job(days=Range(20.0, 10.0, 40.0)).sure == "roughly known"
    assert job(days=Range(20.0, 5.0, 100.0)).sure == "hardly known"
    assert job(basis=USUAL).sure == "a habit of the trade"
    assert "by your record; roughly known" in said.grounds(job())
    assert said.grounds(job(basis=USUAL)) == "Because (common practice, no source)."


def test_when_it_comes_due_between_which_days():
    one = job()
    plan = CarePlan(NOW, (one,))
    assert said.when(one, plan) == (
        "Done last: 10 days ago, Mon 10 Mar; next between 27 Mar and 19 Jun."
    )
    late = job(ago=30.0)
    assert "next between today and 30 May" in said.when(late, plan)
    never = job(ago=None)
    assert said.when(never, plan) == "Done last: never."


def test_what_the_record_calls_for_is_due_whatever_the_days():
    one = job(ago=1.0, called="it has lost 30 % of the gas")
    assert one.due.state is State.TODAY
    assert said.urgent(one)
    assert said.due_words(one) == "Due now: it has lost 30 % of the gas"


def test_the_headline_counts_what_is_due():
    calm, late, called = job(), job("filter", ago=50.0), job("leak", called="changed")
    assert said.headline(CarePlan(NOW, (calm,))) == (
        "Nothing is due. Next: do the diffuser, due in 27 days, Wed 16 Apr."
    )
    assert said.headline(CarePlan(NOW, (late, calm))) == "One thing is due: do the filter."
    assert said.headline(CarePlan(NOW, (called, late, calm))) == "2 things are due."
    assert "begin with" in said.headline(CarePlan(NOW, (job(ago=None),)))
    order = in_order([calm, late, called, job("x", ago=None)], NOW)
    assert [one.key for one in order] == ["leak", "filter", "x", "diffuser"]


def test_a_share_is_told_in_percent():
    lost = figure("diffuser_lost_share", "Lost", Range(0.22, 0.09, 0.43), "", "x", (), "x")
    assert said.told(job(told=(lost,))) == ["Lost: 22 %, 9 to 43"]


def test_json_has_all_of_it_and_opens_its_figures():
    one = job(basis=LAW)
    told = json.loads(json.dumps(plain(care_json.as_json(CarePlan(NOW, (one,))))))
    (found,) = told["jobs"]
    assert found["every_days"]["figure"] in told["figures"]
    assert (found["days"], found["basis"], found["sure"]) == (37, LAW, "roughly known")
    assert found["due"]["state"] == "later"
    assert found["due"]["earliest"] == "2025-03-27T12:00:00+00:00"


def test_a_fixed_date_is_said_as_one():
    given = figure("stamp_days", "Days", 1000.0, "days", "x", (("a", "b", "", "c"),), "x")
    one = Job("stamp", "Look", "Why.", given, LAW, "because", "how", None,
              Due(NOW, State.LATER, "test due May 2028"))  # fmt: skip
    assert said.every(one) == "test due May 2028"
    assert one.sure == "a fixed date"
