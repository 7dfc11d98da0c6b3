"""The readings a keeper could take next, each with what every draw says it would show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from leafgill.advise import instruments
from leafgill.advise.real_time import after
from leafgill.advise.situation import counted_rate
from leafgill.diary import Kind
from leafgill.estimate.belief import Belief
from leafgill.estimate.flow import count_sd
from leafgill.estimate.likelihood import SCALE_SD_G, kh_chance
from leafgill.estimate.readings import gas_seconds
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import DKH_MEQ_L
from leafgill.tank.schedule import window_in_force

_COUNT_S = 60.0
_USUAL_DROP_DKH = 1.0
_GLASS_H = 24.0
_WEIGHED_DAYS = 3.0


@dataclass(frozen=True)
class Candidate:
    """One possible reading: what each draw would have it show.

    Either `shows` [m] with the reading's own error `sd`, or `chances` [m, k] of k outcomes.
    """

    kind: str
    what: str
    how: str
    at: datetime
    shows: FloatArray | None = None
    sd: float = 1.0
    chances: FloatArray | None = None


def candidates(belief: Belief, at: datetime, *, checker: bool) -> list[Candidate]:
    """Return the readings that can be taken at an aware moment of the belief's days.

    The electrode is among them where one was read before, the drop checker where one hangs in
    the tank (`checker`), a count where gas was set, a weighing where one makes sense.
    """
    found = [_ph_by_hand(belief, at), *_glasses(belief, at), *_hardness(belief, at)]
    found.append(_oxygen(belief, at))
    if instruments.has_probe(belief):
        found.append(_ph_by_probe(belief, at))
    if checker:
        found.append(_colour(belief, at))
    if belief.problem.evidence.flow.start_s and float(np.mean(counted_rate(belief))) > 0.0:
        found += [_count(belief, at), _weighing(belief, at)]
    return found


def _ph_by_hand(belief: Belief, at: datetime) -> Candidate:
    shows = instruments.shown_ph(belief, instruments.HAND, belief.at("ph", at), at)
    return Candidate(
        Kind.PH,
        "hand pH test of the tank water",
        "Rinse the tube with tank water, fill it to the mark, compare with the card in daylight "
        "and write down the nearest step of the card.",
        at,
        shows,
        instruments.reading_sd(belief, instruments.HAND),
    )


def _ph_by_probe(belief: Belief, at: datetime) -> Candidate:
    shows = instruments.shown_ph(belief, instruments.PROBE, belief.at("ph", at), at)
    return Candidate(
        Kind.PH_PROBE,
        "pH by the electrode",
        "Let it hang in moving water until the figure stands still for a minute; write down both "
        "decimals.",
        at,
        shows,
        instruments.PROBE_SD,
    )


def _glasses(belief: Belief, at: datetime) -> list[Candidate]:
    """Degassed samples: a glass drawn at `at`, read a day later."""
    by_probe = instruments.has_probe(belief)
    with_what = instruments.PROBE if by_probe else instruments.HAND
    read = after(at, _GLASS_H)
    found = []
    for outdoors in (False, True):
        ph = instruments.glass_ph(belief, at, outdoors=outdoors)
        where = "outdoors, in the shade and out of the rain" if outdoors else "in the room"
        found.append(
            Candidate(
                Kind.DEGASSED_PH,
                f"degassed sample, stood {'outdoors' if outdoors else 'in the room'}",
                f"Draw a flat glass of tank water, let it stand {where} for a day, stir it now and "
                f"then, and read its pH where it stands, with the same {_named(with_what)} as "
                f'the tank\'s; note "{"outdoors" if outdoors else "indoor"}", how warm its water '
                'is ("14 C"), the instrument and when it was drawn.',
                at,
                instruments.shown_ph(belief, with_what, ph, read),
                instruments.glass_sd(outdoors, by_probe),
            )
        )
    return found


def _named(instrument: str) -> str:
    return "electrode" if instrument == instruments.PROBE else "test"


def _hardness(belief: Belief, at: datetime) -> list[Candidate]:
    """KH by whole drops, and by drops into twice the sample, each worth half as much."""
    alkalinity = belief.through("alkalinity_meq_l", np.array([at.timestamp()]))[:, 0]
    kh = alkalinity / DKH_MEQ_L
    drop = _drop_size(belief)
    return [
        Candidate(
            Kind.KH,
            "KH test",
            "Count the drops until the colour turns and stays; write down the whole drops.",
            at,
            chances=_drops(kh, drop),
        ),
        Candidate(
            Kind.KH,
            "KH test on a double sample",
            "Fill the tube to twice its mark and count the drops; each is worth half. Write down "
            f'half the drops and note "drop {0.5 * drop:g}".',
            at,
            chances=_drops(kh, 0.5 * drop),
        ),
    ]


def _drop_size(belief: Belief) -> float:
    """Return what a drop of the keeper's kit is worth [dKH]."""
    o = belief.problem.evidence.observations
    sizes = o.kh_high - o.kh_low
    return float(sizes[-1]) if sizes.size and sizes[-1] > 0.0 else _USUAL_DROP_DKH


