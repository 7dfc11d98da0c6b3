"""No figure is called fresh that is not."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from leafgill.web.models import AnswerRow
from leafgill.web.working.reading import GOOD_FOR, told_of

NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)
HERE = NOW.astimezone(ZoneInfo("Europe/Berlin"))


def later(**more):
    return HERE + timedelta(**more)


def test_the_figure_is_the_one_of_this_moment(answer):
    told = told_of(answer(), 3, later(minutes=5))
    assert told.co2.mean == pytest.approx(10.5)
    assert told.co2.low == pytest.approx(8.4)
    assert told.co2.high == pytest.approx(12.6)
    assert told.ph.mean == pytest.approx(6.8)
    assert told.sentence == "CO2 10 mg/L, 8.4 to 13"
    assert told.fresh
    assert told.words == "Worked out today 12:10, with everything that is written."


def test_an_entry_makes_it_not_fresh_at_once(answer):
    told = told_of(answer(), 4, HERE)
    assert (told.state, told.fresh) == ("entry missing", False)
    assert told.words == (
        "These figures are of today 12:10, and what was written since is not in them."
    )
    assert told.co2.mean == 10.0  # shown, but not as fresh


def test_age_makes_it_old(answer):
    assert told_of(answer(), 3, HERE + GOOD_FOR).state == "fresh"
    told = told_of(answer(), 3, HERE + GOOD_FOR + timedelta(seconds=1))
    assert (told.state, told.fresh) == ("old", False)
    assert "what to do may be another by now" in told.words
    assert told.co2.mean == pytest.approx(11.5, abs=0.01)


def test_an_answer_about_later_than_now_is_not_fresh(answer):
    assert told_of(answer(), 3, later(seconds=-30)).state == "fresh"
    assert told_of(answer(), 3, later(minutes=-2)).state == "old"


def test_beyond_the_belief_there_is_no_figure(answer):
    for when in (later(hours=2, seconds=1), later(hours=-1, seconds=-1)):
        told = told_of(answer(), 3, when)
        assert told.co2 is None
        assert told.o2 is None
        assert told.sentence == ""
        assert not told.fresh
    assert told_of(answer(), 3, later(hours=2)).co2.mean == pytest.approx(22.0)


def test_what_is_being_worked_out_says_so_and_why(answer):
    told = told_of(answer(), 4, HERE, working=True)
    assert told.state == "working"
    assert told.words == (
        "Being worked out again: these figures are of today 12:10, and what was written since is "
        "not in them."
    )
    # nothing is missing: what is worked on changes no word
    assert told_of(answer(), 3, HERE, working=True).state == "fresh"


def test_a_failure_is_named_beside_the_older_figures(answer):
    told = told_of(answer(error="no KH"), 4, HERE)
    assert (told.state, told.error) == ("failed", "no KH")
    assert told.words.startswith("Could not be worked out again (no KH): these figures are of")
    assert told.co2 is not None
    assert told_of(answer(error="no KH"), 4, HERE, working=True).state == "working"


@pytest.mark.parametrize(
    ("row", "working", "state", "words"),
    [
        (None, False, "none", "Nothing is worked out yet."),
        (None, True, "working", "The first figures are being worked out."),
        (AnswerRow(error="no KH"), False, "failed", "Nothing could be worked out: no KH."),
        (AnswerRow(error="no KH"), True, "working", "The first figures are being worked out."),
    ],
)
def test_before_any_answer_there_is_no_figure(row, working, state, words):
    told = told_of(row, 1, HERE, working=working)
    assert (told.state, told.words) == (state, words)
    assert told.co2 is None
    assert told.payload == {}


def test_yesterdays_figures_say_so(answer):
    told = told_of(answer(asked_for=NOW - timedelta(days=1)), 3, HERE)
    assert told.words == (
        "These figures are of yesterday 12:10, and what to do may be another by now."
    )
