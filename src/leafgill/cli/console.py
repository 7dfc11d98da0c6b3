"""Where answers go: text with or without colour, JSON, and a bar while something takes long."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Timer
from typing import Any

from rich.console import Console

from leafgill.answer.figures import plain

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
    """Write an answer as JSON on standard output, as UTF-8 whatever the terminal speaks."""
    text = json.dumps(plain(answer), indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    sys.stdout.flush()
    if hasattr(sys.stdout, "buffer"):
        sys.stdout.buffer.write(text.encode())
    else:
        sys.stdout.write(text)


class Waiting:
    """A bar on standard error, shown once a piece of work has taken over a second.

    Called with what is being done and the part that is done, 0 to 1. Nothing is shown where
    standard error is no terminal.
    """

    def __init__(self) -> None:
        from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

        columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
        self._bar = Progress(*columns, console=Console(stderr=True), transient=True)
        self._task = self._bar.add_task("working", total=1.0)
        # a timer, since long work may say nothing for a while
        self._later = Timer(_LONG_S, self._bar.start)
        self._later.daemon = True
        if self._bar.console.is_terminal:
            self._later.start()

    def __call__(self, what: str, part: float) -> None:
        """Tell what is being done and how far the work is."""
        self._bar.update(self._task, description=what, completed=part)

    def close(self) -> None:
        """Take the bar away."""
        self._later.cancel()
        if self._later.is_alive():
            self._later.join()
        if self._bar.live.is_started:
            self._bar.stop()


@contextmanager
def waiting() -> Iterator[Waiting]:
    """Give a bar for the time of a piece of work."""
    bar = Waiting()
    try:
        yield bar
    finally:
        bar.close()
