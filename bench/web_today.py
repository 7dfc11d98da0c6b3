"""Time Today's page of the app with a year of one-minute readings in the store.

The app runs as `leafgill serve` does, with its worker beside it, on SQLite. The tank is the
invented one under the stairs: its month is laid out over the year before again and again, the
probe filled in to the minute. Measured, each beside what was promised:

server  from a request over loopback to the last byte of the page, on one kept connection, once
        the figures are fresh; the median and the 95th percentile, and the same for the partial
        by which the page keeps itself up to date; and a processor's time for each page, which
        other work on the machine hardly changes. A picture is drawn once for each new answer,
        when it is first asked for, after the page: that is told apart
weight  all that Chromium loads for the first view on a phone, as it comes over the wire
view    the same first view with Chromium slowed to a quarter and nothing in its cache, the
        pictures drawn already: the largest part there (LCP), and the page's own scripts run
        (DOMContentLoaded)

    python bench/web_today.py [--requests N] [--views N] [--days N] [--json]
"""

import argparse
import http.client
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from statistics import median
from typing import Any

import numpy as np

SERVER_MS, WEIGHT_KB, VIEW_MS = 100.0, 500.0, 1000.0
SLOWED = 4
PHONE = {"width": 390, "height": 844}
FRESH_WITHIN_S = 180.0
MONTH = timedelta(days=30)
COMMAND = [sys.executable, "-c", "from leafgill.cli import main; main()", "serve"]
WATCH = """
() => new Promise(done => {
  let largest = 0;
  new PerformanceObserver(list => {
    for (const one of list.getEntries()) largest = Math.max(largest, one.startTime);
  }).observe({type: "largest-contentful-paint", buffered: true});
  setTimeout(() => {
    const page = performance.getEntriesByType("navigation")[0];
    const first = performance.getEntriesByName("first-contentful-paint")[0];
    done({
      first: first ? first.startTime : 0, largest,
      scripts: page.domContentLoadedEventEnd, loaded: page.loadEventEnd,
    });
  }, 1500);
})
"""


@dataclass(frozen=True)
class App:
    """A running app, the address of the tank's Today in it, and how much is in its store."""

    port: int
    process: int
    page: str
    readings: int
    entries: int


