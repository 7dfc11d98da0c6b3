"""Sensors that post a reading a second each: how long until it is acknowledged, and is it there.

A real server (`leafgill serve`) over SQLite, or over a PostgreSQL of its own with --postgresql;
every sensor has its own token and its own connection, and sends one reading in each request. The
acknowledgement comes when the reading is on the disk. Sensors, server and database share the
machine's cores. Waiting times are those after --settle seconds: a server that has just started
makes its pictures ready beside.

    python -m bench.live_http [--sensors 500] [--seconds 300] [--settle 10] [--close]
                             [--postgresql] [--json]
"""

import argparse
import asyncio
import json
import tempfile
from pathlib import Path

from bench.live.app import App
from bench.live.count import count_readings
from bench.live.home import make
from bench.live.postgres import postgres
from bench.live.posting import post_all
from bench.live.waits import summary


def run(sensors: int, seconds: int, postgresql: bool, settle: int = 0, keep: bool = True) -> dict:
    """Return the figures of one run."""
    with tempfile.TemporaryDirectory() as folder, postgres(postgresql) as url:
        home = Path(folder) / "home"
        made = make(home, sensors, url)
        app = App(home, url)
        before = app.cpu_s()
        try:
            posted = asyncio.run(post_all(made, app.port, seconds, settle, keep))
            used_s = app.cpu_s() - before
        finally:
            code = app.stop()
        kept = count_readings(home, url)
    return {
        "sensors": sensors,
        "seconds": seconds,
        "database": "postgresql" if url else "sqlite",
        "sent": posted.sent,
        "acknowledged": posted.acknowledged,
        "kept": kept,
        "server_cpu_s": round(used_s, 1),
        "failures": posted.failures,
        "exit": code,
        **summary(posted.waits_s),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--sensors", type=int, default=500)
    parser.add_argument("--seconds", type=int, default=300)
    parser.add_argument("--settle", type=int, default=10)
    parser.add_argument("--postgresql", action="store_true")
    parser.add_argument("--close", action="store_true", help="a new connection for each reading")
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args()
    settle = min(asked.settle, asked.seconds // 2)
    found = run(asked.sensors, asked.seconds, asked.postgresql, settle, not asked.close)
    if asked.json:
        print(json.dumps(found))
        return
    print(
        f"{found['sensors']} sensors, {found['seconds']} s, HTTP, {found['database']}: "
        f"{found['acknowledged']} of {found['sent']} acknowledged, {found['kept']} kept"
    )
    print(
        f"acknowledged within: half {found['p50_ms']:.0f} ms, p99 {found['p99_ms']:.0f} ms, "
        f"longest {found['max_ms']:.0f} ms; failures: {found['failures'] or 'none'}; "
        f"the server used {found['server_cpu_s']:.0f} s of a core"
    )


if __name__ == "__main__":
    main()
