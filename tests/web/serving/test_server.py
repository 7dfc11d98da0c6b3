"""The server by itself, with small applications: what it answers, and how it ends."""

import http.client
import threading
import time
from contextlib import contextmanager

import pytest

from leafgill.errors import InputError
from leafgill.web.serve import listen
from leafgill.web.server import Server


@contextmanager
def running(application, **more):
    """Run a server in a thread; give it, its port, and the thread."""
    listening = listen("127.0.0.1", 0)
    server = Server(application, listening, **more)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield server, listening.getsockname()[1], thread
    finally:
        server.stop()
        thread.join(20.0)
        listening.close()
        assert not thread.is_alive()


def get(port, headers=None):
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20.0)
    connection.request("GET", "/", headers=headers or {})
    response = connection.getresponse()
    body = response.read()
    connection.close()
    return response.status, body


def told(environ, start_response):
    start_response("200 OK", [("Content-Type", "text/plain")])
    names = ("REMOTE_ADDR", "wsgi.url_scheme", "HTTP_X_FORWARDED_FOR", "HTTP_X_FORWARDED_HOST")
    return [" ".join(str(environ.get(name, "-")) for name in names).encode()]


FORGED = {
    "X-Forwarded-For": "192.0.2.7",
    "X-Forwarded-Proto": "https",
    "X-Forwarded-Host": "evil.example",
}


def test_without_a_proxy_to_trust_nobody_is_believed_and_it_can_be_seen():
    with running(told) as (_, port, _):
        assert get(port) == (200, b"127.0.0.1 http - -")
        assert get(port, FORGED) == (200, b"127.0.0.1 http 192.0.2.7 evil.example")


def test_a_trusted_proxys_word_is_taken_on_who_and_how_alone():
    with running(told, trusted_proxy="127.0.0.1") as (_, port, _):
        assert get(port, FORGED)[1].split()[:2] == [b"192.0.2.7", b"https"]
        assert b"evil" not in get(port, FORGED)[1]


def test_somebody_else_is_not_believed_for_the_proxy():
    with running(told, trusted_proxy="192.0.2.99") as (_, port, _):
        assert get(port, FORGED) == (200, b"127.0.0.1 http - -")


def test_where_all_comes_by_tls_the_app_is_told_so():
    with running(told, tls=True) as (_, port, _):
        assert get(port)[1].split()[1] == b"https"


def test_what_is_being_answered_is_finished_before_it_ends():
    begun = threading.Event()

    def slow(environ, start_response):
        begun.set()
        # longer than the server's threads are given once it closes
        time.sleep(2.0)
        start_response("200 OK", [("Content-Type", "text/plain")])
        return [b"x" * 300_000]

    answers = []
    with running(slow) as (server, port, thread):
        asking = threading.Thread(target=lambda: answers.append(get(port)))
        asking.start()
        assert begun.wait(20.0)
        server.stop()
        asking.join(20.0)
        thread.join(20.0)
        assert [(status, len(body)) for status, body in answers] == [(200, 300_000)]
        with pytest.raises(OSError):
            get(port)


def test_a_port_that_is_taken_is_told_in_one_line():
    with running(told) as (_, port, _), pytest.raises(InputError) as refused:
        listen("127.0.0.1", port)
    assert str(refused.value) == (
        f"port {port} of 127.0.0.1 is taken by another program; name another with --port"
    )


@pytest.mark.parametrize(
    ("host", "words"),
    [
        ("203.0.113.9", "is no address of this machine"),
        ("nowhere.invalid", "is no address; accepted"),
        ("x" * 300, "is no address; accepted"),
    ],
)
def test_an_address_that_is_not_this_machines_is_told_in_one_line(host, words):
    with pytest.raises(InputError, match=words) as refused:
        listen(host, 0)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "::1", "[::1]"])
def test_loopback_has_several_names(host):
    made = listen(host, 0)
    assert made.getsockname()[1] > 0
    made.close()
