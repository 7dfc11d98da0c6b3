"""The app as a process of its own, started as anybody starts it, and killed as a power cut does."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import threading
from pathlib import Path

from bench.live.home import environment

COMMAND = (sys.executable, "-c", "from leafgill.cli import main; main()")
_START_S = 120.0


class App:
    """`leafgill serve` over a data folder."""

    def __init__(self, home: Path, database_url: str = "", port: int = 0) -> None:
        self.process = subprocess.Popen(
            [*COMMAND, "serve", "--port", str(port), "--no-browser", "--data", str(home)],
            env={**environment(home, database_url), "LEAFGILL_WORKER": "off"},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        self.port = self._wait()

    def _wait(self) -> int:
        assert self.process.stdout is not None
        watch = threading.Timer(_START_S, self.process.kill)
        watch.start()
        said, port = [], 0
        for line in self.process.stdout:
            said.append(line)
            found = re.match(r"Leaf & Gill is at http://127\.0\.0\.1:(\d+)/", line)
            port = int(found[1]) if found else port
            if line.startswith("Ctrl-C"):
                break
        watch.cancel()
        if not port:
            raise RuntimeError("the app did not start:\n" + "".join(said))
        return port

    def cpu_s(self) -> float:
        """Return the seconds of a core it has used so far, NaN where the system does not tell."""
        try:
            told = Path(f"/proc/{self.process.pid}/stat").read_text().rsplit(")", 1)[1].split()
        except OSError:
            return float("nan")
        return (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")

    def kill(self) -> None:
        """End it as a power cut does (SIGKILL)."""
        self.process.kill()
        self.process.wait()

    def stop(self) -> int:
        """Tell it to stop; return its exit code."""
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(timeout=60)
