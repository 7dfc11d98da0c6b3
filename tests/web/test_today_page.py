"""Today's page as plain data: the scale, the step that may be followed, the countdown."""

import copy
import json
from datetime import datetime, timedelta

import pytest

from leafgill.estimate import Interval
from leafgill.web.forms.habits import Habits
from leafgill.web.today_page import ahead_of, countdown, step_of, where_of
from leafgill.web.working.payload import payload_of
from leafgill.web.working.reading import Told

METRIC = Habits()
STATES = ("fresh", "entry missing", "old", "working", "failed")


@pytest.fixture(scope="module")
def kept(hallway):
    return json.loads(json.dumps(payload_of(hallway)))


@pytest.fixture
def told(kept):
    """Return a function to what is known at the moment the answer is about, with changes."""
    now = datetime.fromisoformat(kept["now"])

    def of(state="fresh", payload=None, **changes):
        known = {"co2": Interval(20.0, 16.0, 24.0), "co2_max": Interval(22.0, 18.0, 26.0)}
        return Told(state, "Words.", now, now, payload=payload or kept, **(known | changes))

    return of


# -- where it stands


def test_the_figure_has_its_ends_and_a_place_under_the_limit(told):
    where = where_of(told(), METRIC)
    assert (where.figure, where.ends) == ("20", "16 to 24")
    scale = where.scale
    assert scale.low < scale.mean < scale.low + scale.band < scale.limit < scale.width
    # the limit of 30 stands at four fifths of the line
    assert scale.limit == pytest.approx(0.8 * scale.width, abs=0.1)
    assert scale.mean / scale.limit == pytest.approx(20.0 / 30.0, abs=0.001)
    assert scale.over == pytest.approx(scale.width - scale.limit, abs=0.11)


def test_a_band_far_over_the_limit_stays_on_the_line(told):
    scale = where_of(told(co2=Interval(80.0, 60.0, 100.0)), METRIC).scale
    assert scale.limit < scale.low
    assert scale.low + scale.band <= scale.width


def test_an_aim_at_the_limit_is_not_drawn_twice(told, kept):
    payload = copy.deepcopy(kept)
    payload["limits"]["target_co2_mg_l"] = payload["limits"]["co2_mg_l"]
    assert where_of(told(payload=payload), METRIC).scale.aim is None
    assert where_of(told(), METRIC).scale.aim is not None


def test_it_is_held_against_the_worst_place(told):
    where = where_of(told(co2_max=Interval(31.0, 26.0, 36.0)), METRIC)
    assert where.against != where_of(told(), METRIC).against
    assert "36" in where.against


def test_nothing_known_is_no_figure(told):
    where = where_of(told("working", co2=None, co2_max=None), METRIC)
    assert (where.figure, where.scale) == ("", None)
    assert where.tag == "Being worked out"


def test_figures_follow_the_keepers_comma(told):
    where = where_of(
        told(co2=Interval(7.6, 6.2, 9.2), ph=Interval(6.84, 6.75, 6.93)), Habits(decimal=",")
    )
    assert (where.figure, where.ends) == ("7,6", "6,2 to 9,2")
    assert dict(where.rows)["pH"] == "6,84, 6,75 to 6,93"


@pytest.mark.parametrize("state", STATES)
def test_each_state_but_fresh_has_words_of_its_own(told, state):
    assert bool(where_of(told(state), METRIC).tag) == (state != "fresh")


# -- the step


@pytest.mark.parametrize("state", STATES)
def test_only_fresh_figures_let_a_step_be_followed(told, state):
    assert step_of(told(state), METRIC).may_follow == (state == "fresh")


@pytest.mark.parametrize("state", STATES)
def test_an_urgent_step_is_never_held_back(told, kept, state):
    payload = copy.deepcopy(kept)
    payload["said"]["urgent"] = True
    payload["step"] |= {"action": "emergency", "rate_per_s": 0.0}
    step = step_of(told(state, payload), METRIC)
    assert step.may_follow
    assert step.done_words == "I have shut the gas"


