"""How long a backup takes, and how large it is: of years of a probe's minutes, in SQLite.

    python bench/keep.py [YEARS]

Makes a data folder that is thrown away, fills it, and times backup, reading back and bringing back.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import numpy as np


@contextmanager
def timed(what):
    begun = time.monotonic()
    yield
    print(f"{what:<34} {time.monotonic() - begun:8.2f} s")


def fill(years: float) -> int:
    from leafgill.tank.spec import Tank
    from leafgill.web.store.keepers import first_keeper
    from leafgill.web.store.readings import add_readings, sensor_for
    from leafgill.web.store.tanks import create_tank

    tank = Tank.from_mapping({"tank": {"name": "Bench", "volume_l": 60.0}})
    row = create_tank(first_keeper(), tank)
    count = int(years * 365.25 * 1440)
    times_s = 1_600_000_000 + 60 * np.arange(count)
    rng = np.random.default_rng(1)
    daily = 0.3 * np.sin(2 * np.pi * times_s / 86_400)
    values = np.round(6.8 + daily + rng.normal(0.0, 0.01, count), 2)
    return add_readings(sensor_for(row, "ph"), times_s, values)


def main() -> None:
    years = float(sys.argv[1]) if len(sys.argv) > 1 else 5.0
    with tempfile.TemporaryDirectory(prefix="leafgill-bench-") as folder:
        os.environ["LEAFGILL_HOME"] = f"{folder}/home"
        os.environ.pop("LEAFGILL_DATABASE_URL", None)
        from leafgill.web.set_up import set_up

        home = set_up()
        from leafgill.web.keeping.backing_up import back_up
        from leafgill.web.keeping.backup_format import BY_HAND
        from leafgill.web.keeping.bringing_back import bring_back
        from leafgill.web.keeping.reading_back import read_back

        print(f"{fill(years)} readings, {years:g} years of a probe's minutes")
        from django.db import connections

        with timed("backup, read back included"):
            made = back_up(datetime.now(UTC), BY_HAND, Path(folder))
        with timed("reading back alone"):
            read_back(made.path)
        connections.close_all()
        size = (home / "leafgill.db").stat().st_size
        with timed("bringing it back"):
            bring_back(made.path, datetime.now(UTC))
        print(f"database {size / 1e6:.0f} MB, backup {made.bytes / 1e6:.0f} MB")


if __name__ == "__main__":
    main()
