"""What is over and done is taken as it is: a change of water that nobody wrote down."""

from __future__ import annotations

import numpy as np

from leafgill.estimate.watch.branches import LANES
from leafgill.estimate.watch.members import PH, USED
from leafgill.estimate.watch.pursuit import TEMPER, Pursuit

_LEAST = 1e-6


def best_change(pursuit: Pursuit) -> int | None:
    """Return which branch explains most by water that was changed; None where none does."""
    branches = pursuit.branches
    changed = np.array([b.fault.change > 0.0 for b in branches.all])
    if not changed.any():
        return None
    return int(np.argmax(np.where(changed, branches.log_weights(TEMPER), -np.inf)))


def settle(pursuit: Pursuit, branch: int) -> None:
    """Believe a branch from now on: members and innovations take its shift, doubts begin anew.

    Its lanes are a few of the members, so all members are moved by what these have moved in the
    mean: in pH and grams by a difference, in all else by a factor.
    """
    branches, ledger = pursuit.branches, pursuit.ledger
    theirs = branches.state[branch * LANES : (branch + 1) * LANES]
    ours = pursuit.state[branches.chosen]
    logs = np.log(np.maximum(theirs, _LEAST)) - np.log(np.maximum(ours, _LEAST))
    moved = pursuit.state * np.exp(logs.mean(axis=0))
    for column in (PH, USED):
        moved[:, column] = pursuit.state[:, column] + (theirs - ours)[:, column].mean()
    pursuit.state = moved
    ledger.innovations[:] -= branches.shifts[branch, : ledger.count]
    pursuit.doubt_anew()
