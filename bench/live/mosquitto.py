"""A real broker (Mosquitto) of one's own, that can be stopped and started again."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import time
from pathlib import Path


def binary() -> str | None:
    """Return where Mosquitto is, None where it is not."""
    return shutil.which("mosquitto") or shutil.which("mosquitto", path="/usr/sbin:/sbin")


def free_port() -> int:
    """Return a port that nobody listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Mosquitto:
    """A broker at a port of this machine, which keeps its sessions in a folder."""

    def __init__(self, folder: Path, *more: str) -> None:
        self.port = free_port()
        self._config = folder / "mosquitto.conf"
        self._log = folder / "mosquitto.log"
        lines = [
            f"listener {self.port} 127.0.0.1",
            "persistence true",
            f"persistence_location {folder}/",
            "max_queued_messages 0",
            *(() if any("allow_anonymous" in line for line in more) else ("allow_anonymous true",)),
            *more,
        ]
        if os.name != "nt" and os.getuid() == 0:
            lines.append("user root")
        self._config.write_text("\n".join(lines) + "\n")
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it, and wait until it answers."""
        found = binary()
        if found is None:
            raise SystemExit("mosquitto is not there; on Debian: apt-get install mosquitto")
        with self._log.open("ab") as log:
            self._process = subprocess.Popen([found, "-c", str(self._config)], stderr=log)
        until = time.monotonic() + 20
        while time.monotonic() < until:
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", self.port)) == 0:
                    return
            time.sleep(0.02)
        raise RuntimeError(f"the broker does not answer:\n{self._log.read_text()}")

    def stop(self) -> None:
        """Stop it as a restart of the machine does; it writes its sessions down."""
        if self._process is not None:
            self._process.terminate()
            self._process.wait(timeout=30)
            self._process = None
