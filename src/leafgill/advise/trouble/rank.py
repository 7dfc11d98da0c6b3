"""Causes of what is seen, ranked by what this tank's record says for and against each."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from leafgill.advise.figure import Figure
from leafgill.advise.trouble.cause import Cause
from leafgill.advise.trouble.causes_animals import ANIMALS
from leafgill.advise.trouble.causes_gas import GAS
from leafgill.advise.trouble.causes_plants import PLANTS
from leafgill.advise.trouble.clue import Clue
from leafgill.advise.trouble.symptoms import Symptom

CAUSES: dict[str, Cause] = {cause.key: cause for cause in (*ANIMALS, *PLANTS, *GAS)}
OTHER = Cause(
    "other", "Something else", "none of the causes listed here.",
    "look for what changed in the days before", "write down what is seen, and when it began",
)  # fmt: skip
# Clues are taken as independent, which they are not quite; together they move no cause further
# than this either way. The factors themselves may be half or once more as telling, which gives
# the ends of each share (choices of ours).
MOST = 40.0
_ENDS = (0.5, 1.0, 1.5)
# Told apart is what is more likely than all others together, and backed by something.
LIKELY, _TELLS = 0.5, 1.5


class Ground(NamedTuple):
    """A clue that bears on a cause, and by how much it makes it likelier (above 1) or less."""

    clue: Clue
    factor: float


@dataclass(frozen=True)
class Suspect:
    """A cause with its share among the causes: by the record, and as it is without one.

    `low` and `high` are the share if the clues were half or once more as telling. `factor` is how
    much the record changes it. `grounds` are the clues that were known, the most telling first,
    `unknown` those the record does not tell of.
    """

    cause: Cause
    share: float
    low: float
    high: float
    usual: float
    factor: float
    grounds: tuple[Ground, ...]
    unknown: tuple[Clue, ...]


@dataclass(frozen=True)
class Trouble:
    """A symptom with its causes, the likeliest first.

    `verdict` is "known" where one cause is likelier than all others together, "not told apart"
    where some clue speaks but none decides, "not known" where the record tells nothing of it.
    `ask` is what would tell most, the most useful first.
    """

    symptom: Symptom
    suspects: tuple[Suspect, ...]
    verdict: str
    ask: tuple[str, ...]

    @property
    def first(self) -> Suspect:
        """The likeliest cause."""
        return self.suspects[0]

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The figures behind all clues that were known, each once."""
        found = {
            figure.key: figure
            for suspect in self.suspects
            for ground in suspect.grounds
            for figure in ground.clue.figures
        }
        return tuple(found.values())


def rank(symptom: Symptom, clues: Mapping[str, Clue] | Iterable[Clue]) -> Trouble:
    """Return the causes of a symptom by Bayes' rule: how often times how the clues speak.

    A clue with chance p speaks with p times its factor when it holds plus 1 - p times that when
    it does not; one that is not known says nothing. Raises KeyError where a cause names a clue
    that is not among those given. Once the thing itself is known ("oxygen fell too low"), what
    only hints at it ("no air at night") says nothing more and is left out.
    """
    table = clues if isinstance(clues, Mapping) else {clue.key: clue for clue in clues}
    weights = {CAUSES[key]: weight for key, weight in symptom.causes.items()}
    grounds = {cause: _grounds(cause, table) for cause in weights}
    factors = {cause: _together(found) for cause, found in grounds.items()}
    weights[OTHER], grounds[OTHER], factors[OTHER] = symptom.other, ((), ()), 0.0
    usual = sum(weights.values())
    shares = [_shares(weights, factors, power) for power in _ENDS]
    suspects = [
        Suspect(
            cause,
            shares[1][cause],
            min(part[cause] for part in shares),
            max(part[cause] for part in shares),
            weight / usual,
            math.exp(factors[cause]),
            grounds[cause][0],
            grounds[cause][1],
        )
        for cause, weight in weights.items()
    ]
    suspects.sort(key=lambda one: (-one.share, one.cause.key))
    return Trouble(symptom, tuple(suspects), _verdict(suspects), _ask(suspects))


def factor_of(holds: float, fails: float, chance: float) -> float:
    """Return by how much a clue of this chance makes a cause likelier.

    The two factors hold their own base rate: at the chance where this is 1 the clue says nothing.
    """
    return chance * holds + (1.0 - chance) * fails


def _grounds(
    cause: Cause, clues: Mapping[str, Clue]
) -> tuple[tuple[Ground, ...], tuple[Clue, ...]]:
    known, unknown = [], []
    links = [one for one in cause.links if one.is_it and clues[one.clue].known] or cause.links
    for one in links:
        clue = clues[one.clue]
        if clue.chance is None:
            unknown.append(clue)
        else:
            known.append(Ground(clue, factor_of(one.holds, one.fails, clue.chance)))
    known.sort(key=lambda ground: -abs(math.log(ground.factor)))
    return tuple(known), tuple(unknown)


def _together(grounds: tuple[tuple[Ground, ...], tuple[Clue, ...]]) -> float:
    """Return the logarithm of all factors together, held within MOST either way."""
    total = sum(math.log(ground.factor) for ground in grounds[0])
    return max(-math.log(MOST), min(math.log(MOST), total))


def _shares(
    weights: Mapping[Cause, float], factors: Mapping[Cause, float], power: float
) -> dict[Cause, float]:
    raw = {cause: weight * math.exp(power * factors[cause]) for cause, weight in weights.items()}
    total = sum(raw.values())
    return {cause: value / total for cause, value in raw.items()}


def _verdict(suspects: list[Suspect]) -> str:
    if not any(one.grounds for one in suspects):
        return "not known"
    first = suspects[0]
    backed = first.cause is not OTHER and first.factor >= _TELLS
    return "known" if first.share > LIKELY and backed else "not told apart"


def _ask(suspects: list[Suspect], most: int = 3) -> tuple[str, ...]:
    """Return what would tell most: by the share of the causes it bears on, and how much it does."""
    worth: dict[str, float] = {}
    for suspect in suspects:
        bears = {one.clue: one for one in suspect.cause.links}
        for clue in suspect.unknown:
            if clue.ask:
                one = bears[clue.key]
                told = suspect.share * math.log(one.holds / one.fails)
                worth[clue.ask] = worth.get(clue.ask, 0.0) + abs(told)
    return tuple(sorted(worth, key=lambda ask: -worth[ask])[:most])
