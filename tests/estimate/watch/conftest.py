"""A tank followed: readings of it as believed and with each fault, made by the lanes themselves."""

from dataclasses import replace

import numpy as np
import pytest

from leafgill.estimate.watch.branches import LANES, Branch
from leafgill.estimate.watch.seen import PROBE, expected
from leafgill.estimate.watch.tracker import Tracker


def readings(played, belief, hours, fault=None, onset_h=0.0, jump=0.0, seed=3):
    """(Seconds, pH) every ten minutes of one of the members; `fault` begins `onset_h` later."""
    tracker = Tracker.of(played.tank, played.diary, belief, seed=seed)
    pursuit, rng = tracker.pursuit, np.random.default_rng(seed)
    start_s = belief.now.timestamp()
    mine, begun = int(pursuit.branches.chosen[0]), None
    which = np.array([mine])
    out = []
    while pursuit.next_s <= start_s + 3600.0 * hours:
        if fault is not None and begun is None and pursuit.next_s > start_s + 3600.0 * onset_h:
            begun = Branch(fault, pursuit.now_s, 0.0)
            pursuit._begin(begun)
        pursuit.step()
        state = pursuit.state[which]
        if begun is not None:
            place = next(
                k for k, b in enumerate(pursuit.branches.all)
                if b.fault is fault and b.onset_s == begun.onset_s
            )  # fmt: skip
            state = pursuit.branches.state[place * LANES][None]
            pursuit.branches._keep(  # no other is wanted here
                np.arange(len(pursuit.branches.all)) == place, np.zeros(len(pursuit.branches.all))
            )
        at_s = pursuit.now_s
        waves, straying = pursuit._off(at_s)
        shown = expected(
            PROBE, pursuit.members, which, state, waves=waves, straying=straying,
            log_rate=np.zeros(1), hours=(at_s - pursuit.members.origin_s) / 3600.0,
        )  # fmt: skip
        off = jump if at_s > start_s + 3600.0 * onset_h else 0.0
        out.append((at_s, float(shown[0]) + off + rng.normal(0.0, 0.008)))
    return out


@pytest.fixture(scope="session")
def made():
    """Return a maker of readings: played tank, belief, hours, fault, onset, jump."""
    return readings


def followed(played, belief, rows, kinds=(), seed=0):
    """(Tracker, seconds of the first alert, that alert); of one that names a kind, if given."""
    tracker = Tracker.of(played.tank, played.diary, belief, seed=seed)
    for at_s, ph in rows:
        found = tracker.take(at_s, ph)
        told = [a for a in found.alerts if not kinds or set(kinds) & set(a.kinds)]
        if told:
            return tracker, at_s, told[0]
    return tracker, None, None


@pytest.fixture(scope="session")
def follow():
    """Return a follower of readings up to the first alert."""
    return followed


@pytest.fixture(scope="session")
def row_of():
    """Return a finder of hypotheses by kind and one field's sign."""
    from leafgill.estimate.watch.hypotheses import HYPOTHESES

    def find(kind, **wanted):
        for row in HYPOTHESES:
            if row.kind == kind and all(getattr(row, k) == v for k, v in wanted.items()):
                return replace(row)
        raise LookupError(kind)

    return find
