"""Running the app: what has to hold before a page is answered, then the server until its end."""

from __future__ import annotations

import logging
import os
import socket
import sys
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from leafgill.errors import InputError, quoted
from leafgill.web.home import prepare
from leafgill.web.hosts import EVERY
from leafgill.web.lock import LOCK_FILE, Lock
from leafgill.web.set_up import gather, name_home, set_up

log = logging.getLogger(__name__)

PORT = 8480


@dataclass(frozen=True, slots=True)
class Wanted:
    """How the app is to be run; without `data` its folder is the one `LEAFGILL_HOME` names.

    `browser` opens it where somebody sits before a screen.
    """

    host: str = "127.0.0.1"
    port: int = PORT
    data: Path | None = None
    demo: bool = False
    browser: bool = False


def serve(wanted: Wanted) -> None:
    """Run the app until it is told to stop. Raises InputError, in one line, where it cannot start.

    Whatever may refuse does so before anything is answered.
    """
    if not wanted.demo:
        _serve(wanted)
        return
    if wanted.data is not None:
        raise InputError("--demo has a data folder of its own, gone when it ends; leave out --data")
    from leafgill.web.demo import fill, folder

    with folder():
        _serve(wanted, fill)


def _serve(wanted: Wanted, fill: Callable[[], None] | None = None) -> None:
    os.environ["LEAFGILL_HOST"] = wanted.host
    os.environ["LEAFGILL_GATHERED"] = "yes"
    os.environ.setdefault("LEAFGILL_WORKER", "process")
    listening = listen(wanted.host, wanted.port)
    try:
        name_home(wanted.data)
        with _alone(prepare()):
            data = set_up(wanted.data)
            let_in(wanted.data)
            gather(data)
            if fill is not None:
                fill()
            _run(listening, wanted, data)
    finally:
        listening.close()


@contextmanager
def _alone(data: Path) -> Iterator[None]:
    """Hold the data folder for this process. Raises InputError where another one has it."""
    lock = Lock(data / LOCK_FILE)
    if not lock.take():
        raise InputError(
            f"the app runs already on the data in {data}; stop it first, or name another folder "
            "with --data"
        )
    try:
        yield
    finally:
        lock.release()


def listen(host: str, port: int) -> socket.socket:
    """Return a socket that listens. Raises InputError for an address or port that cannot be had."""
    bare = host.removeprefix("[").removesuffix("]")
    try:
        found = socket.getaddrinfo(bare, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
    except (OSError, UnicodeError):
        raise InputError(
            f"--host = {quoted(host)} is no address; accepted: one of this machine's, as "
            "127.0.0.1, or 0.0.0.0 for the home network"
        ) from None
    family, kind, proto, _, where = found[0]
    made = socket.socket(family, kind, proto)
    try:
        if os.name != "nt":  # there it would share a port that is taken
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind(where)
        made.listen(128)
    except OSError as wrong:
        made.close()
        raise InputError(_not_to_be_had(host, port, wrong)) from None
    made.setblocking(False)
    return made


def _not_to_be_had(host: str, port: int, wrong: OSError) -> str:
    import errno

    if wrong.errno == errno.EADDRINUSE:
        return f"port {port} of {host} is taken by another program; name another with --port"
    if wrong.errno == errno.EACCES:
        return f"port {port} is not for this user; name one above 1023 with --port"
    if wrong.errno == errno.EADDRNOTAVAIL:
        return f"--host = {quoted(host)} is no address of this machine"
    return f"{host} port {port} cannot be opened: {wrong.strerror}"


def let_in(data: Path | None = None) -> None:
    """Make the keeper of a machine that only answers itself; beyond it, ask for a password.

    `data` is the folder that was named. Raises InputError where others could reach the app and
    nobody has to log in.
    """
    from django.conf import settings

    from leafgill.web.hosts import reaches_out
    from leafgill.web.store import keepers

    if not settings.BEYOND_THIS_MACHINE:
        keepers.first_keeper()
    elif not keepers.with_password():
        whose = keepers.without_password()
        how = f"password {whose[0]}" if whose else "add NAME"
        where = "" if data is None else f" --data {data}"
        why = (
            f"--host = {quoted(settings.HOST)} can be reached from other machines"
            if reaches_out(settings.HOST)
            else "a proxy, TLS or names of its own lead to it from other machines"
        )
        raise InputError(
            f"{why}, and no keeper has a password; first: leafgill keeper {how}{where}"
        )


def _run(listening: socket.socket, wanted: Wanted, data: Path) -> None:
    from django.conf import settings
    from django.db import connections

    from leafgill.web import notify, running, warming
    from leafgill.web.runners import runners
    from leafgill.web.server import Server
    from leafgill.web.working import rounds, worker
    from leafgill.web.wsgi import application

    connections.close_all()
    server = Server(
        application,
        listening,
        trusted_proxy=settings.TRUSTED_PROXY,
        tls=settings.TLS,
        each_turn=notify.Watchdog().beat,
    )
    server.stop_at_signals()
    worker.start()
    warming.start()
    rounds.listen()
    place = f"http://{_places(wanted.host)[0]}:{listening.getsockname()[1]}/"
    beside = running.Supervisor(runners(place))
    running.set_current(beside)
    beside.start()
    try:
        _tell(wanted, listening.getsockname()[1], data)
        log.info("started", extra={"place": place, "data": str(data)})
        notify.tell(notify.READY)
        if wanted.browser:
            open_browser(place)
        server.run()
    finally:
        notify.tell(notify.STOPPING)
        late = beside.stop()
        running.set_current(None)
        worker.stop()
        connections.close_all()
        log.info("stopped", extra={"late": late})


def _tell(wanted: Wanted, port: int, data: Path) -> None:
    """Say where the app is, before the first page is asked for."""
    from leafgill.web import clock

    for place in _places(wanted.host):
        print(f"Leaf & Gill is at http://{place}:{port}/")
    if wanted.demo:
        print(f"Two invented tanks, at {clock.now():%Y-%m-%d %H:%M}; all is gone when it ends.")
    else:
        print(f"Data in {data}")
    print("Ctrl-C ends it.", flush=True)


def _places(host: str) -> list[str]:
    """Return the addresses to type: the machine's own, and the one others find it at."""
    if host not in EVERY:
        bare = host.removeprefix("[").removesuffix("]")
        return [f"[{bare}]" if ":" in bare else bare]
    return list(dict.fromkeys(["127.0.0.1", *_outward()]))


def _outward() -> list[str]:
    """Return the address by which this machine goes out, where it has a network."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # nothing is sent: it only asks which way it would go (RFC 5737: nobody's address)
            probe.connect(("192.0.2.1", 9))
            return [str(probe.getsockname()[0])]
        except OSError:
            return []


def open_browser(url: str) -> None:
    """Open the app where somebody sits before a screen."""
    # without one only a browser within this terminal would be found, in the way of Ctrl-C
    shown = sys.platform in ("darwin", "win32") or any(
        os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY")
    )
    if shown and sys.stdout.isatty():
        webbrowser.open(url)
