"""The demonstration: invented tanks in a folder of their own, at a moment that stands."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from leafgill.examples import DEMO, Example
from leafgill.tank.clock import zone
from leafgill.tank.spec import Tank
from leafgill.web import clock
from leafgill.web.home import DATABASE_URL, HOME


@contextmanager
def folder() -> Iterator[None]:
    """Let the app work in a folder that is thrown away, and its clock stand."""
    with tempfile.TemporaryDirectory(prefix="leafgill-demo-", ignore_cleanup_errors=True) as made:
        os.environ[HOME] = made
        # a keeper's own database is none to show invented tanks in
        os.environ.pop(DATABASE_URL, None)
        os.environ[clock.NOW] = standing().isoformat()
        yield


def standing() -> datetime:
    """Return the moment the clock stands at: the earliest at which a tank's files end, aware."""
    return min(_ends(example) for example in DEMO)


def _ends(example: Example) -> datetime:
    return example.now.replace(tzinfo=zone(Tank.load(example.tank).timezone))


def fill() -> None:
    """Put the invented tanks into the store, up to now."""
    from leafgill.diary import Diary
    from leafgill.web.store.entries import add_entries
    from leafgill.web.store.keepers import first_keeper
    from leafgill.web.store.readings import add_readings, sensor_for
    from leafgill.web.store.tanks import create_tank

    keeper, now = first_keeper(), clock.now()
    for example in DEMO:
        tank = Tank.load(example.tank)
        known = Diary.load(example.diary, example.probe, tank.timezone).until(now)
        row = create_tank(keeper, tank)
        add_entries(row, known.entries, keeper)
        for name, stream in known.streams.items():
            add_readings(sensor_for(row, name), stream.times_s, stream.values)
