"""What was made lately, kept in memory so that it is not made again."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock


class Kept:
    """The newest `most` things made, by their keys; safe among threads."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._lock = Lock()
        self._found: OrderedDict[str, bytes] = OrderedDict()

    def get(self, key: str, make: Callable[[], bytes]) -> bytes:
        """Return what a key stands for; where it is not there, it is made and kept.

        Two that ask at once may both make it: making must do nothing but make.
        """
        with self._lock:
            if key in self._found:
                self._found.move_to_end(key)
                return self._found[key]
        made = make()
        with self._lock:
            self._found[key] = made
            while len(self._found) > self._most:
                self._found.popitem(last=False)
        return made
