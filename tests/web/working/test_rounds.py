import threading
from datetime import UTC, datetime, timedelta

import pytest
from django.db import OperationalError
from django.test import TestCase

from leafgill.web.models import AnswerRow, TankRow
from leafgill.web.running import Pauses, Supervisor
from leafgill.web.store.changed import tank_changed
from leafgill.web.store.tanks import touch
from leafgill.web.working import rounds, worker
from leafgill.web.working.reading import GOOD_FOR

pytestmark = pytest.mark.django_db
NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)


@pytest.fixture
def kept(den, answer):
    """Return a function that keeps an answer of the tank as it stands."""

    def keep(**changes):
        AnswerRow.objects.all().delete()
        made = answer(tank=den, **{"version": den.version, "seconds": 4.0, **changes})
        made.save()
        return made

    return keep


def due(at=NOW):
    return [row.name for row in rounds.due(at)]


def test_a_tank_that_was_never_worked_out_is_due(den):
    assert due() == ["Den"]


def test_an_answer_is_made_anew_before_it_is_old(kept):
    kept()
    assert due() == []
    assert due(NOW + GOOD_FOR - timedelta(minutes=5, seconds=1)) == []
    assert due(NOW + GOOD_FOR - timedelta(minutes=5)) == ["Den"]
    # a clock that was put back
    assert due(NOW - timedelta(hours=1)) == ["Den"]


def test_an_answer_that_lacks_an_entry_is_due(den, kept):
    kept()
    touch(den)
    assert due() == ["Den"]


def test_a_tank_put_away_is_left_alone(den):
    TankRow.objects.update(archived_at=NOW)
    assert due() == []


def test_where_it_takes_long_it_is_done_less_often(kept):
    kept(seconds=300.0)
    assert due(NOW + timedelta(minutes=49)) == []
    assert due(NOW + timedelta(minutes=50)) == ["Den"]


def test_what_failed_is_left_for_a_while_unless_something_was_written(den, kept):
    kept(version=0, error="no", failed_version=den.version, failed_at=NOW, failures=1)
    soon = NOW + timedelta(seconds=worker.TRY_AGAIN_S)
    assert due(soon - timedelta(seconds=1)) == []
    assert due(soon) == ["Den"]
    touch(den)
    assert due(NOW + timedelta(seconds=1)) == ["Den"]


def test_payloads_are_not_read_for_it(kept, django_assert_num_queries):
    kept()
    with django_assert_num_queries(2) as queries:
        rounds.due(NOW)
    assert not [q for q in queries.captured_queries if "payload" in q["sql"]]


def test_what_is_written_wakes_the_worker(den, monkeypatch):
    asked = []
    monkeypatch.setattr(worker, "ask_for", lambda row: asked.append(row.name))
    rounds.listen()
    rounds.listen()
    try:
        with TestCase.captureOnCommitCallbacks(execute=True):
            touch(den)
    finally:
        tank_changed.disconnect(dispatch_uid="leafgill.web.working.rounds")
    assert asked == ["Den"]


def test_rounds_go_on_after_one_that_broke(monkeypatch, caplog):
    gone, asked = threading.Event(), []

    def breaking(now):
        asked.append(now)
        if len(asked) == 1:
            raise OperationalError("the database is away")
        gone.set()
        return []

    monkeypatch.setattr(rounds, "due", breaking)
    going = Supervisor([rounds.Rounds(every_s=0.01)], Pauses(first_s=0.01))
    going.start()
    assert gone.wait(20.0)
    assert going.stop() == []
    assert "rounds broke and is started again in 0.01 s: the database is away" in caplog.text


def test_rounds_end_at_once_when_told(monkeypatch):
    monkeypatch.setattr(rounds, "due", lambda now: [])
    going = Supervisor([rounds.Rounds(every_s=3600.0)])
    going.start()
    assert going.stop() == []
