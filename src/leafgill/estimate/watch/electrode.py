"""Is the electrode alive? What its readings show by themselves, without a tank behind them."""

from __future__ import annotations

import math

from leafgill.diary.sensors import SENSORS

# So many in a row that can be no pH are no slip of the logger's.
_BAD_ROW = 3
# Nothing heard for this long, or for so many of the usual gaps, is silence [s].
_SILENT_S, _SILENT_GAPS = 1800.0, 6.0
# A live electrode shows the same figure this long, this often, only when it always did [s].
_FLAT_S, _FLAT_ROW, _FLAT_TIMES = 2700.0, 15, 3.0


class Electrode:
    """What the stream has been like; `dead` says why it is not to be believed, or is empty."""

    def __init__(self) -> None:
        self.dead = ""
        self.since_s = math.nan
        self.last_s = math.nan
        self._gap_s = math.nan
        self._bad = 0
        self._bad_since_s = math.nan
        self._value = math.nan
        self._run_since_s = math.nan
        self._run = 0
        self._longest_s = 0.0

    def take(self, at_s: float, ph: float) -> bool:
        """Take a raw reading; return whether it can be used."""
        if not math.isnan(self.last_s):
            gap = at_s - self.last_s
            self._gap_s = gap if math.isnan(self._gap_s) else min(gap, 1.2 * self._gap_s)
        self.last_s = at_s
        low, high = SENSORS["ph"].accepted
        if not low <= ph <= high:
            self._bad += 1
            if self._bad == 1:
                self._bad_since_s = at_s
            if self._bad >= _BAD_ROW:
                self._die(f"shows {ph:g}, which is no pH", self._bad_since_s)
            return False
        self._bad = 0
        if ph == self._value:
            self._run += 1
        else:
            if not self.dead:
                self._longest_s = max(self._longest_s, at_s - self._run_since_s)
            self._value, self._run, self._run_since_s = ph, 1, at_s
            self.dead = ""
        if self._is_flat(at_s):
            self._die(f"shows {ph:g} without a change", self._run_since_s)
        return not self.dead

    def heard_of(self, now_s: float) -> None:
        """Notice silence up to a moment."""
        if math.isnan(self.last_s):
            return
        gap = 0.0 if math.isnan(self._gap_s) else self._gap_s
        if now_s - self.last_s > max(_SILENT_S, _SILENT_GAPS * gap):
            self._die("sends nothing", self.last_s)

    def _is_flat(self, at_s: float) -> bool:
        lasted = at_s - self._run_since_s
        stuck_s = 3600.0 * SENSORS["ph"].stuck_h
        usual = max(_FLAT_S, _FLAT_TIMES * self._longest_s)
        return self._run >= _FLAT_ROW and lasted >= min(usual, stuck_s)

    def _die(self, how: str, since_s: float) -> None:
        if not self.dead:
            self.dead, self.since_s = how, since_s
