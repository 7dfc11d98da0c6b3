"""What a job refuses comes back as words, what breaks as its name."""

import os
import pickle
import subprocess
import sys
from datetime import UTC, datetime

import pytest

from leafgill.diary import Diary
from leafgill.errors import InputError
from leafgill.estimate import TooFewDrawsError
from leafgill.tank.spec import Tank
from leafgill.web.working import job as module
from leafgill.web.working.job import Job, Outcome, counsel_job

NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)


@pytest.fixture
def job():
    tank = Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60.0}, "water": {"kh_dkh": 4.0}})
    return Job(tank, Diary([], {}, timezone="UTC"), NOW)


def test_a_job_goes_to_another_process_and_back(job):
    again = pickle.loads(pickle.dumps(job))
    assert (again.tank, again.now) == (job.tank, NOW)


@pytest.mark.parametrize(
    ("broken", "words"),
    [
        (InputError("kh_dkh = 99 is too much"), '"Carbonate hardness (KH)" = 99 is too much'),
        (TooFewDrawsError(12.0), "the belief rests on 12 effective draws, too few to advise"),
        (ZeroDivisionError("x"), "the reckoning broke (ZeroDivisionError)"),
    ],
)
def test_what_goes_wrong_is_told(job, monkeypatch, broken, words):
    def ask(*_given):
        raise broken

    monkeypatch.setattr("leafgill.answer.counsel.ask", ask)
    outcome = counsel_job(job)
    assert outcome == Outcome(None, outcome.error)
    assert words in outcome.error


def test_the_process_needs_nothing_of_the_store():
    code = "import leafgill.web.working.job as j, sys; j.warm(); print('django' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=os.environ
    )
    assert done.stdout.strip() == "False"
    assert module.warm.__module__ == "leafgill.web.working.job"
