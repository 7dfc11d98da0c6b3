"""Cleaning the diffuser: by the gas it has lost since the last cleaning."""

from __future__ import annotations

from leafgill.advise.care.fouling import CLEAN_AT, USUAL_DAYS, fouling_of
from leafgill.advise.care.job import RECORD, USUAL, Job, due_of
from leafgill.advise.care.known import PRACTICE, Known, seen_of
from leafgill.advise.care.lifetime import learn
from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.words import per_cent
from leafgill.diary import Kind
from leafgill.science.cited import Range

_WHAT = "Clean the diffuser"
_WHY = "A clogged one needs more pressure and makes big bubbles, of which less dissolves."
_HOW = (
    "shut the gas, take it out, soak it in thinned bleach until it is white, rinse it, let it lie "
    "in water with a chlorine remover, rinse again. Then count the bubbles and write down that it "
    "was cleaned: the valve may give more through an open one"
)
# The record tells something once the prior's width has shrunk to this part.
_TELLS = 0.85


def diffuser_job(known: Known) -> Job:
    """Return the cleaning of the diffuser."""
    cleaned = [at.timestamp() for at in known.done("diffuser")]
    seen = seen_of(known, "diffuser")
    found = fouling_of(known.belief, cleaned, seen)
    learnt = learn(USUAL_DAYS, seen)
    days = learnt.days if found is None else found.days
    told: tuple[Figure, ...] = ()
    by_record = found is not None and found.narrowed < _TELLS
    called = ""
    if found is not None:
        # without a cleaning its age is a guess, and what is lost by now with it
        told = (_lost(found.lost, known),) if found.cleaned else ()
        if found.cleaned and found.lost.low >= CLEAN_AT:
            called = f"by the readings it has lost over {per_cent(found.lost.low)} of the gas"
    every = figure(
        "diffuser_days",
        f"Days until a diffuser here has lost {100.0 * CLEAN_AT:.0f} % of the gas",
        days,
        "days",
        "rate at which the gas that dissolves of a counted bubble falls, by pH and KH against "
        "settings and counts",
        (
            given("taken before", USUAL_DAYS, "days", PRACTICE),
            Input("cleanings in the diary", float(len(cleaned)), "", "diary"),
            Input("bubble counts and settings", float(_counts(known)), "", "diary"),
        ),
        "the belief's flow: its posterior over its prior, Gaussian" if by_record else PRACTICE,
    )
    reason = (
        "by what dissolves of the bubbles you count"
        if by_record
        else "the readings do not show yet how fast it clogs here; bubble counts beside pH would"
    )
    last = known.last("diffuser")
    return Job(
        "diffuser", _WHAT, _WHY, every, RECORD if by_record else USUAL, reason, _HOW, last,
        due_of(every.value, last, known.now, called), told, called,
    )  # fmt: skip


def _lost(lost: Range, known: Known) -> Figure:
    return figure(
        "diffuser_lost_share",
        "Part of the gas lost by now to a clogged diffuser",
        lost,
        "",
        "1 - exp(-rate · days since it was cleaned)",
        (Input("last cleaned", f"{known.last('diffuser'):%Y-%m-%d}", "", "diary"),),
        "as the interval",
    )


def _counts(known: Known) -> int:
    return len(known.diary.of(Kind.BUBBLE_COUNT, Kind.BUBBLE_RATE))
