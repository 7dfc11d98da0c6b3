"""Fill the disk under a server that takes readings in: it says so, nothing breaks, and it recovers.

tmpfs   the data folder is on a small disk of its own (needs root), which another file fills up
limit   the server's process may write no longer files any more (RLIMIT_FSIZE), as by a quota

Readings are posted before, while the disk is full, and after it has room again. Looked at: what was
acknowledged is there with its value, what was refused was refused in words, the database is whole.

    python -m bench.live_disk [--way tmpfs|limit] [--json]
"""

import argparse
import json
import os
import resource
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path

from bench.live.app import App
from bench.live.count import is_sound, readings
from bench.live.home import Sensor, make

_BEGIN_S = 1_741_400_000
_SIZE_MB = 24


@contextmanager
def small_disk(folder: Path) -> Iterator[Path]:
    """Give a folder that is a disk of its own. Raises CalledProcessError where none can be."""
    folder.mkdir()
    subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={_SIZE_MB}m", "tmpfs", folder],
        check=True,
        capture_output=True,
    )
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", folder], check=True)


def ways() -> list[str]:
    """Return what can be done on this machine."""
    if os.name != "posix":
        return []
    with tempfile.TemporaryDirectory() as folder:
        try:
            with small_disk(Path(folder) / "disk"):
                return ["tmpfs", "limit"]
        except (OSError, subprocess.CalledProcessError):
            return ["limit"]


def post(port: int, sensor: Sensor, number: int) -> tuple[int, str]:
    """Post a reading; return the status and, where it was refused, the words.

    Told that it is too often, it waits as long as it is told to.
    """
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    body = json.dumps({"value": 6.8 + 0.001 * (number % 50), "time": _BEGIN_S + 60 * number})
    headers = {"Authorization": f"Bearer {sensor.token}"}
    connection.request("POST", f"/in/{sensor.slug}/", body, headers)
    answer = connection.getresponse()
    told = json.loads(answer.read())
    connection.close()
    if answer.status == 429:
        time.sleep(int(answer.headers["Retry-After"]))
        return post(port, sensor, number)
    return answer.status, told.get("error", "")


def run(way: str, each: int = 200) -> dict:
    """Return what came of it; so many readings are posted before, while and after."""
    with tempfile.TemporaryDirectory() as folder:
        if way == "limit":
            return _limited(Path(folder) / "home", each)
        with small_disk(Path(folder) / "disk") as disk:
            return _filled(disk, each)


def _filled(disk: Path, each: int) -> dict:
    home, filler = disk / "home", disk / "filler"

    def fill() -> None:
        with filler.open("wb", buffering=0) as file:
            try:
                while True:
                    file.write(b"x" * 4096)
            except OSError:
                pass

    return _through(home, each, lambda _app: fill(), lambda _app: filler.unlink())


def _limited(home: Path, each: int) -> dict:
    before = resource.getrlimit(resource.RLIMIT_FSIZE)

    def limit(app: App) -> None:
        resource.prlimit(app.process.pid, resource.RLIMIT_FSIZE, (1, before[1]))

    def free(app: App) -> None:
        resource.prlimit(app.process.pid, resource.RLIMIT_FSIZE, before)

    return _through(home, each, limit, free)


def _through(
    home: Path, each: int, fill: Callable[[App], None], free: Callable[[App], None]
) -> dict:
    sensors = make(home, 1)
    app, sensor = App(home), sensors[0]
    answers: dict[str, list[tuple[int, str]]] = {}
    try:
        answers["before"] = [post(app.port, sensor, n) for n in range(each)]
        fill(app)
        answers["full"] = [post(app.port, sensor, each + n) for n in range(each)]
        free(app)
        # what was refused is sent again, as a sensor does
        answers["after"] = [post(app.port, sensor, each + n) for n in range(each)]
    finally:
        code = app.stop()
    kept = readings(home)
    promised = {
        _BEGIN_S + 60 * (n + (0 if when == "before" else each))
        for when, told in answers.items()
        for n, (status, _) in enumerate(told)
        if status == 200
    }
    return {
        "acknowledged": len(promised),
        "lost": sum((sensor.id, time_s) not in kept for time_s in promised),
        "refused_while_full": sum(status == 503 for status, _ in answers["full"]),
        "words": sorted({words for _, words in answers["full"] if words}),
        "other_answers": sorted({s for told in answers.values() for s, _ in told} - {200, 503}),
        "after_ok": all(status == 200 for status, _ in answers["after"]),
        "sound": is_sound(home),
        "exit": code,
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--way", choices=("tmpfs", "limit"))
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args()
    for way in [asked.way] if asked.way else ways():
        found = run(way)
        if asked.json:
            print(json.dumps({"way": way, **found}))
            continue
        print(
            f"{way}: {found['acknowledged']} readings acknowledged, {found['lost']} lost; "
            f"{found['refused_while_full']} refused while full ({'; '.join(found['words'])}); "
            f"{'recovered' if found['after_ok'] else 'NOT RECOVERED'}; "
            f"database {'whole' if found['sound'] else 'DAMAGED'}"
        )


if __name__ == "__main__":
    main()
