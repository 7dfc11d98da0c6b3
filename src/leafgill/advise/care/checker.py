"""Filling the drop checker afresh: by whether its colours still fit what pH and KH say."""

from __future__ import annotations

from leafgill.advise.care.deeds import ages
from leafgill.advise.care.job import Job
from leafgill.advise.care.known import Known, made, seen_of
from leafgill.advise.care.lifetime import Seen, learn
from leafgill.advise.drawn import figure, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.diary import Kind
from leafgill.science.cited import Range

_WHAT = "Fill the drop checker afresh"
_WHY = "Its water takes up and gives off, its dye fades; old colours lie."
_HOW = (
    "rinse it with the reference, never with tank water; fresh reference of 4 dKH and fresh dye; "
    "write down that it was filled. A colour tells again after two to three hours"
)
USUAL = Range(28.0, 12.0, 65.0)
# A colour that does not fit may also be misread, or the pH beside it wrong (a choice of ours).
_SLIP = 0.35


def checker_job(known: Known) -> Job:
    """Return the filling of the drop checker."""
    seen = [*seen_of(known, "checker"), *_colours(known)]
    learnt = learn(USUAL, seen)
    wrong = sum(one.how == "spoiled" for one in seen)
    if not learnt.from_record:
        reason = "every four weeks is usual; no colours since a filling tell otherwise"
    elif wrong:
        reason = f"colours did not fit pH and KH, or it was found spoiled, {wrong} times"
    else:
        reason = "its colours still fitted pH and KH at these ages"
    called = ""
    last = known.last("checker")
    unfit = [m for m in known.belief.misfits if m.kind == "drop_checker"]
    if unfit and (last is None or unfit[-1].time > last):
        called = f"{unfit[-1].shown} on {unfit[-1].time:%d %b} does not fit pH and KH"
    told = (_reference(known),) if known.diary.of(Kind.DROP_CHECKER) else ()
    return made(
        known, "checker", _WHAT, _WHY, learnt, reason, _HOW, told=told, called=called
    )  # fmt: skip


def _colours(known: Known) -> list[Seen]:
    """Return the oldest age at which colours still fitted after each filling, and the misfits."""
    done = known.done("checker")
    wrong = [m.time for m in known.belief.misfits if m.kind == "drop_checker"]
    start_s = known.belief.problem.evidence.start_s
    read = [
        entry.time
        for entry in known.diary.of(Kind.DROP_CHECKER)
        if entry.time.timestamp() >= start_s and entry.time not in wrong
    ]
    found = [Seen(age, "spoiled", _SLIP) for age in ages(done, wrong) if age > 0.5]
    for k, filled in enumerate(done):
        until = done[k + 1] if k + 1 < len(done) else known.now
        fits = ages([filled], [at for at in read if filled < at <= until])
        if fits and max(fits) > 0.5:
            found.append(Seen(max(fits), "served", _SLIP))
    return found


def _reference(known: Known) -> Figure:
    belief = known.belief
    return figure(
        "checker_kh_dkh",
        "KH that the drop checker's water seems to have",
        range_of(belief.problem.value(belief.z, "checker_kh")),
        "dKH",
        "the reference that makes its colours fit pH and KH best",
        (Input("colours read", float(len(known.diary.of(Kind.DROP_CHECKER))), "", "diary"),),
        "belief of the diary",
    )
