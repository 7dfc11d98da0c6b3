"""What a person sees when something goes wrong: one line, and where the detail lies."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from leafgill.log_lines import STDERR, failure_line, named_log

NAME = "leafgill"


def one_line(text: str) -> str:
    """Return a message in one line that cannot steer a terminal."""
    return "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))


def complain(text: str) -> None:
    """Write one line to standard error."""
    print(f"{NAME}: {one_line(text)}", file=sys.stderr)


def log_path() -> Path:
    """Return the file that details of unforeseen failures go to.

    `LEAFGILL_LOG` names it; otherwise it lies where the platform keeps a program's state.
    """
    named = named_log()
    return Path(named).expanduser() if named else _state_folder() / f"{NAME}.log"


def _state_folder() -> Path:
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / NAME
    if sys.platform == "darwin":
        return home / "Library" / "Logs" / NAME
    # XDG Base Directory Specification 0.8
    return Path(os.environ.get("XDG_STATE_HOME") or home / ".local" / "state") / NAME


def record(error: BaseException) -> str:
    """Log an unforeseen failure in full; return the line to show for it."""
    what = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
    said = f"this should not have happened ({what}); nothing was changed"
    detail = failure_line(error)
    if named_log() == STDERR:
        sys.stderr.write(detail)
        return f"{said}; the detail stands above"
    path = log_path()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("a", encoding="utf-8", errors="backslashreplace") as log:
            log.write(detail)
    except OSError as wrong:
        return f"{said}; no detail could be kept, {path} cannot be written ({wrong.strerror})"
    return f"{said}; the detail is in {path}"
