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


@dataclass(frozen=True)
class WatchJob(Job):
    """A question to the watch; by `tank_id` it goes on where it was with that tank."""

    tank_id: int = 0


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
    """Return what one belief gives by name: rig, balance, care, clues, and a water change."""
    from leafgill.advise.balance import balance_of
    from leafgill.answer.figures import plain
    from leafgill.estimate import believe
    from leafgill.web.balance_page import WEEKS, balance_part
    from leafgill.web.care_page import care_part
    from leafgill.web.equipment import rig_part
    from leafgill.web.water_page import water_part

    def parts() -> dict[str, Any]:
        belief = believe(job.tank, job.diary, job.now)
        balance = balance_of(job.tank, job.diary, belief, job.now, WEEKS)
        care = care_part(job.tank, job.diary, belief, job.now, balance)
        water = water_part(job.tank, job.diary, belief, job.now)
        rig = rig_part(job.tank, belief)
        found: dict[str, Any] = plain(
            {"rig": rig, **care, "water": water, "balance": balance_part(balance, job.diary)}
        )
        return found

    return _tried(parts)


def watch_job(job: Job) -> Outcome:
    """Return {"alerts": what is not as believed, "co2": CO2 by the newest reading}."""
    from leafgill.web.working.watching import watched

    return _tried(lambda: watched(job))


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
