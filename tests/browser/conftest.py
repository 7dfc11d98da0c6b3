"""The app as a person has it: a server of its own process, and a real Chromium.

One server with the demonstration for what is looked at and changed little, one that is empty for
setting up. Both are this package's command, in a folder that is thrown away.
"""

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
PHONE, DESK = (390, 844), (1280, 800)


def pytest_collection_modifyitems(items):
    """Keep the browser's tests together, so that they share a server and a browser."""
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.xdist_group("browser"))


@pytest.fixture(scope="session", autouse=True)
def _chromium_is_there():
    if CHROMIUM is None:
        if os.environ.get("LEAFGILL_TESTS_NEED_ALL"):
            pytest.fail("Chromium is not there; on Debian: apt-get install chromium")
        pytest.skip("Chromium is not there; on Debian: apt-get install chromium")


@contextmanager
def served(home, *words):
    """Run the app; give its address once it answers, and end it as a person would."""
    env = {**os.environ, "LEAFGILL_HOME": str(home), "PYTHONUNBUFFERED": "1"}
    for name in ("LEAFGILL_DATABASE_URL", "LEAFGILL_NOW", "DJANGO_SETTINGS_MODULE"):
        env.pop(name, None)
    command = [sys.executable, "-c", "from leafgill.cli import main; main()", "serve"]
    with (home / "log").open("w+") as log:
        process = subprocess.Popen(
            [*command, "--port", "0", "--no-browser", *words], env=env, stdout=log, stderr=log
        )
        try:
            yield address(process, home / "log")
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait(30)


def address(process, log):
    """Return where the app says it is."""
    until = time.monotonic() + 90
    while time.monotonic() < until:
        found = re.search(r"http://\S+/", log.read_text())
        if found:
            return found.group().rstrip("/")
        assert process.poll() is None, log.read_text()
        time.sleep(0.2)
    raise AssertionError(log.read_text())


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """Return the address of the demonstration."""
    with served(tmp_path_factory.mktemp("demo"), "--demo") as url:
        yield url


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    """Return the address of an app nobody has used yet."""
    with served(tmp_path_factory.mktemp("empty")) as url:
        yield url


@pytest.fixture(scope="module")
def chromium():
    """Return the browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def opened(chromium):
    """Return a maker of pages; what goes wrong in one fails the test that made it."""
    made, wrong = [], []

    def page(size=PHONE, **how):
        context = chromium.new_context(
            viewport={"width": size[0], "height": size[1]}, locale="en-GB", **how
        )
        found = context.new_page()
        found.on("pageerror", lambda error: wrong.append(str(error)))
        found.on(
            "console",
            lambda said: wrong.append(said.text) if said.type in ("error", "warning") else None,
        )
        made.append(context)
        return found

    yield page
    for context in made:
        context.close()
    # a refused form answers 422, which the browser tells in its console: that is meant
    assert [line for line in wrong if "422" not in line] == []


def tank(page, demo, name="Tank under the stairs"):
    """Go to a tank's Today from the list, and wait for figures that are fresh."""
    page.goto(demo + "/?all")
    page.get_by_role("link", name=name).first.click()
    page.locator(".co2, [data-state=fresh], #where").first.wait_for()
    for _ in range(60):
        if page.get_by_text(re.compile(r"^\s*Worked out")).count():
            return page.url
        page.wait_for_timeout(500)
        page.reload()
    raise AssertionError(page.inner_text("main"))
