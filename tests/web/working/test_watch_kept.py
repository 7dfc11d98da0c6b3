"""What the watch said is kept beside the counsel with its own age, and asked when it is time."""

from datetime import timedelta

import pytest

from leafgill.web.models import AnswerRow
from leafgill.web.store.tanks import touch
from leafgill.web.working import answers, bands, worker
from leafgill.web.working.job import Outcome, WatchJob
from leafgill.web.working.worker import Worker

pytestmark = pytest.mark.django_db
CALM = {"alerts": [], "co2": {"mean": 1.0, "low": 1.0, "high": 1.0}}


class Fake:
    """Runs no job: answers each kind, and keeps the watch's jobs."""

    def __init__(self, bands_told):
        self.bands, self.watch, self.jobs = bands_told, Outcome(CALM), []

    def start(self):
        return

    def stop(self):
        return

    def run(self, work, job):
        if work.__name__ == "counsel_job":
            return Outcome({"bands": self.bands})
        if work.__name__ != "watch_job":
            return Outcome({work.__name__.removesuffix("_job"): None})
        self.jobs.append(job)
        return self.watch


@pytest.fixture
def runs(bands, monkeypatch, settings):
    settings.WORKER = "process"
    fake = Fake(bands)
    monkeypatch.setattr(worker, "_worker", Worker(fake, inline=True))
    return fake


def kept(den):
    return AnswerRow.objects.get(tank=den).payload["watch"]


def test_after_a_counsel_the_watch_looks_and_is_kept_with_its_moment(den, runs):
    now = worker.fresh(den).now
    (job,) = runs.jobs
    assert isinstance(job, WatchJob)
    assert (job.tank_id, job.now) == (den.pk, now)
    told = kept(den)
    assert (told["at"], told["version"], told["error"]) == (now.isoformat(), den.version, "")
    assert told["alerts"] == []


def test_it_stays_through_the_next_counsel_as_old_as_it_is(den, runs, clock, bands):
    now = worker.fresh(den).now
    asked = answers.question_of(den.pk)
    answers.store(asked, Outcome({"bands": bands, "mark": "new"}), 1.0)
    assert AnswerRow.objects.get(tank=den).payload["mark"] == "new"
    assert kept(den)["at"] == now.isoformat()


def test_it_looks_again_when_something_was_written_and_else_after_a_while(den, runs, clock):
    now = worker.fresh(den).now
    worker.watch_for(den)
    assert len(runs.jobs) == 1
    clock(now + timedelta(minutes=9))
    worker.watch_for(den)
    assert len(runs.jobs) == 1
    clock(now + timedelta(minutes=10))
    worker.watch_for(den)
    assert len(runs.jobs) == 2
    clock(now + timedelta(minutes=11))
    touch(den)
    worker.fresh(den)
    assert len(runs.jobs) == 3


def test_a_slow_watch_looks_less_often(den, runs):
    now = worker.fresh(den).now
    row = AnswerRow.objects.get(tank=den)
    row.payload["watch"]["seconds"] = 120.0
    row.save()
    assert not answers.watch_missing(den.pk, now + timedelta(minutes=19))
    assert answers.watch_missing(den.pk, now + timedelta(minutes=20))


def test_a_failure_is_kept_as_what_it_is_and_not_as_calm(den, runs):
    runs.watch = Outcome(None, "too few draws")
    worker.fresh(den)
    assert (kept(den)["alerts"], kept(den)["error"]) == (None, "too few draws")


def test_without_a_counsel_nothing_is_watched(den, runs):
    worker.watch_for(den)
    assert runs.jobs == []


def test_chances_are_read_between_the_moments_and_not_beyond_them():
    risk = {"times_s": [0, 600, 1200], "p": [0.0, 0.2, 0.1]}
    assert bands.chance_between(risk, "p", 300, 300) == pytest.approx(0.1)
    assert bands.chance_between(risk, "p", 0, 1200) == 0.2
    assert bands.chance_between(risk, "p", 900, 1200) == pytest.approx(0.15)
    assert bands.chance_between(risk, "p", -1, 300) is None
    assert bands.chance_between(risk, "p", 900, 1201) is None
    assert bands.chance_between({"times_s": [], "p": []}, "p", 0, 0) is None
