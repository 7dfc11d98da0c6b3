"""From a tank in the store to what its page may say, and back after an entry."""

import json
import threading
from datetime import timedelta

import pytest
from django.db import connection

from leafgill.diary import Entry
from leafgill.web.models import AnswerRow
from leafgill.web.store.entries import add_entry
from leafgill.web.working import answers, worker
from leafgill.web.working.job import Outcome
from leafgill.web.working.worker import Worker

pytestmark = pytest.mark.django_db


class Fake:
    """Runs no job: counts them, and gives outcomes one after the other, the last one again."""

    def __init__(self, *outcomes):
        self.outcomes, self.asked = list(outcomes), []

    def start(self):
        return

    def stop(self):
        return

    def run(self, work, job):
        self.asked.append((work.__name__, job))
        if work is not worker.counsel_job:
            return Outcome({work.__name__.removesuffix("_job"): {"headline": "x"}})
        return self.outcomes.pop(0) if len(self.outcomes) > 1 else self.outcomes[0]

    @property
    def counsels(self):
        return [job for name, job in self.asked if name == "counsel_job"]


@pytest.fixture
def runs(bands, monkeypatch, settings):
    """Let what is worked out within the request be this, and count it."""
    settings.WORKER = "process"
    fake = Fake(Outcome({"bands": bands}))
    monkeypatch.setattr(worker, "_worker", Worker(fake, inline=True))
    return fake


def write(den, keeper, when, kind="ph", value=6.8):
    return add_entry(den, Entry(when, kind, value), keeper)


def test_the_first_look_works_it_out_the_second_does_not(den, runs):
    assert worker.told_now(den).state == "none"
    told = worker.fresh(den)
    assert told.fresh
    assert told.co2.mean == 10.0
    assert told.now.tzinfo.key == "Europe/Berlin"
    worker.fresh(den)
    assert len(runs.counsels) == 1


def test_an_entry_makes_it_missing_and_the_next_look_has_it(den, keeper, runs, clock):
    told = worker.fresh(den)
    write(den, keeper, told.now)
    assert worker.told_now(den).state == "entry missing"
    clock(told.now + timedelta(minutes=10))
    again = worker.fresh(den)
    assert again.fresh
    assert again.asked_for == told.now + timedelta(minutes=10)
    assert [len(job.diary.entries) for job in runs.counsels] == [0, 1]


def test_a_row_read_before_the_entry_does_not_hide_it(den, keeper, runs):
    from leafgill.web.models import TankRow

    seen_before = TankRow.objects.get(pk=den.pk)
    told = worker.fresh(den)
    write(den, keeper, told.now)
    assert worker.told_now(seen_before).state == "entry missing"


def test_age_alone_asks_again(den, runs, clock):
    told = worker.fresh(den)
    clock(told.now + timedelta(minutes=16))
    assert worker.told_now(den).state == "old"
    assert worker.fresh(den).fresh
    assert len(runs.counsels) == 2


def test_a_failure_keeps_what_was_and_is_not_tried_at_every_look(den, keeper, runs, clock, bands):
    told = worker.fresh(den)
    runs.outcomes = [Outcome(None, "no KH")]
    write(den, keeper, told.now)
    failed = worker.fresh(den)
    assert (failed.state, failed.error) == ("failed", "no KH")
    assert failed.co2.mean == 10.0
    worker.fresh(den)
    assert len(runs.counsels) == 2
    clock(told.now + timedelta(minutes=11))
    assert worker.fresh(den).state == "failed"
    assert len(runs.counsels) == 3
    assert AnswerRow.objects.get(tank=den).failures == 2
    runs.outcomes = [Outcome({"bands": bands})]
    write(den, keeper, told.now)
    assert worker.fresh(den).fresh  # something was written: tried at once
    kept = AnswerRow.objects.get(tank=den)
    assert (kept.error, kept.failures, kept.failed_at) == ("", 0, None)


def test_an_older_question_does_not_replace_a_newer_answer(den, keeper, bands, clock):
    early = answers.question_of(den.pk)
    write(den, keeper, early.job.now)
    late = answers.question_of(den.pk)
    answers.store(late, Outcome({"bands": bands, "mark": "late"}), 1.0)
    answers.store(early, Outcome({"bands": bands, "mark": "early"}), 1.0)
    answers.store(early, Outcome(None, "too late to matter"), 1.0)
    kept = AnswerRow.objects.get(tank=den)
    assert (kept.payload["mark"], kept.version, kept.error) == ("late", late.version, "")


def test_rig_and_gas_left_keep_the_version_they_are_of(den, keeper, bands):
    first = answers.question_of(den.pk)
    answers.store(first, Outcome({"bands": bands}), 1.0)
    assert answers.extras_missing(den.pk)
    answers.store_extras(first, {"rig": {"headline": "x"}, "supply": None})
    assert not answers.extras_missing(den.pk)
    write(den, keeper, first.job.now)
    second = answers.question_of(den.pk)
    answers.store(second, Outcome({"bands": bands}), 1.0)
    payload = AnswerRow.objects.get(tank=den).payload
    assert payload["rig"] == {"headline": "x"}
    assert payload[answers.EXTRAS_VERSION] == first.version < second.version
    assert answers.extras_missing(den.pk)


def test_a_tank_that_is_gone_is_let_go(den, bands):
    asked = answers.question_of(den.pk)
    den.delete()
    answers.store(asked, Outcome({"bands": bands}), 1.0)
    assert not AnswerRow.objects.exists()
    assert answers.question_of(asked.tank_id) is None


def test_without_a_worker_nothing_is_asked(den, settings):
    settings.WORKER = "off"
    worker.start()
    worker.ask_for(den)
    assert worker.fresh(den).state == "none"
    worker.stop()


def test_within_the_request_it_is_the_counsel_itself(den, keeper, settings):
    settings.WORKER = "inline"
    write(den, keeper, worker.told_now(den).now - timedelta(hours=1), "fish", "normal")
    told = worker.fresh(den)
    assert told.fresh
    assert told.sentence == told.payload["said"]["sentence"]
    assert 0.0 <= told.co2.low < told.co2.mean < told.co2.high
    assert told.payload["rig"]["headline"]
    assert told.payload["care"]["Clean the diffuser"]["days"] > 0
    assert {clue["key"] for clue in told.payload["clues"]} > {"o2_low_dawn", "nitrate_low"}
    assert "supply" in told.payload
    json.dumps(told.payload, allow_nan=False)


@pytest.mark.django_db(transaction=True)
def test_beside_the_request_a_look_waits_or_says_that_it_is_worked_out(
    den, bands, monkeypatch, settings
):

    settings.WORKER = "process"
    may = threading.Event()

    class Slow(Fake):
        def run(self, work, job):
            connection.close()
            assert may.wait(30)
            return super().run(work, job)

    made = Worker(Slow(Outcome({"bands": bands})))
    monkeypatch.setattr(worker, "_worker", made)
    told = worker.fresh(den, wait_s=0.05)
    assert told.state == "working"
    assert told.co2 is None
    may.set()
    assert worker.fresh(den, wait_s=30.0).fresh
    made.stop()
