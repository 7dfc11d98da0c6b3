"""What the worker process runs: plain things in, plain data out; it never sees the store."""

from __future__ import annotations

import logging
import os
import signal
import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from multiprocessing import parent_process
from multiprocessing.connection import wait
from typing import Any, NamedTuple

from leafgill.diary import Diary
from leafgill.tank.spec import Tank

log = logging.getLogger(__name__)
# Pages are answered before beliefs are worked out.
_NICER_BY = 5


@dataclass(frozen=True)
class Job:
    """One question: a tank, its diary and the aware moment it is asked for."""

    tank: Tank
    diary: Diary
    now: datetime


class Outcome(NamedTuple):
    """What came of a job: plain data, or why there is none, as the keeper reads it."""

    payload: dict[str, Any] | None
    error: str = ""


Work = Callable[[Job], Outcome]


def counsel_job(job: Job) -> Outcome:
    """Return the payload of the counsel (see `payload_of`)."""
    from leafgill.answer.counsel import ask
    from leafgill.web.working.payload import payload_of

    return _tried(lambda: payload_of(ask(job.tank, job.diary, job.now, _silent)))


def supply_job(job: Job) -> Outcome:
    """Return {"supply": what is left of the gas}, None for a source that is not weighed."""
    from leafgill.answer.figures import plain
    from leafgill.web.equipment import supply_part

    return _tried(lambda: plain({"supply": supply_part(job.tank, job.diary, job.now)}))


def rig_job(job: Job) -> Outcome:
    """Return {"rig": the rig for the tank}."""
    from leafgill.answer.figures import plain
    from leafgill.estimate import believe
    from leafgill.web.equipment import rig_part

    return _tried(lambda: plain({"rig": rig_part(job.tank, believe(job.tank, job.diary, job.now))}))


def begin() -> None:
    """Set a new worker process up: it goes when its parent goes, and gives way to the pages."""
    # stopping the server by keyboard is the parent's business
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(_NICER_BY)
    threading.Thread(target=_leave_with_parent, daemon=True).start()


def warm() -> None:
    """Work one invented tank out, so that the first real one finds all loaded and compiled."""
    from leafgill import examples
    from leafgill.tank.clock import zone

    example = examples.READING_ROOM
    tank = Tank.load(example.tank)
    now = example.now.replace(tzinfo=zone(tank.timezone))
    counsel_job(Job(tank, Diary.load(example.diary), now))


def _leave_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(0)


def _tried(work: Callable[[], dict[str, Any]]) -> Outcome:
    """Return what comes of work; what it refuses in words, what breaks by its name and logged."""
    from leafgill.errors import InputError
    from leafgill.estimate import TooFewDrawsError

    try:
        return Outcome(work())
    except (InputError, TooFewDrawsError) as refused:
        from leafgill.web.page_words import page_words

        return Outcome(None, page_words(str(refused)))
    except Exception as broken:
        log.exception("a job broke")
        return Outcome(None, f"the reckoning broke ({type(broken).__name__})")


def _silent(_what: str, _part: float) -> None:
    return
