"""Inputs that nobody means, thousands of each: nothing may break, nothing impossible be kept.

http   a real server gets bodies, kinds of content, names and tokens that are no readings
mqtt   a real broker hands messages on to the listener, a process of its own
csv    the watched folder, in a process of its own, and the readers of probe files and diaries
toml   the reader of tank files

What may come of each is an answer or one line that says what is wrong. Looked at in the end: every
reading in the store is a number within what a sensor can send and a time within its years, and
what is not doubted is within the sensor's range; no process has written a traceback; a sensor that
sends as it should is still heard; and memory has not grown over the second half.

    python -m bench.live_fuzz [--count 10000] [--only http|mqtt|csv|toml] [--json]
"""

import argparse
import asyncio
import json
import math
import os
import random
import signal
import sqlite3
import subprocess
import tempfile
from contextlib import closing
from pathlib import Path

from bench.live import fuzzing
from bench.live.app import COMMAND, App
from bench.live.count import readings
from bench.live.home import Sensor, environment, make
from bench.live.mosquitto import Mosquitto
from bench.live.posting import answer, request
from bench.live.publishing import client, is_listening, name_broker, wait_until

_AFTER_S, _GOOD = 1_741_999_980, 6.8
# So much may come and go with allocators, caches and the database's own [MB].
MAY_GROW_MB = 24.0


