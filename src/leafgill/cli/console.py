"""Where answers go: text with or without colour, JSON, and a bar while something takes long."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from rich.console import Console

from leafgill.cli.figures import plain

# A bar for less than this only flickers.
_LONG_S = 1.0
_WIDEST = 100


def screen() -> Console:
    """Return the console for answers; colour only on a terminal, and never under NO_COLOR."""
    console = Console(highlight=False, soft_wrap=False)
    if console.width > _WIDEST:
        console.width = _WIDEST
    return console


def draws_boxes(console: Console) -> bool:
    """Return whether the output can hold more than ASCII."""
    encoding = (console.encoding or "ascii").lower().replace("-", "")
    return encoding.startswith("utf")


def print_json(answer: dict[str, Any]) -> None:
    """Write an answer as JSON on standard output."""
    text = json.dumps(plain(answer), indent=2, ensure_ascii=False, allow_nan=False)
    sys.stdout.write(text.encode(sys.stdout.encoding or "utf-8", "replace").decode(
        sys.stdout.encoding or "utf-8") + "\n")  # fmt: skip


class Waiting:
    """A bar on standard error, shown once a piece of work has taken over a second.

    Called with what is being done and the part that is done, 0 to 1. Nothing is shown where
    standard error is no terminal.
    """

    def __init__(self) -> None:
        self._began = time.monotonic()
        self._bar: Any = None
        self._console = Console(stderr=True)

    def __call__(self, what: str, part: float) -> None:
        """Tell how far the work is."""
        if not self._console.is_terminal:
            return
        if self._bar is None and time.monotonic() - self._began >= _LONG_S:
            from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

            columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
            self._bar = Progress(*columns, console=self._console, transient=True)
            self._bar.add_task(what, total=1.0)
            self._bar.start()
        if self._bar is not None:
            self._bar.update(self._bar.task_ids[0], description=what, completed=part)

    def close(self) -> None:
        """Take the bar away."""
        if self._bar is not None:
            self._bar.stop()


@contextmanager
def waiting() -> Iterator[Waiting]:
    """Give a bar for the time of a piece of work."""
    bar = Waiting()
    try:
        yield bar
    finally:
        bar.close()