def fill(days: int) -> tuple[str, datetime, int, int]:
    """Make the tank in the data folder; return its address, its last moment and the counts."""
    from leafgill.diary import Diary
    from leafgill.examples import STAIRS
    from leafgill.tank.clock import zone
    from leafgill.tank.spec import Tank
    from leafgill.web.store.entries import add_entries
    from leafgill.web.store.keepers import first_keeper
    from leafgill.web.store.readings import add_readings, sensor_for
    from leafgill.web.store.tanks import create_tank

    tank = Tank.load(STAIRS.tank)
    diary = Diary.load(STAIRS.diary, STAIRS.probe, tank.timezone)
    now = STAIRS.now.replace(tzinfo=zone(tank.timezone))
    keeper = first_keeper()
    row = create_tank(keeper, tank)
    months = range(-(-days // MONTH.days))
    entries = [entry.at(entry.time - k * MONTH) for k in months for entry in diary.entries]
    add_entries(row, entries, keeper)
    stream = diary.streams["ph"]
    last = int(now.timestamp()) // 60 * 60
    times_s = np.arange(last - days * 86_400 + 60, last + 1, 60)
    # the month's own readings at the end, and the same again before it
    month_s = round(MONTH.total_seconds())
    within = last - (last - times_s) % month_s
    values = np.round(np.interp(within, stream.times_s, stream.values), 2)
    count = add_readings(sensor_for(row, "ph"), times_s, values)
    return f"/tank/{row.public_id}/", now, count, len(entries)


@contextmanager
def running(folder: Path, days: int) -> Iterator[App]:
    """Run the app with the year in its store until its figures are fresh, and while it is asked."""
    os.environ["LEAFGILL_HOME"] = str(folder)
    for name in ("LEAFGILL_DATABASE_URL", "LEAFGILL_NOW"):
        os.environ.pop(name, None)
    from leafgill.web.set_up import set_up

    set_up()
    page, now, readings, entries = fill(days)
    env = {**os.environ, "LEAFGILL_NOW": now.isoformat(), "PYTHONUNBUFFERED": "1"}
    with (folder / "log").open("w+") as log:
        process = subprocess.Popen(
            [*COMMAND, "--port", "0", "--no-browser"], env=env, stdout=log, stderr=log
        )
        try:
            port = _port(process, folder / "log")
            app = App(port, process.pid, page, readings, entries)
            _until_fresh(app)
            yield app
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait(30)


def _port(process: subprocess.Popen[bytes], log: Path) -> int:
    until = time.monotonic() + 60.0
    while time.monotonic() < until and process.poll() is None:
        found = re.search(r"http://127\.0\.0\.1:(\d+)/", log.read_text())
        if found:
            return int(found[1])
        time.sleep(0.1)
    raise SystemExit(f"the app does not start: {log.read_text()}")


def _until_fresh(app: App) -> None:
    asked = Asking(app)
    until = time.monotonic() + FRESH_WITHIN_S
    while time.monotonic() < until:
        if "Worked out" in asked.get(app.page)[1].decode():
            return
        time.sleep(0.5)
    raise SystemExit("the figures never were fresh")


class Asking:
    """One kept connection to the app, as a browser at this machine has it."""

    def __init__(self, app: App) -> None:
        self._at = http.client.HTTPConnection("127.0.0.1", app.port, timeout=60)

    def get(self, path: str, **headers: str) -> tuple[float, bytes]:
        """Return how long an answer took [ms], and its body."""
        begun = time.perf_counter()
        self._at.request("GET", path, headers=headers)
        answer = self._at.getresponse()
        body = answer.read()
        took = 1000.0 * (time.perf_counter() - begun)
        if answer.status != 200:
            raise SystemExit(f"{path} answers {answer.status}")
        return took, body


def server_times(app: App, requests: int) -> dict[str, Any]:
    """Return the server's times [ms]."""
    asked = Asking(app)
    page = asked.get(app.page)[1].decode()
    pictures = list(dict.fromkeys(re.findall(r'(?:src|srcset)="([^"]+\.svg[^"]*)"', page)))
    drawn = [asked.get(url.replace("&amp;", "&"))[0] for url in pictures if "/tank/" in url]
    busy = worked_ms(app.process)
    whole = [asked.get(app.page)[0] for _ in range(requests)]
    work = worked_ms(app.process) - busy
    part = [asked.get(f"{app.page}now/", **{"HX-Request": "true"})[0] for _ in range(requests)]
    return {
        "page_ms": _spread(whole),
        "page_work_ms": round(work / requests, 1),
        "part_ms": _spread(part),
        "pictures_first_ms": [round(ms, 1) for ms in drawn],
    }


def worked_ms(process: int) -> float:
    """Return how long a process has kept processors busy [ms]; NaN where the system does not tell.

    The worker is a process of its own and not in it.
    """
    try:
        told = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()
    except OSError:
        return float("nan")
    return 1000.0 * (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")


def _spread(times_ms: list[float]) -> dict[str, float]:
    return {
        "median": round(median(times_ms), 1),
        "p95": round(float(np.percentile(times_ms, 95.0)), 1),
    }


def browser_figures(app: App, views: int) -> dict[str, Any] | None:
    """Return weight [kB] and first view [ms]; None without views, or where no Chromium is."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None or not views:
        return None
    from playwright.sync_api import sync_playwright

    seen = []
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=found, args=["--no-sandbox"])
        for _ in range(views):
            seen.append(_one_view(browser, f"http://127.0.0.1:{app.port}{app.page}"))
        browser.close()
    return {
        "weight_kb": max(view["bytes"] for view in seen) / 1000.0,
        "parts": max(view["parts"] for view in seen),
        **{
            f"{name}_ms": median(view[name] for view in seen)
            for name in ("first", "largest", "scripts", "loaded")
        },
    }


def _one_view(browser: Any, url: str) -> dict[str, float]:
    """Return what one first view brought and took, with nothing in the browser's cache."""
    context = browser.new_context(viewport=PHONE, device_scale_factor=2)
    page = context.new_page()
    wire = context.new_cdp_session(page)
    sizes: list[float] = []
    wire.on("Network.loadingFinished", lambda told: sizes.append(told["encodedDataLength"]))
    wire.send("Network.enable")
    wire.send("Network.setCacheDisabled", {"cacheDisabled": True})
    wire.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    page.goto(url, wait_until="load")
    told: dict[str, float] = page.evaluate(WATCH)
    context.close()
    return {**told, "bytes": sum(sizes), "parts": len(sizes)}


def main() -> None:
    """Measure all and print it."""
    ask = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    ask.add_argument("--requests", type=int, default=300)
    ask.add_argument("--views", type=int, default=7)
    ask.add_argument("--days", type=int, default=365)
    ask.add_argument("--json", action="store_true")
    asked = ask.parse_args()
    with (
        tempfile.TemporaryDirectory(prefix="leafgill-bench-") as folder,
        running(Path(folder), asked.days) as app,
    ):
        told: dict[str, Any] = {"readings": app.readings, "entries": app.entries}
        told |= server_times(app, asked.requests)
        told["browser"] = browser_figures(app, asked.views)
    if asked.json:
        print(json.dumps(told, indent=2))
        return
    print(f"{told['readings']:,} readings and {told['entries']:,} entries in the store")
    for name, words in (("page_ms", "Today"), ("part_ms", "its renewal")):
        print(
            f"server, {words:12} median {told[name]['median']:6.1f} ms, "
            f"p95 {told[name]['p95']:6.1f} ms (promised: at most {SERVER_MS:.0f})"
        )
    print(f"server, Today        {told['page_work_ms']:.1f} ms of a processor's work each")
    print(f"server, pictures drawn first: {told['pictures_first_ms']} ms")
    view = told["browser"]
    if view is None:
        print("weight and first view are not measured: no views asked for, or no Chromium here")
        return
    print(
        f"weight {view['weight_kb']:.0f} kB in {view['parts']:.0f} parts "
        f"(promised: at most {WEIGHT_KB:.0f})"
    )
    print(
        f"first view, slowed {SLOWED} times: first drawn {view['first_ms']:.0f} ms, largest drawn "
        f"{view['largest_ms']:.0f} ms, scripts run {view['scripts_ms']:.0f} ms, all loaded "
        f"{view['loaded_ms']:.0f} ms (promised: usable within {VIEW_MS:.0f})"
    )


if __name__ == "__main__":
    main()