def _drops(kh: FloatArray, drop: float) -> FloatArray:
    """Return the chance of each count of drops, from 1 on, [m, k]."""
    most = int(np.ceil(float(kh.max()) * 1.2 / drop)) + 2
    chances = np.array(
        [[kh_chance(value, (n - 1) * drop, n * drop) for n in range(1, most + 1)] for value in kh]
    )
    shares: FloatArray = chances / chances.sum(axis=1, keepdims=True)
    return shares


def _colour(belief: Belief, at: datetime) -> Candidate:
    at_s = at.timestamp()
    begin = max(at_s - 8.0 * 3600.0, float(belief.edges_s[0]))
    times = belief.edges_s[(belief.edges_s >= begin) & (belief.edges_s <= at_s)]
    times = np.append(times[times < at_s], at_s)
    if times.size < 2:
        times = np.array([at_s - 1.0, at_s])
    co2 = belief.through("model_co2", np.maximum(times, belief.edges_s[0]))
    shown = instruments.checker_shows(belief, times, co2, at_s)
    return Candidate(
        Kind.DROP_CHECKER,
        "a look at the drop checker",
        "Hold a white card behind it and compare with the colour card; it shows the water of an "
        "hour or two ago.",
        at,
        chances=instruments.colour_chances(belief, shown),
    )


def _oxygen(belief: Belief, at: datetime) -> Candidate:
    return Candidate(
        Kind.TEST,
        "oxygen test",
        "Fill the bottle under water without a bubble in it, add the reagents at once; note "
        '"oxygen".',
        at,
        belief.at("o2", at),
        instruments.O2_SD,
    )


def _count(belief: Belief, at: datetime) -> Candidate:
    rate = counted_rate(belief)
    return Candidate(
        Kind.BUBBLE_COUNT,
        "bubble count over a minute",
        'Count the bubbles of a whole minute while the gas runs; write the number with "60 s".',
        at,
        np.log(np.maximum(rate, 1e-6)),
        count_sd(float(np.mean(rate)), _COUNT_S),
    )


def _weighing(belief: Belief, at: datetime) -> Candidate:
    """The cylinder on the scale: against its earlier weights, else now and in three days."""
    problem = belief.problem
    evidence = problem.evidence
    bubble_g = 1e-3 * problem.value(belief.z, "bubble_mass")
    rates = problem.rates(belief.z, bent=False) * evidence.pressure_factor
    weighed = evidence.weighings
    what, how = "weight of the cylinder", "Weigh it as it was weighed before, to the gram."
    if weighed.mass_g.size:
        mine = weighed.cylinder == weighed.cylinder[-1]
        full = (weighed.mass_g[mine] + bubble_g[:, None] * (rates @ weighed.gas_s[mine].T)).mean(
            axis=1
        )
        so_far_s = gas_seconds(evidence.forcing, len(evidence.flow.start_s))
        shows = full - bubble_g * (rates @ so_far_s)
        sd = SCALE_SD_G * np.sqrt(1.0 + 1.0 / mine.sum())
    else:
        window = window_in_force(evidence.timeline.gas, evidence.now_s)
        seconds = _WEIGHED_DAYS * 3600.0 * (window.hours if window is not None else 0.0)
        shows = -bubble_g * rates[:, -1] * seconds
        sd = SCALE_SD_G * np.sqrt(2.0)
        what = "weight of the cylinder, now and in three days"
        how = "Weigh it with everything that stays screwed on, to the gram; again in three days."
    return Candidate(Kind.CYLINDER_MASS, what, how, at, shows, float(sd))
