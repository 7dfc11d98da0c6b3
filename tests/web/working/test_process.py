"""A process that dies is started again and the job tried once more, not for ever."""

import os
import textwrap

import pytest

from leafgill.web.working import process as module
from leafgill.web.working.job import Outcome
from leafgill.web.working.process import CRASHED, Process, StoppedError

# Jobs that a process of its own can import; each is given the path it leaves its traces at.
JOBS = """
    import os, time
    from leafgill.web.working.job import Outcome

    def _trace(path):
        with open(path, "a") as file:
            file.write(f"{os.getpid()}\\n")
        return len(open(path).readlines())

    def well(path):
        _trace(path)
        return Outcome({"pid": os.getpid()})

    def dies_once(path):
        if _trace(path) == 1:
            os._exit(1)
        return Outcome({"pid": os.getpid()})

    def dies(path):
        _trace(path)
        os._exit(1)

    def hangs(path):
        _trace(path)
        time.sleep(600)
"""


@pytest.fixture
def jobs(tmp_path, monkeypatch):
    (tmp_path / "jobs_of_a_test.py").write_text(textwrap.dedent(JOBS))
    monkeypatch.syspath_prepend(str(tmp_path))
    # an invented tank takes seconds; these are about the process
    monkeypatch.setattr(module, "warm", os.getpid)
    import jobs_of_a_test

    return jobs_of_a_test


@pytest.fixture
def process(jobs):
    made = Process()
    yield made
    made.stop()


def traces(path):
    return path.read_text().split()


def test_jobs_are_done_in_one_other_process(process, jobs, tmp_path):
    pids = {process.run(jobs.well, tmp_path / "t").payload["pid"] for _ in range(3)}
    assert pids == {process.pid()}
    assert os.getpid() not in pids


def test_a_job_that_kills_the_process_once_is_tried_again(process, jobs, tmp_path):
    before = process.pid()
    outcome = process.run(jobs.dies_once, tmp_path / "t")
    assert outcome.payload["pid"] != before
    assert len(traces(tmp_path / "t")) == 2


def test_one_that_kills_it_twice_has_failed_and_the_next_is_done(process, jobs, tmp_path):
    assert process.run(jobs.dies, tmp_path / "t") == Outcome(None, CRASHED)
    assert len(traces(tmp_path / "t")) == 2
    assert process.run(jobs.well, tmp_path / "u").payload


def test_one_that_hangs_is_ended(jobs, tmp_path):
    process = Process(within_s=0.5)
    try:
        assert process.run(jobs.hangs, tmp_path / "t").error == CRASHED
        for pid in traces(tmp_path / "t"):
            with pytest.raises(ProcessLookupError):
                while True:  # the pool's own thread buries it
                    os.kill(int(pid), 0)
    finally:
        process.stop()


def test_after_stop_nothing_is_begun_again(process, jobs, tmp_path):
    process.run(jobs.well, tmp_path / "t")
    process.stop()
    with pytest.raises(StoppedError):
        process.run(jobs.well, tmp_path / "t")
    assert len(traces(tmp_path / "t")) == 1
