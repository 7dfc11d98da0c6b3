"""What the record says is wrong, out of the last answer that was worked out."""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.web.models import TankRow
from leafgill.web.working import worker


@dataclass(frozen=True, slots=True)
class Trouble:
    """What does not fit and what was noticed, one line each.

    `known` is False before any answer; `words` say how fresh it is.
    """

    known: bool
    words: str
    misfits: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()


def trouble_of(row: TankRow) -> Trouble:
    """Return what the last answer tells of trouble; a newer one is asked for where there is need.

    Nothing is waited for.
    """
    told = worker.fresh(row, 0.0)
    said = told.payload.get("said", {})
    return Trouble(
        bool(told.payload),
        told.words,
        tuple(said.get("what_does_not_fit", ())),
        tuple(said.get("findings", ())),
    )
