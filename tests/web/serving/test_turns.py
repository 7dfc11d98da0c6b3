"""Many connections that stay: each is served, and none costs the others anything."""

import socket
import threading
import time
from contextlib import contextmanager

import pytest

from leafgill.web import turns
from leafgill.web.serve import listen
from leafgill.web.server import Server

LARGE = 3_000_000


def application(environ, start_response):
    if environ["PATH_INFO"] == "/slow":
        time.sleep(0.3)
    body = b"x" * LARGE if environ["PATH_INFO"] == "/large" else b"ok"
    start_response("200 OK", [("Content-Length", str(len(body)))])
    return [body]


@contextmanager
def running():
    listening = listen("127.0.0.1", 0)
    server = Server(application, listening)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield server, listening.getsockname()[1]
    finally:
        server.stop()
        thread.join(20.0)
        listening.close()
        assert not thread.is_alive()


def connected(port):
    return socket.create_connection(("127.0.0.1", port), timeout=20)


def ask(connection, path="/", times=1):
    connection.sendall(f"GET {path} HTTP/1.1\r\nHost: x\r\n\r\n".encode() * times)


def answered(connection, body=b"ok", times=1):
    """Read answers; return their bodies' length."""
    got = b""
    while got.count(b"\r\n\r\n") < times or len(got.rsplit(b"\r\n\r\n", 1)[1]) < len(body):
        part = connection.recv(65_536)
        assert part, got[-200:]
        got += part
    return len(got.rsplit(b"\r\n\r\n", 1)[1])


def test_connections_that_wait_are_not_asked_at_every_turn(monkeypatch):
    asked = []
    real = turns.Channel.readable

    def readable(channel):
        asked.append(channel)
        return real(channel)

    monkeypatch.setattr(turns.Channel, "readable", readable)
    with running() as (_, port):
        idle = [connected(port) for _ in range(100)]
        busy = connected(port)
        for _ in range(100):
            ask(busy)
            answered(busy)
        # asking every one at each turn would be ten thousand times and more
        assert 100 <= len(asked) < 4_000
        for connection in idle:  # and each of them is heard
            ask(connection)
            assert answered(connection) == 2
            connection.close()
        busy.close()


def test_one_after_the_other_under_the_same_number(monkeypatch):
    monkeypatch.setattr(turns, "_SWEEP_S", 60.0)
    with running() as (server, port):
        for _ in range(200):
            with connected(port) as connection:
                ask(connection)
                assert answered(connection) == 2
        until = time.monotonic() + 10
        while server._server.active_channels and time.monotonic() < until:
            time.sleep(0.02)
        assert not server._server.active_channels


@pytest.mark.parametrize("path", ["/", "/slow"])
def test_several_requests_at_once_are_answered_in_their_order(path, monkeypatch):
    monkeypatch.setattr(turns, "_SWEEP_S", 60.0)
    with running() as (_, port), connected(port) as connection:
        ask(connection, path, times=3)
        assert answered(connection, times=3) == 2


def test_a_large_answer_to_a_slow_reader_comes_whole(monkeypatch):
    monkeypatch.setattr(turns, "_SWEEP_S", 60.0)
    with running() as (_, port), connected(port) as slow, connected(port) as other:
        ask(slow, "/large")
        for _ in range(5):
            ask(other)
            assert answered(other) == 2
        assert answered(slow, b"x" * LARGE) == LARGE


def test_who_leaves_while_being_answered_is_forgotten():
    with running() as (server, port):
        connection = connected(port)
        ask(connection, "/slow")
        connection.close()
        until = time.monotonic() + 10
        while server._server.active_channels and time.monotonic() < until:
            time.sleep(0.02)
        assert not server._server.active_channels


@pytest.mark.parametrize("left", ["epoll", "poll"])
def test_a_system_that_has_less_serves_as_well(monkeypatch, left):
    """Without epoll poll is taken, without both the server's own loop."""
    monkeypatch.delattr(turns.select, "epoll")
    if left == "poll":
        monkeypatch.setattr(turns, "_poller", lambda: (None, 1.0))
    with running() as (_, port):
        several = [connected(port) for _ in range(5)]
        for connection in several * 2:
            ask(connection)
            assert answered(connection) == 2
        for connection in several:
            connection.close()
