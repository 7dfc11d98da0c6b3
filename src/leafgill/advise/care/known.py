"""What every job is worked out from, and how jobs of habit become a range of days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from leafgill.advise.care.deeds import ages, done_at, wanting_at
from leafgill.advise.care.job import LAW, RECORD, USUAL, Job, due_of
from leafgill.advise.care.lifetime import Learnt, Seen, learn
from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.science.cited import Mark, Range, Source
from leafgill.tank.spec import Tank

PRACTICE = str(Source("", Mark.PRACTICE))
LEARNT = "lifetimes on the logarithm, prior and record by Bayes' rule"
# What a keeper writes down as wanting hardly ever is not (a choice of ours).
_PLAIN_SLIP = 0.02
# A habit is kept, halved or doubled by most.
_HALVED = 2.0


@dataclass(frozen=True)
class Known:
    """A tank with its localised diary up to `now`, and what is believed of it."""

    tank: Tank
    diary: Diary
    belief: Belief
    now: datetime

    def done(self, job: str) -> list[datetime]:
        """Return when a job was done."""
        return done_at(self.diary, job)

    def last(self, job: str) -> datetime | None:
        """Return when a job was done last, None where the diary does not say."""
        return max(self.done(job), default=None)


def seen_of(known: Known, job: str) -> list[Seen]:
    """Return what the diary shows of a job's lifetimes: renewed, and found wanting."""
    done = known.done(job)
    found = [Seen(age, "renewed") for age in ages(done, done[1:]) if age > 0.5]
    found += [
        Seen(age, "spoiled", _PLAIN_SLIP)
        for age in ages(done, wanting_at(known.diary, job))
        if age > 0.5
    ]
    return found


def usual(days: float) -> Range:
    """Return a habit of the trade as a range of days."""
    return Range(days, days / _HALVED, days * _HALVED)


def made(
    known: Known,
    key: str,
    what: str,
    why: str,
    learnt: Learnt,
    reason: str,
    how: str,
    *,
    source: str = PRACTICE,
    by_law: bool = False,
    told: tuple[Figure, ...] = (),
    called: str = "",
    inputs: tuple[Input, ...] = (),
) -> Job:
    """Return a job whose interval is what was learnt of a lifetime.

    `source` is where the prior comes from, `by_law` whether it was worked out for this rig.
    """
    basis = RECORD if learnt.from_record else LAW if by_law else USUAL
    last = known.last(key)
    called = called or _wanting(known, key, last)
    every = figure(
        f"{key}_days",
        f"Days between: {what[:1].lower()}{what[1:]}",
        learnt.days,
        "days",
        "how long it serves: taken before, narrowed by what the diary shows",
        (
            given("taken before", learnt.prior, "days", source),
            Input("lifetimes seen", float(learnt.seen), "", "diary"),
            *inputs,
        ),
        LEARNT if learnt.from_record else source,
    )
    return Job(
        key, what, why, every, basis, reason, how, last,
        due_of(every.value, last, known.now, called), told, called,
    )  # fmt: skip


def _wanting(known: Known, key: str, last: datetime | None) -> str:
    """Return what the diary says is wanting since the work was done last, "" for nothing."""
    found = wanting_at(known.diary, key)
    if not found or (last is not None and found[-1] <= last):
        return ""
    return f"found wanting on {found[-1].day} {found[-1]:%b}, by the diary"


def habit(known: Known, key: str, what: str, days: float, why: str, how: str) -> Job:
    """Return a job of habit: the trade's interval, drawn towards the keeper's own."""
    learnt = learn(usual(days), seen_of(known, key))
    times = len(known.done(key))
    reason = (
        f"you did it {times} times; your own rhythm counts beside the usual {days:g} days"
        if learnt.from_record
        else f"every {days:g} days is usual; the diary holds too little to say otherwise"
    )
    return made(known, key, what, why, learnt, reason, how)
