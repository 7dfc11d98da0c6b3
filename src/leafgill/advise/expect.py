"""What will be seen at the next look, and at which signs to close the valve back."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

import numpy as np
from scipy.special import ndtri

from leafgill.advise import instruments
from leafgill.advise.forecast import Outlook
from leafgill.advise.situation import Situation
from leafgill.advise.step import Expect
from leafgill.estimate.belief import LEVEL, Belief, interval
from leafgill.science.compiled import FloatArray
from leafgill.science.indicator import COLOURS

# Colours are named until the odds of another are below this.
_UNLIKELY = 0.10
# A checker is followed from this long before the look [h].
_CHECKER_H = 8.0
# The reading to close back at leaves this chance of being beyond the limit unnoticed.
_UNNOTICED = 0.10


class CloseBack(NamedTuple):
    """When to close the valve back: in words, and the pH on the keeper's instrument."""

    words: str
    ph: float


def expect_at(situation: Situation, ahead: Outlook, at: datetime) -> Expect:
    """Return what the keeper's own instruments will show at a moment within the outlook."""
    belief = situation.belief
    instrument = instruments.instrument_of(belief)
    shown = instruments.shown_ph(belief, instrument, ahead.at("ph", at.timestamp()), at)
    noisy = shown + instruments.reading_sd(belief, instrument) * _noise(belief.count)
    return Expect(
        ph=interval(noisy),
        colour=likely_colours(belief, ahead, at),
        co2=interval(ahead.at("co2", at.timestamp())),
        instrument=instrument,
    )


def likely_colours(belief: Belief, ahead: Outlook, at: datetime) -> tuple[str, ...]:
    """Return the colours the drop checker may show at a moment, blue to yellow.

    Neighbours on the card that together are nine times in ten right.
    """
    times, co2 = _with_past(belief, ahead, at)
    shown = instruments.checker_shows(belief, times, co2, at.timestamp())
    chance = instruments.colour_chances(belief, shown).mean(axis=0)
    low, high = 0, len(COLOURS) - 1
    while low < high and chance[low : high + 1].sum() - min(chance[low], chance[high]) >= (
        1.0 - _UNLIKELY
    ):
        if chance[low] <= chance[high]:
            low += 1
        else:
            high -= 1
    return COLOURS[low : high + 1]


def _with_past(belief: Belief, ahead: Outlook, at: datetime) -> tuple[FloatArray, FloatArray]:
    """Return times and CO2 [m, n] from hours before a look: as it was, then as it will be."""
    begin = max(at.timestamp() - _CHECKER_H * 3600.0, float(belief.edges_s[0]))
    past = belief.edges_s[(belief.edges_s >= begin) & (belief.edges_s < ahead.times_s[0])]
    before = belief.through("model_co2", past) if past.size else np.empty((belief.count, 0))
    return (
        np.concatenate([past, ahead.times_s]),
        np.concatenate([before, ahead.model_co2], axis=1),
    )


def close_back(situation: Situation, ahead: Outlook, at: datetime, then: str) -> CloseBack:
    """Return the signs at a moment at which to close the valve back; `then` says how far.

    For each draw the reading is worked out at which its worst place is at the animals' limit:
    at constant alkalinity pH falls by as many units as CO2 rises by powers of ten. The reading
    named is the lowest expected, but never one that leaves more than half of the draws beyond
    the limit, and never higher than where nine in ten would still be within it.
    """
    belief, limit = situation.belief, situation.limits.co2_mg_l
    instrument = instruments.instrument_of(belief)
    at_s = at.timestamp()
    at_limit = ahead.at("ph", at_s) + np.log10(ahead.at("co2_max", at_s) / limit)
    sd = instruments.reading_sd(belief, instrument)
    noise = sd * _noise(belief.count)
    readings = instruments.shown_ph(belief, instrument, at_limit, at) + noise
    expected = instruments.shown_ph(belief, instrument, ahead.at("ph", at_s), at) + noise
    middle, cautious = np.quantile(readings, [0.5, 1.0 - _UNNOTICED])
    lowest = np.quantile(expected, (1.0 - LEVEL) / 2.0)
    step = instruments.reading_step(belief, instrument)
    ph = float(np.ceil(np.clip(lowest, middle, cautious) / step - 1e-9) * step)
    with_what = "on the probe" if instrument == instruments.PROBE else "by the hand test"
    colours = " or ".join(instruments.colours_above(belief, limit))
    words = (
        f"pH below {ph:.2f} {with_what}, a drop checker that is {colours}, or animals that breathe "
        f"fast, hang at the surface or lie still: {then}"
    )
    return CloseBack(words, round(ph, 2))


def _noise(count: int) -> FloatArray:
    """Return normal scores in a fixed shuffled order, for errors of reading."""
    shuffled = np.random.default_rng([count, 1]).permutation(count)
    scores: FloatArray = ndtri((shuffled + 0.5) / count)
    return scores