def test_a_step_of_later_waits_for_its_time(told, kept):
    payload = copy.deepcopy(kept)
    payload["step"]["act_at"] = "2025-03-08T14:00:00+00:00"
    step = step_of(told(payload=payload), METRIC)
    assert not step.may_follow
    assert "14:00" in step.act_words


def test_the_moments_of_the_step_are_told_once(told):
    step = step_of(told(), METRIC)
    assert step.look_words == "today 16:30"
    assert step.look_in == "in 4 h 20 min"
    assert not {"When", "Look again"} & {label for label, _ in step.rows}
    assert {"Expect", "Close back"} <= {label for label, _ in step.rows}


def test_a_rule_that_does_not_hold_turns_its_sign(told, kept):
    payload = copy.deepcopy(kept)
    payload["said"]["why"] = [
        {
            "title": "Why",
            "reasons": [
                {"text": "A.", "figure": 2.0, "comparison": "<=", "limit": 1.0, "passed": False},
                {"text": "B.", "figure": 2.0, "comparison": ">=", "limit": 1.0, "passed": True},
                {"text": "C.", "figure": None, "comparison": "<=", "limit": 1.0, "passed": True},
            ],
        },
        {"title": "Others", "reasons": []},
    ]
    ((title, reasons),) = step_of(told(payload=payload), METRIC).why
    assert title == "Why"
    assert [reason.compared for reason in reasons] == ["2 > 1", "2 ≥ 1", ""]


def test_without_an_answer_there_is_no_step_and_no_day():
    nothing = Told("none", "", datetime.fromisoformat("2025-03-08T12:10+00:00"))
    assert step_of(nothing, METRIC) is None
    assert ahead_of(nothing, METRIC) is None


# -- the countdown


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (30, "in less than a minute"),
        (90 * 60, "in 1 h 30 min"),
        (59.6 * 60, "in 1 h"),
        (65 * 60, "in 1 h 05 min"),
        (12 * 60, "in 12 min"),
        (24 * 3600, "in 1 day"),
        (50 * 3600, "in 2 days 2 h"),
        (0, "due since less than a minute"),
        (-130 * 60, "due since 2 h 10 min"),
    ],
)
def test_how_long_it_is(seconds, words):
    now = datetime.fromisoformat("2025-03-08T12:10+00:00")
    assert countdown(now + timedelta(seconds=seconds), now) == words


# -- the day ahead


def test_the_day_ahead_tells_its_peak_and_its_lowest_oxygen(told, kept):
    ahead = ahead_of(told(), METRIC)
    day = kept["day_ahead"]["with_step"]
    assert f"{day['peak_co2_mg_l']['mean']:.0f} mg/L" in ahead.day_words
    assert "animals' limit is 30 mg/L" in ahead.day_words
    assert f"Lowest {day['o2_min_mg_l']['mean']:.1f} mg/L" in ahead.oxygen
    assert ahead.stepped
    assert [row[0][:1].isupper() or not row[0] for row in ahead.rows] == [True] * len(ahead.rows)


def test_cautions_of_the_step_are_not_said_twice(told, kept):
    ahead = ahead_of(told(), METRIC)
    said = kept["said"]
    assert set(ahead.cautions) == set(said["cautions"]) - set(said["step_cautions"])


def test_gas_left_is_told_where_it_is_known(told, kept):
    assert ahead_of(told(), METRIC).gas == ""
    payload = kept | {"supply": {"headline": "Gas for 33 days", "order": "Order by 1 April."}}
    ahead = ahead_of(told(payload=payload), METRIC)
    assert (ahead.gas, ahead.gas_order) == ("Gas for 33 days", "Order by 1 April.")
    # where nothing came of it
    assert ahead_of(told(payload=kept | {"supply": None}), METRIC).gas == ""
