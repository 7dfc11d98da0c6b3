"""The words that systemd hears: by themselves, and of a server that really starts and stops."""

import os
import signal
import socket
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from leafgill.web import notify

pytestmark = pytest.mark.skipif(not hasattr(socket, "AF_UNIX"), reason="systemd is Linux's")


@pytest.fixture
def manager(monkeypatch):
    """Give the socket that a service manager listens at."""
    # a path of its own: that of a test may be longer than a socket's name can be
    with (
        tempfile.TemporaryDirectory() as folder,
        socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as heard,
    ):
        heard.bind(f"{folder}/notify")
        heard.settimeout(60.0)
        monkeypatch.setenv("NOTIFY_SOCKET", f"{folder}/notify")
        yield heard


def test_a_word_arrives(manager):
    assert notify.tell(notify.READY)
    assert manager.recv(100) == b"READY=1"


def test_without_a_manager_nothing_is_told(monkeypatch):
    monkeypatch.delenv("NOTIFY_SOCKET", raising=False)
    assert not notify.tell(notify.READY)
    monkeypatch.setenv("NOTIFY_SOCKET", "/nowhere/at/all")
    assert not notify.tell(notify.READY)


def test_a_socket_may_lie_in_no_folder(monkeypatch):
    name = f"leafgill-{os.getpid()}"
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as heard:
        heard.bind(f"\0{name}")
        heard.settimeout(60.0)
        monkeypatch.setenv("NOTIFY_SOCKET", f"@{name}")
        assert notify.tell(notify.STOPPING)
        assert heard.recv(100) == b"STOPPING=1"


def beats(monkeypatch, manager, moments, usec, pid=""):
    monkeypatch.setenv("WATCHDOG_USEC", usec)
    monkeypatch.setenv("WATCHDOG_PID", pid)
    going = iter(moments)
    watchdog = notify.Watchdog(lambda: next(going))
    for _ in moments:
        watchdog.beat()
    manager.settimeout(0.0)
    heard = []
    while True:
        try:
            heard.append(manager.recv(100))
        except BlockingIOError:
            return heard


def test_it_is_alive_three_times_within_the_managers_patience(monkeypatch, manager):
    moments = [0.0, 1.0, 9.9, 10.0, 19.0, 20.5]
    assert beats(monkeypatch, manager, moments, "30000000") == [b"WATCHDOG=1"] * 3


@pytest.mark.parametrize(("usec", "pid"), [("", ""), ("0", ""), ("soon", ""), ("30000000", "1")])
def test_where_nobody_waits_it_says_nothing(monkeypatch, manager, usec, pid):
    assert beats(monkeypatch, manager, [0.0, 100.0], usec, pid) == []


def test_a_server_says_when_it_is_ready_alive_and_stopping(manager, tmp_path):
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("LEAFGILL_", "DJANGO_"))}
    server = subprocess.Popen(
        [sys.executable, "-c", "from leafgill.cli import main; main()", "serve", "--port", "0",
         "--no-browser", "--data", str(tmp_path / "home")],
        env={**kept, "WATCHDOG_USEC": "1500000", "LEAFGILL_WORKER": "off",
             "LEAFGILL_LOG": str(tmp_path / "log")},
        stdout=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        heard = [manager.recv(100) for _ in range(3)]
        assert heard == [b"READY=1", b"WATCHDOG=1", b"WATCHDOG=1"]
        server.send_signal(signal.SIGTERM)
        while heard[-1] == b"WATCHDOG=1":
            heard.append(manager.recv(100))
        assert heard[-1] == b"STOPPING=1"
        assert server.wait(60.0) == 0
        assert not Path(tmp_path / "home" / "running.json").exists()
    finally:
        server.kill()
