"""How often somebody may ask: so many at once, and so many a second after that."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable


class Rates:
    """Counts what each one asks; safe among threads, and of bounded size.

    `burst` may be asked at once, and `per_s` more every second.
    """

    def __init__(
        self,
        burst: float,
        per_s: float,
        most: int = 20_000,
        steady: Callable[[], float] = time.monotonic,
    ) -> None:
        self._burst, self._per_s, self._most, self._steady = burst, per_s, most, steady
        self._lock = threading.Lock()
        # what each has left, and when that was
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def wait_s(self, who: str) -> float:
        """Count an asking; return how long somebody has to wait [s], 0 where it is let through."""
        now = self._steady()
        with self._lock:
            left, since = self._left.get(who, (self._burst, now))
            left = min(self._burst, left + (now - since) * self._per_s)
            if left < 1.0:
                return (1.0 - left) / self._per_s
            self._left[who] = (left - 1.0, now)
            self._left.move_to_end(who)
            while len(self._left) > self._most:
                self._left.popitem(last=False)
        return 0.0
