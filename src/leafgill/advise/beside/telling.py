"""Whether any reading could change the step: each is taken in thought, and the rules asked again.

As the readings are ranked (preposterior analysis; Raiffa & Schlaifer 1961, Applied Statistical
Decision Theory, cited from memory, not checked against the book), but what is asked of the weighed
draws is not how wide they lie: it is whether they would still say "leave it".
"""

from __future__ import annotations

import numpy as np

from leafgill.advise.beside.gates import MET_WITHIN
from leafgill.advise.candidates import Candidate, candidates
from leafgill.advise.case import Case
from leafgill.advise.instruments import reads_colour
from leafgill.advise.measure import in_thought, most_telling
from leafgill.advise.rules import within_rule_1
from leafgill.advise.step import Reason, held
from leafgill.diary import Diary

# A belief is narrow enough where the most telling reading changes the step no more often.
MOST_CHANGES = 0.10


def no_reading_would_change_it(hold: Case, diary: Diary) -> Reason:
    """Return the chance that the reading most likely to change the step would change it."""
    situation = hold.situation
    at = most_telling(situation.belief, situation.now)
    ones = candidates(situation.belief, at, checker=reads_colour(diary))
    chances = [chance_of_change(hold, one) for one in ones]
    worst = int(np.argmax(chances))
    text = (
        f"the reading most likely to change the step ({ones[worst].what}) would do so with a "
        f"chance of {chances[worst]:.0%}; up to {MOST_CHANGES:.0%} the belief is narrow enough"
    )
    return held(text, chances[worst], "<=", MOST_CHANGES, 0, "telling")


def chance_of_change(hold: Case, candidate: Candidate) -> float:
    """Return the chance that after a reading the target is no longer met or rule 1 fails."""
    weights, odds = in_thought(candidate)
    if not odds.size:
        return 0.0
    shares = weights / weights.sum(axis=1, keepdims=True)
    limits = hold.situation.limits
    off = np.abs(shares @ hold.lit_draws / limits.target_mg_l - 1.0) > MET_WITHIN
    broken = ~within_rule_1(
        shares @ (hold.peak > limits.co2_mg_l).astype(np.float64),
        shares @ (hold.peak > limits.co2_danger_mg_l).astype(np.float64),
        shares @ (hold.least_o2 < limits.o2_min_mg_l).astype(np.float64),
    )
    return float(np.sum(odds * (off | broken)))
