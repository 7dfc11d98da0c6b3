"""Readings as a watch takes them, and what a lane would show an instrument."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leafgill.diary import Diary, Kind
from leafgill.estimate.evidence import Evidence
from leafgill.estimate.flow import count_sd
from leafgill.estimate.likelihood import COLOUR_SD, SCALE_SD_G
from leafgill.estimate.readings import hand_ph_sd, kh_intervals
from leafgill.estimate.watch.members import ALKALINITY, CHECKER, PH, USED, Members
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import DKH_MEQ_L
from leafgill.science.electrode import drifted_offset_ph, shown_ph
from leafgill.science.indicator import COLOURS, co2_boundaries_mg_l
from leafgill.tank.trends import grown

PROBE, HAND, COLOUR, COUNT, NO_BUBBLES, MASS, KH = (
    "probe", "hand pH", "colour", "count", "no bubbles", "weight", "KH",
)  # fmt: skip
# A valve shut or a line blocked lets this much through as far as a count can tell [log of 1/s].
LEAST_LOG_RATE = math.log(0.02)
_COLOUR_STEP_SD = 0.15
_SLIPPED = 1.5


class Seen(NamedTuple):
    """One reading: `value` in the measure of `expected`, with what its instrument scatters."""

    at_s: float
    what: str
    value: float
    sd: float
    shown: str


def from_diary(evidence: Evidence, diary: Diary, since_s: float) -> list[Seen]:
    """Return the hand readings of a diary after a moment, in order of time."""
    found: list[Seen] = []
    bounds = np.log(np.array(co2_boundaries_mg_l(evidence.tank.temperature_c, 4.0)))
    sd = hand_ph_sd(diary.of(Kind.PH))
    for entry in diary.of(Kind.PH, Kind.DROP_CHECKER, Kind.BUBBLE_COUNT, Kind.CYLINDER_MASS):
        at = entry.time.timestamp()
        if at <= since_s:
            continue
        if entry.kind is Kind.PH:
            found.append(Seen(at, HAND, entry.number, sd, f"pH {entry.number:g} by the hand test"))
        elif entry.kind is Kind.DROP_CHECKER:
            found.append(_colour(at, entry.word, bounds))
        elif entry.kind is Kind.CYLINDER_MASS:
            shown = f"the cylinder weighs {entry.number:.0f} g"
            found.append(Seen(at, MASS, entry.number, SCALE_SD_G, shown))
        elif entry.number > 0.0:
            spread = count_sd(entry.number, entry.seconds or 10.0)
            shown = f"{entry.number:.2g} bubbles a second counted"
            found.append(Seen(at, COUNT, math.log(entry.number), spread, shown))
        else:
            found.append(Seen(at, NO_BUBBLES, LEAST_LOG_RATE, 0.3, "no bubbles counted"))
    for at, low, high in kh_intervals(diary):
        if at > since_s:
            middle = max(0.5 * (low + high), 0.25)
            spread = math.hypot((high - low) / math.sqrt(12.0), 0.05 * middle)
            found.append(Seen(at, KH, math.log(middle), spread / middle, f"KH {high:g} dKH"))
    return sorted(found)


def _colour(at: float, word: str, bounds: FloatArray) -> Seen:
    """A colour as the log of the CO2 it stands for, at 4 dKH; the ends are open."""
    level = COLOURS.index(word)
    step = float(np.diff(bounds).mean())
    low = bounds[level - 1] if level else bounds[0] - step
    high = bounds[level] if level < bounds.size else bounds[-1] + step
    sd = math.sqrt((_SLIPPED * (high - low)) ** 2 / 12.0 + COLOUR_SD**2)
    return Seen(at, COLOUR, 0.5 * (low + high), sd, f"the drop checker is {word}")


def open_ended(seen: Seen, expected: float) -> bool:
    """Return whether a colour at an end of the card says no more than was expected."""
    if seen.what != COLOUR:
        return False
    word = seen.shown.rsplit(" ", 1)[-1]
    return (word == COLOURS[0] and expected < seen.value) or (
        word == COLOURS[-1] and expected > seen.value
    )


def expected(
    what: str,
    members: Members,
    which: NDArray[np.int64],
    state: FloatArray,
    *,
    waves: FloatArray,
    straying: FloatArray,
    log_rate: FloatArray,
    hours: float,
) -> FloatArray:
    """Return what lanes [k] would show: pH, log of CO2, of bubbles or of KH, or grams.

    `waves` [m] and `straying` [m] are each member's, off the model's pH at the moment; `log_rate`
    [k] of the bubbles; `hours` on the clock of the draws' trends.
    """
    traits = members.traits
    off = (waves + straying)[which]
    if what == PROBE:
        offset = drifted_offset_ph(members.offset, traits.drift, hours / 24.0)
        shown: FloatArray = shown_ph(state[:, PH] + off, offset[which], traits.slope[which])
        return shown
    if what == HAND:
        return np.asarray(state[:, PH] + off + traits.hand[which])
    if what == COLOUR:
        at_4_dkh = np.log(np.maximum(state[:, CHECKER], 1e-2)) - math.log(10.0) * off
        return np.asarray(at_4_dkh - np.log(traits.checker_kh[which] / 4.0))
    if what in (COUNT, NO_BUBBLES):
        return np.maximum(log_rate, LEAST_LOG_RATE)
    if what == KH:
        trend = grown(members.draws.alkalinity_trend_per_day, hours)
        return np.asarray(np.log(state[:, ALKALINITY] * trend[which] / DKH_MEQ_L))
    return np.asarray(members.full_g[which] - state[:, USED])
