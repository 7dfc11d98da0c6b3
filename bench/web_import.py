"""Time a year of a probe's minutes into the app's store, and what it would cost by hand.

One run, the same 525 600 rows of `time,ph` as bytes, the best of some repeats each, every time
into a new file. Timed:

ours      what bringing a probe file in does: read with every check of it, real time by the
          tank's clock through both nights the clocks change, each sensor and second once, the
          tank's version counted up
ours, 2   the same file again: all is compared, nothing is changed
by hand   polars reads it, sqlite3's `executemany` puts it into a plain table; no check, no zone,
          and a file that comes twice is there twice
by hand,  the same into a table with a key of sensor and second, as ours has
 keyed

SQLite's journal and its care for the disk are the same throughout (WAL, NORMAL).

    python bench/web_import.py [--rows N] [--repeats N] [--json]
"""

import argparse
import io
import json
import os
import sqlite3
import tempfile
import time
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import polars as pl

ZONE = "Europe/Berlin"
YEAR = 525_600
FIRST = datetime(2024, 1, 1)


def probe_file(rows: int) -> bytes:
    """Return an invented electrode's year, a row a minute by the wall clock."""
    rng = np.random.default_rng(1)
    minute = np.arange(rows)
    ph = np.round(6.8 + 0.25 * np.sin(minute / 229.18) + 0.01 * rng.standard_normal(rows), 2)
    lines = (
        f"{FIRST + timedelta(minutes=i):%Y-%m-%dT%H:%M},{value}"
        for i, value in enumerate(ph.tolist())
    )
    return ("time,ph\n" + "\n".join(lines) + "\n").encode()


def by_hand(data: bytes, keyed: bool) -> float:
    """Return the seconds polars and sqlite3 take [s]."""
    with tempfile.TemporaryDirectory() as folder:
        begun = time.perf_counter()
        table = pl.read_csv(io.BytesIO(data), try_parse_dates=True)
        rows = table.select(pl.lit(1), pl.col("time").dt.epoch("s"), pl.col("ph")).iter_rows()
        store = sqlite3.connect(Path(folder) / "plain.db")
        store.execute("PRAGMA journal_mode=WAL")
        store.execute("PRAGMA synchronous=NORMAL")
        key = ", PRIMARY KEY (sensor, time_s)" if keyed else ""
        store.execute(f"CREATE TABLE reading (sensor INTEGER, time_s INTEGER, value REAL{key})")
        store.executemany("INSERT INTO reading VALUES (?, ?, ?)", rows)
        store.commit()
        store.close()
        return time.perf_counter() - begun


def ours(data: bytes, name: str) -> tuple[float, float, int]:
    """Return the seconds of bringing a file in and of bringing it again [s], and the readings."""
    from leafgill.tank.spec import Tank
    from leafgill.web.importing.probe_file import read_file
    from leafgill.web.store.keepers import first_keeper
    from leafgill.web.store.readings import add_readings, sensor_for
    from leafgill.web.store.tanks import create_tank

    described = {"tank": {"name": name, "volume_l": 60.0, "timezone": ZONE}}
    row = create_tank(first_keeper(), Tank.from_mapping(described))

    def bring() -> tuple[float, int]:
        begun = time.perf_counter()
        changed = 0
        for sensor, stream in read_file(data, "probe.csv", ZONE).streams.items():
            changed += add_readings(sensor_for(row, sensor), stream.times_s, stream.values)
        return time.perf_counter() - begun, changed

    first_s, count = bring()
    again_s, changed = bring()
    assert changed == 0, changed
    return first_s, again_s, count


def new_store(name: str) -> None:
    """Let the app keep its data in a new file."""
    from django.core.management import call_command
    from django.db import connection

    connection.close()
    connection.settings_dict["NAME"] = Path(os.environ["LEAFGILL_HOME"]) / f"{name}.db"
    call_command("migrate", interactive=False, verbosity=0)


def main() -> None:
    """Run both and print them."""
    ask = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    ask.add_argument("--rows", type=int, default=YEAR)
    ask.add_argument("--repeats", type=int, default=3)
    ask.add_argument("--json", action="store_true")
    asked = ask.parse_args()
    data = probe_file(asked.rows)
    with tempfile.TemporaryDirectory(prefix="leafgill-bench-") as folder:
        os.environ["LEAFGILL_HOME"] = folder
        os.environ.pop("LEAFGILL_DATABASE_URL", None)
        from leafgill.web.set_up import set_up

        set_up()
        by_hand(data, keyed=False)  # polars and the disk's cache warm for both
        plain, keyed, mine = [], [], []
        for at in range(asked.repeats):  # in turns: the machine's moods meet all of them
            plain.append(by_hand(data, keyed=False))
            keyed.append(by_hand(data, keyed=True))
            new_store(str(at))
            mine.append(ours(data, f"Year {at}"))
    plain_s, keyed_s = min(plain), min(keyed)
    first_s, again_s = min(m[0] for m in mine), min(m[1] for m in mine)
    told = {
        "rows": asked.rows,
        "readings": mine[0][2],
        "ours_s": first_s,
        "again_s": again_s,
        "by_hand_s": plain_s,
        "by_hand_keyed_s": keyed_s,
        "ours_to_by_hand": first_s / plain_s,
        "ours_to_by_hand_keyed": first_s / keyed_s,
    }
    if asked.json:
        print(json.dumps(told, indent=2))
        return
    print(f"{asked.rows:,} rows of a probe file, {len(data) / 1e6:.1f} MB")
    print(f"ours            {first_s:6.2f} s   {first_s / plain_s:.2f} times by hand")
    print(f"ours, 2         {again_s:6.2f} s")
    print(f"by hand         {plain_s:6.2f} s")
    print(f"by hand, keyed  {keyed_s:6.2f} s   ours {first_s / keyed_s:.2f} times")


if __name__ == "__main__":
    main()
