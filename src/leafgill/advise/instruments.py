"""What the keeper's instruments would show, draw by draw: the belief's own laws, run forward."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from leafgill.diary import Diary, Kind
from leafgill.estimate.belief import Belief, along
from leafgill.estimate.likelihood import (
    COLOUR_SD,
    O2_SD,
    OUTDOOR_PPM,
    colour_chance,
    glass_sd,
    rest_ph,
)
from leafgill.science.compiled import FloatArray
from leafgill.science.electrode import drifted_offset_ph
from leafgill.science.electrode import shown_ph as shown_by_electrode
from leafgill.science.indicator import COLOURS, co2_boundaries_mg_l, lagged

PROBE, HAND = "probe", "hand"
__all__ = ["COLOUR_SD", "O2_SD", "OUTDOOR_PPM", "glass_sd"]

# Errors of one reading of pH beside what the draws carry (choices of ours); those of the other
# instruments are the likelihood's own.
PROBE_SD = 0.015  # noise, two decimals, and the minute it was read [pH]
HAND_SD = 0.104  # eye and a step of 0.1 [pH]
_IN_USE_H = 24.0
_LN10 = float(np.log(10.0))


def instrument_of(belief: Belief) -> str:
    """Return what pH is read with, "probe" or "hand": the probe while it is in use.

    It is when it was read within a day of the last pH; by hand when no pH was ever read.
    """
    o = belief.problem.evidence.observations
    if not o.ph_h.size:
        return HAND
    lately = o.ph_h >= o.ph_h[-1] - _IN_USE_H
    return PROBE if bool((o.ph_probe[lately] > 0.5).any()) else HAND


def has_probe(belief: Belief) -> bool:
    """Whether an electrode was ever read."""
    return bool((belief.problem.evidence.observations.ph_probe > 0.5).any())


def reads_colour(diary: Diary) -> bool:
    """Whether a drop checker hangs in the tank."""
    return bool(diary.of(Kind.DROP_CHECKER))


def reading_sd(belief: Belief, instrument: str) -> float:
    """Return the error of one pH reading [pH], the step it is read to included."""
    if instrument == PROBE:
        return PROBE_SD
    o = belief.problem.evidence.observations
    by_hand = o.ph_sd[o.ph_probe < 0.5]
    return float(np.median(by_hand)) if by_hand.size else HAND_SD


def reading_step(belief: Belief, instrument: str) -> float:
    """Return the step a pH reading is read to: 0.01 of a probe, 0.1 or 0.2 of a hand test."""
    if instrument == PROBE:
        return 0.01
    # A step of 0.2 widens the error past what 0.1 makes of it.
    return 0.2 if reading_sd(belief, HAND) > 0.11 else 0.1


def shown_ph(belief: Belief, instrument: str, ph: FloatArray, at: datetime) -> FloatArray:
    """Return what the instrument shows of each draw's true pH [m] at a moment, noise aside."""
    traits = belief.problem.traits(belief.z)
    if instrument == HAND:
        by_hand: FloatArray = ph + traits.hand
        return by_hand
    days = (at.timestamp() - belief.problem.evidence.start_s) / 86400.0
    offset = drifted_offset_ph(traits.offset[:, -1], traits.drift, days)
    shown: FloatArray = shown_by_electrode(ph, offset, traits.slope)
    return shown


def glass_ph(belief: Belief, at: datetime, *, outdoors: bool) -> FloatArray:
    """Return the true pH of a glass of the water at a moment once it is at rest with air, [m]."""
    traits = belief.problem.traits(belief.z)
    alkalinity = belief.through("alkalinity_meq_l", np.array([at.timestamp()]))[:, 0]
    air = np.full(belief.count, OUTDOOR_PPM) if outdoors else traits.room_ppm
    warm = np.full(belief.count, belief.tank.temperature_c)
    columns = zip(
        *(air, alkalinity, warm, traits.gh, traits.salt, traits.non_carbonate, traits.acid_pka),
        strict=True,
    )
    return np.array([rest_ph(*row) for row in columns])


def checker_shows(
    belief: Belief, times_s: FloatArray, co2_mg_l: FloatArray, at_s: float
) -> FloatArray:
    """Return the CO2 a drop checker has caught up with at a moment [mg/L], [m].

    `co2_mg_l` [m, n] at `times_s` [n], from a few hours before on.
    """
    times_h = (times_s - times_s[0]) / 3600.0
    lag = belief.problem.traits(belief.z).checker_lag
    behind = lagged(times_h, co2_mg_l, lag)
    return along(times_s, behind, np.array([at_s]))[:, 0]


def colour_chances(belief: Belief, shown_co2_mg_l: FloatArray) -> FloatArray:
    """Return the chance of each colour for the CO2 a checker shows, [m, 5], blue to yellow."""
    traits = belief.problem.traits(belief.z)
    bounds = np.log(np.asarray(co2_boundaries_mg_l(belief.tank.temperature_c, 4.0)))
    shift = np.log(traits.checker_kh / 4.0)
    sd = np.hypot(COLOUR_SD, _LN10 * traits.roughness)
    log_co2 = np.log(np.maximum(shown_co2_mg_l, 1e-3))
    return np.array(
        [
            [colour_chance(level, log_co2[i], bounds, shift[i], sd[i]) for level in range(5)]
            for i in range(belief.count)
        ]
    )


def colours_above(belief: Belief, co2_mg_l: float) -> tuple[str, ...]:
    """Return the colours that stand for more CO2 than this, by a reference of 4 dKH."""
    bounds = np.asarray(co2_boundaries_mg_l(belief.tank.temperature_c, 4.0))
    first = int(np.searchsorted(bounds, co2_mg_l)) + 1
    return COLOURS[min(first, len(COLOURS) - 1) :]