def memory_mb(pid: int) -> float:
    """Return the memory a process has in use [MB]."""
    told = Path(f"/proc/{pid}/statm").read_text().split()
    return int(told[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6


def impossible(home: Path, sensors: list[Sensor]) -> list[str]:
    """Return readings in the store that no sensor can have sent, in words."""
    from leafgill.diary import SENSORS

    kinds, wrong = {sensor.id: sensor.kind for sensor in sensors}, []
    for (sensor_id, time_s), (value, flag) in readings(home).items():
        low, high = SENSORS[kinds[sensor_id]].accepted
        fine = math.isfinite(value) and abs(value) <= 1e6 and 946_684_800 <= time_s < 7_258_118_400
        if not fine or (not flag and not low <= value <= high):
            wrong.append(f"{kinds[sensor_id]} {value!r} at {time_s}, flag {flag}")
    return wrong


def broken(home: Path, said: str) -> int:
    """Return how often a process has written down that something unforeseen happened."""
    log = home / "log"
    said += log.read_text() if log.exists() else ""
    return said.count("Traceback") + said.count('"level": "error"')


def made_since(home: Path, sensors: list[Sensor]) -> list[Sensor]:
    """Return the sensors that the app has made itself."""
    known = {sensor.id for sensor in sensors}
    with closing(sqlite3.connect(home / "leafgill.db")) as opened:
        rows = opened.execute("SELECT id, slug, kind FROM web_sensorrow").fetchall()
    return [Sensor(pk, slug, "", kind, "") for pk, slug, kind in rows if pk not in known]


# -- http


async def _post(port: int, data: bytes) -> int:
    """Send a request as it is; return the status, 0 for a connection that was shut."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    try:
        writer.write(data)
        status, _ = await asyncio.wait_for(answer(reader), 60)
        return status
    except (OSError, EOFError):
        return 0
    finally:
        writer.close()


def _request(rng: random.Random, sensor: Sensor) -> bytes:
    body = fuzzing.json_body(rng) if rng.random() < 0.7 else fuzzing.csv_file(rng)
    kind = rng.choice(["application/json", "text/csv", "text/plain", "", "x" * 200, "a/b; c"])
    slug = sensor.slug if rng.random() < 0.95 else rng.choice(["x", "..", "%00", "a" * 90, ""])
    token = sensor.token if rng.random() < 0.97 else rng.choice(["", "lg_x", "é", "x" * 3000])
    return (
        f"POST /in/{slug}/ HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer {token}\r\n"
        f"Content-Type: {kind}\r\nContent-Length: {len(body)}\r\nConnection: close\r\n\r\n"
    ).encode() + body


def http(home: Path, sensors: list[Sensor], count: int) -> dict:
    """Send requests to a real server."""
    app = App(home)
    rng = random.Random(101)
    statuses: dict[int, int] = {}

    async def some(number: int) -> None:
        for _ in range(number // 8):
            batch = [_post(app.port, _request(rng, rng.choice(sensors))) for _ in range(8)]
            for status in await asyncio.gather(*batch):
                statuses[status] = statuses.get(status, 0) + 1

    asyncio.run(some(count // 2))
    half = memory_mb(app.process.pid)
    asyncio.run(some(count - count // 2))
    grown = memory_mb(app.process.pid) - half
    good = asyncio.run(_post(app.port, request(sensors[0], _GOOD, _AFTER_S)))
    app.stop()
    assert app.process.stdout is not None
    said = app.process.stdout.read()
    return {
        "statuses": {str(status): statuses[status] for status in sorted(statuses)},
        "broke": sum(number for status, number in statuses.items() if status >= 500)
        + broken(home, said),
        "still_heard": good == 200,
        "grown_mb": round(grown, 1),
    }


# -- mqtt


def _listening(home: Path) -> subprocess.Popen[str]:
    """Start `leafgill listen` over a data folder."""
    return subprocess.Popen(
        [*COMMAND, "listen", "--data", str(home)],
        env=environment(home),
        stdout=subprocess.DEVNULL,
        stderr=(home / "said").open("w"),
        text=True,
    )


def _ended(listener: subprocess.Popen[str], home: Path) -> int:
    """End it; return how often it broke."""
    listener.send_signal(signal.SIGTERM)
    listener.wait(timeout=60)
    return broken(home, (home / "said").read_text()) + (listener.returncode != 0)


def mqtt(home: Path, sensors: list[Sensor], count: int) -> dict:
    """Publish messages to the listener by way of a real broker."""
    (home / "broker").mkdir()
    mosquitto = Mosquitto(home / "broker")
    mosquitto.start()
    name_broker(home, mosquitto.port)
    listener = _listening(home)
    wait_until(lambda: is_listening(home), 60)
    publisher, rng = client(mosquitto.port, "fuzz"), random.Random(102)

    def some(number: int, good: int) -> float:
        for _ in range(number):
            data = fuzzing.json_body(rng)
            publisher.publish(rng.choice(sensors).topic, data, qos=rng.choice([0, 1, 1]),
                              retain=rng.random() < 0.02)  # fmt: skip
        # a reading after all of these shows that they are through
        publisher.publish(sensors[0].topic, json.dumps({"v": _GOOD, "t": good}), qos=1)
        wait_until(lambda: (sensors[0].id, good) in readings(home), 120)
        return memory_mb(listener.pid)

    half = some(count // 2, _AFTER_S - 60)
    grown = some(count - count // 2, _AFTER_S) - half
    heard = (sensors[0].id, _AFTER_S) in readings(home)
    publisher.disconnect()
    publisher.loop_stop()
    broke = _ended(listener, home)
    mosquitto.stop()
    return {"broke": broke, "still_heard": heard, "grown_mb": round(grown, 1)}


# -- files


def watched(home: Path, count: int) -> dict:
    """Put files into the watched folder, and wait until each is put away."""
    listener, rng = _listening(home), random.Random(104)
    wait_until(lambda: any((home / "incoming").glob("*/done")), 60)
    place = next((home / "incoming").glob("tank-1-*"))

    def some(numbers: range) -> float:
        for start in range(numbers.start, numbers.stop, 500):
            for number in range(start, min(start + 500, numbers.stop)):
                (place / f"{number}.csv").write_bytes(fuzzing.csv_file(rng))
            wait_until(lambda: not list(place.glob("*.csv")), 300)
        return memory_mb(listener.pid)

    half = some(range(count // 2))
    grown = some(range(count // 2, count)) - half
    away = {where: len(list((place / where).glob("*.csv"))) for where in ("done", "refused")}
    silent = sum(not path.with_name(f"{path.name}.txt").exists()
                 for path in (place / "refused").glob("*.csv"))  # fmt: skip
    return {"broke": _ended(listener, home) + silent, "grown_mb": round(grown, 1),
            "still_heard": sum(away.values()) == count, **away}  # fmt: skip


def files(kind: str, count: int) -> dict:
    """Read files in this process; what is wrong with them may only be an InputError."""
    from leafgill.diary import Diary, read_probe
    from leafgill.errors import InputError
    from leafgill.tank.spec import Tank
    from leafgill.tank.toml_file import tank_content

    def csv(data: bytes) -> None:
        streams, _ = read_probe(data, "log.csv", keep_outside=True)
        for stream in streams.values():
            stream.localised("Europe/Berlin")

    def diary(data: bytes) -> None:
        Diary.read(data, timezone="Europe/Berlin")

    def toml(data: bytes) -> None:
        Tank.from_mapping(tank_content(data, "tank.toml"))

    make_one = fuzzing.csv_file if kind == "csv" else fuzzing.toml_file
    readers = (csv, diary) if kind == "csv" else (toml,)
    rng, broke, half = random.Random(103), [], 0.0
    accepted = 0
    for number in range(count):
        if number == count // 2:
            half = memory_mb(os.getpid())
        data = make_one(rng)
        for read in readers:
            try:
                read(data)
                accepted += 1
            except InputError as wrong:
                if "\n" in str(wrong):
                    broke.append(f"two lines: {wrong}")
            except Exception as wrong:
                broke.append(f"{type(wrong).__name__}: {wrong} for {data!r}")
    grown = memory_mb(os.getpid()) - half
    return {"broke": len(broke), "first": broke[:3], "accepted": accepted, "still_heard": True,
            "grown_mb": round(grown, 1)}  # fmt: skip


def run(only: str, count: int) -> dict:
    """Return what came of one kind of input."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        if only == "toml":
            return {"kind": only, "count": count, "impossible": [], **files(only, count)}
        sensors = make(home, 20)
        if only == "csv":
            found, read = watched(home, count), files(only, count)
            sensors += made_since(home, sensors)
            found["broke"] += read["broke"]
            found["first"] = read["first"]
        else:
            found = (http if only == "http" else mqtt)(home, sensors, count)
        return {"kind": only, "count": count, "impossible": impossible(home, sensors)[:5],
                "kept": len(readings(home)), **found}  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--only", choices=("http", "mqtt", "csv", "toml"))
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args()
    for kind in [asked.only] if asked.only else ["http", "mqtt", "csv", "toml"]:
        found = run(kind, asked.count)
        if asked.json:
            print(json.dumps(found))
            continue
        print(
            f"{kind}: {found['count']} inputs, {found['broke']} broke something, "
            f"{len(found['impossible'])} impossible readings kept, memory grew by "
            f"{found['grown_mb']:.0f} MB over the second half, "
            f"{'still heard' if found['still_heard'] else 'NOT HEARD ANY MORE'}"
            + (f"; answers {found['statuses']}" if "statuses" in found else "")
        )
        for line in [*found["impossible"], *found.get("first", [])]:
            print(f"  {line}")


if __name__ == "__main__":
    main()
