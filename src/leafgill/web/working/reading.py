"""What a page may say now of what was worked out before: figures at this moment, and their age."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Literal

from leafgill.answer import figures
from leafgill.answer.said import sentence
from leafgill.estimate import Interval
from leafgill.web.models import AnswerRow
from leafgill.web.working import bands

State = Literal["fresh", "entry missing", "old", "working", "failed", "none"]

# So long the step and the figures of a moment are good for, when nothing was written since.
GOOD_FOR = timedelta(minutes=15)
# Two machines' clocks may differ so much; an answer further ahead is of another time.
_AHEAD = timedelta(minutes=1)


@dataclass(frozen=True)
class Told:
    """What is known of a tank at `now` (aware, by the tank's clock).

    The figures are those believed for `now`, None where the belief does not reach; mg/L and pH.
    Only where `state` is "fresh" do they hold all that is written, and only then may the step be
    followed. `asked_for` is the moment the answer is about, None where there is none.
    """

    state: State
    words: str
    now: datetime
    asked_for: datetime | None = None
    co2: Interval | None = None
    co2_max: Interval | None = None
    o2: Interval | None = None
    ph: Interval | None = None
    payload: dict[str, Any] = field(default_factory=dict, repr=False)
    error: str = ""

    @property
    def fresh(self) -> bool:
        """Whether everything written is in the figures, and they are of now."""
        return self.state == "fresh"

    @property
    def sentence(self) -> str:
        """The figure of now in words, "" where there is none."""
        return "" if self.co2 is None else f"CO2 {figures.interval(self.co2)}"


def told_of(
    answer: AnswerRow | None, version: int, now: datetime, *, working: bool = False
) -> Told:
    """Return what an answer tells at `now` of a tank at a version.

    `working` says that a newer answer is being worked out.
    """
    error = answer.error if answer is not None else ""
    if answer is None or not answer.payload or answer.asked_for is None:
        state: State = "working" if working else "failed" if error else "none"
        return Told(state, _words(state, None, now, error, ""), now, error=error)
    asked_for = answer.asked_for.astimezone(now.tzinfo)
    shown = {
        what: bands.at(answer.payload["bands"], what, now.timestamp()) for what in bands.QUANTITIES
    }
    lacks = _lacks(answer.version, version, asked_for, now)
    state = _state(lacks, error, working)
    return Told(
        state,
        _words(state, asked_for, now, error, lacks),
        now,
        asked_for,
        **shown,
        payload=answer.payload,
        error=error,
    )


def _lacks(answered: int, version: int, asked_for: datetime, now: datetime) -> str:
    """Return what keeps an answer from being fresh: "entry", "age" or nothing."""
    if answered != version:
        return "entry"
    return "" if -_AHEAD <= now - asked_for <= GOOD_FOR else "age"


def _state(lacks: str, error: str, working: bool) -> State:
    if not lacks:
        return "fresh"
    if working:
        return "working"
    if error:
        return "failed"
    return "entry missing" if lacks == "entry" else "old"


_SINCE = {
    "entry": "what was written since is not in them",
    "age": "what to do may be another by now",
}


def _words(state: State, asked_for: datetime | None, now: datetime, error: str, lacks: str) -> str:
    """Return the state as a keeper reads it, with the moment of the figures."""
    if asked_for is None:
        return {
            "working": "The first figures are being worked out.",
            "failed": f"Nothing could be worked out: {error}.",
        }.get(state, "Nothing is worked out yet.")
    at = figures.moment(asked_for, now)
    if state == "fresh":
        return f"Worked out {at}, with everything that is written."
    older = f"these figures are of {at}, and {_SINCE[lacks]}."
    if state == "working":
        return f"Being worked out again: {older}"
    if state == "failed":
        return f"Could not be worked out again ({error}): {older}"
    return sentence(older)
