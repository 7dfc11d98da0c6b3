"""Today's page as plain data: where the tank stands, the step, the day ahead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from leafgill.answer import figures
from leafgill.answer.explain import amount
from leafgill.answer.said import against_limit
from leafgill.web.forms.habits import Habits
from leafgill.web.page_figures import ends_of, interval_of
from leafgill.web.working.reading import Told

# The scale beside the figure ends at so many times the limit, and never below the band.
_SCALE_TOP = 1.25
_SCALE_WIDTH = 360
_TAGS = {
    "fresh": "",
    "entry missing": "Older figures",
    "old": "Older figures",
    "working": "Being worked out",
    "failed": "Could not be worked out",
    "none": "Not worked out yet",
}
# What the rows of a step call its two moments; the page tells them by the present clock.
_WHEN, _LOOK = "When", "Look again"


@dataclass(frozen=True, slots=True)
class Scale:
    """CO2 against the limit as places along a line of `width`, with the two levels in words."""

    low: float
    band: float
    mean: float
    limit: float
    limit_words: str
    aim: float | None
    aim_words: str = ""
    width: int = _SCALE_WIDTH

    @property
    def over(self) -> float:
        """How long the line is beyond the limit."""
        return round(self.width - self.limit, 1)


@dataclass(frozen=True, slots=True)
class Where:
    """Where the tank stands now; texts as the keeper writes numbers, "" where nothing is known."""

    state: str
    tag: str
    words: str
    figure: str = ""
    ends: str = ""
    against: str = ""
    rows: tuple[tuple[str, str], ...] = ()
    scale: Scale | None = None


def where_of(told: Told, habits: Habits) -> Where:
    """Return where a tank stands by what is known of it."""
    where = Where(told.state, _TAGS[told.state], habits.text(told.words))
    if told.co2 is None:
        return where
    limits = told.payload["limits"]
    limit, aim = limits["co2_mg_l"], limits["target_co2_mg_l"]
    worst = told.co2 if told.co2_max is None else told.co2_max
    rows = []
    if told.o2 is not None:
        rows.append(("Oxygen", interval_of(told.o2)))
    if told.ph is not None:
        rows.append(("pH", interval_of(told.ph, "pH").removeprefix("pH ")))
    return Where(
        state=where.state,
        tag=where.tag,
        words=where.words,
        figure=habits.text(figures.level(told.co2.mean)),
        ends=habits.text(ends_of(told.co2)),
        against=habits.text(against_limit(limit, aim, worst.high)),
        rows=tuple((label, habits.text(value)) for label, value in rows),
        scale=_scale(told, limit, aim, habits),
    )


def _scale(told: Told, limit: float, aim: float, habits: Habits) -> Scale:
    assert told.co2 is not None, "asked for only where there is one"
    top = max(_SCALE_TOP * limit, 1.02 * told.co2.high)

    def place(value: float) -> float:
        return round(_SCALE_WIDTH * min(max(value / top, 0.0), 1.0), 1)

    low = place(told.co2.low)
    return Scale(
        low=low,
        band=round(max(place(told.co2.high) - low, 2.0), 1),
        mean=place(told.co2.mean),
        limit=place(limit),
        limit_words=habits.text(f"limit {limit:.3g}"),
        aim=place(aim) if aim < limit else None,
        aim_words=habits.text(f"aim {aim:.3g}"),
    )


@dataclass(frozen=True, slots=True)
class Why:
    """A rule held against a figure: the words, the comparison, whether it holds."""

    text: str
    compared: str
    passed: bool


@dataclass(frozen=True, slots=True)
class StepShown:
    """The step as the page shows it.

    `may_follow` is whether its figures are fresh and its time has come, so that it may be done;
    `look_at` is ISO 8601 for the countdown, and `look_words` the same moment in words.
    """

    action: str
    what: str
    may_follow: bool
    done_words: str
    urgent: bool
    act_words: str = ""
    look_at: str = ""
    look_words: str = ""
    look_in: str = ""
    rows: tuple[tuple[str, str], ...] = ()
    cautions: tuple[str, ...] = ()
    why: tuple[tuple[str, tuple[Why, ...]], ...] = ()
    of: str = ""


_DONE_WORDS = {
    "raise": "I have set it",
    "lower": "I have set it",
    "first setting": "I have set it",
    "emergency": "I have shut the gas",
    "hold": "All right",
    "hours": "I have moved them",
    "leave": "All right",
    "measure": "All right",
}


def step_of(told: Told, habits: Habits) -> StepShown | None:
    """Return the step of what is known, None where there is none."""
    if not told.payload:
        return None
    step, words = told.payload["step"], told.payload["said"]
    act_at, look_at = _moment(step["act_at"]), _moment(step["look_at"])
    later = act_at is not None and act_at > told.now
    done = "I have shut the gas" if step["rate_per_s"] == 0.0 else _DONE_WORDS[step["action"]]
    return StepShown(
        action=step["action"],
        what=habits.text(words["what_to_do"]),
        may_follow=(told.fresh or words["urgent"]) and not later,
        done_words=done,
        urgent=words["urgent"],
        act_words=_told_at(act_at, told.now) if later else "",
        look_at="" if look_at is None else look_at.isoformat(timespec="seconds"),
        look_words=_told_at(look_at, told.now),
        look_in="" if look_at is None else countdown(look_at, told.now),
        rows=tuple(
            (label, habits.text(text))
            for label, text in words["what_follows"]
            if label not in (_WHEN, _LOOK)
        ),
        cautions=tuple(habits.text(line) for line in words["step_cautions"]),
        why=tuple(
            (group["title"], tuple(_why(reason, habits) for reason in group["reasons"]))
            for group in words["why"]
            if group["reasons"]
        ),
        of=_told_at(told.asked_for, told.now),
    )


def _why(reason: Mapping[str, Any], habits: Habits) -> Why:
    ends = [reason["figure"], reason["limit"]]
    compared = ""
    if None not in ends:
        sign = {"<=": "≤", ">=": "≥"}[reason["comparison"]]
        if not reason["passed"]:
            sign = {"≤": ">", "≥": "<"}[sign]
        compared = f"{amount(ends[0])} {sign} {amount(ends[1])}"
    return Why(habits.text(reason["text"]), habits.text(compared), reason["passed"])


def _moment(told: str | None) -> datetime | None:
    return None if told is None else datetime.fromisoformat(told)


def _told_at(at: datetime | None, now: datetime) -> str:
    return "" if at is None else figures.moment(at, now)


def countdown(at: datetime, now: datetime) -> str:
    """Return how long it is to a moment, as the page's own clock says it: "in 4 h 20 min"."""
    minutes = (at - now).total_seconds() / 60.0
    return f"in {_long(minutes)}" if minutes > 0.0 else f"due since {_long(-minutes)}"


def _long(minutes: float) -> str:
    if minutes < 1.0:
        return "less than a minute"
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    if hours == 0:
        return f"{whole} min"
    if hours < 24:
        return f"{hours} h {rest:02d} min" if rest else f"{hours} h"
    days, hours = divmod(hours, 24)
    return f"{days} day{'' if days == 1 else 's'}{f' {hours} h' if hours else ''}"


@dataclass(frozen=True, slots=True)
class Ahead:
    """What the day brings and what is left.

    `rows` are (what, as set, with the step), `helps` (what a reading would bring, how to take it).
    """

    stepped: bool = False
    rows: tuple[tuple[str, str, str], ...] = ()
    oxygen: str = ""
    least_oxygen: str = ""
    gas: str = ""
    gas_order: str = ""
    helps: tuple[tuple[str, str], ...] = ()
    misfits: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    day_words: str = ""
    night_words: str = ""
    of: str = ""


def ahead_of(told: Told, habits: Habits) -> Ahead | None:
    """Return the day ahead as last worked out, None where nothing was."""
    if not told.payload:
        return None
    payload, words = told.payload, told.payload["said"]
    days = payload["day_ahead"]
    day = days["with_step"] or days["as_set"]
    lowest_at = _told_at(_moment(day["o2_min_at"]), told.now)
    peak_at = _told_at(_moment(day["peak_at"]), told.now)
    peak, lowest = interval_of(day["peak_co2_mg_l"]), interval_of(day["o2_min_mg_l"])
    limit, least = payload["limits"]["co2_mg_l"], payload["limits"]["o2_min_mg_l"]
    supply = payload.get("supply") or {}
    lines = {
        "misfits": words["what_does_not_fit"],
        "findings": words["findings"],
        "cautions": _not_of_the_step(words),
    }
    return Ahead(
        stepped=days["with_step"] is not None,
        rows=tuple(_cells(row, habits) for row in words["day_ahead"]),
        oxygen=habits.text(f"Lowest {lowest}, about {lowest_at}"),
        least_oxygen=habits.text(f"The animals need at least {least:.3g} mg/L"),
        gas=habits.text(supply.get("headline", "")),
        gas_order=habits.text(supply.get("order", "")),
        helps=tuple(_head_and_how(habits.text(line)) for line in words["what_would_help"]),
        day_words=habits.text(
            f"CO2 from midnight to midnight. The highest ahead is {peak}, about {peak_at}; "
            f"the animals' limit is {limit:.3g} mg/L."
        ),
        night_words=habits.text(
            f"Oxygen through the coming day. The lowest is {lowest}, about {lowest_at}; the "
            f"animals' minimum is {least:.3g} mg/L."
        ),
        of=_told_at(told.asked_for, told.now),
        **{name: tuple(habits.text(line) for line in said) for name, said in lines.items()},
    )


def _cells(row: list[str], habits: Habits) -> tuple[str, str, str]:
    what, as_set, stepped = (habits.text(cell) for cell in row)
    return what[:1].upper() + what[1:], as_set, stepped


def _head_and_how(line: str) -> tuple[str, str]:
    """Return what a reading would bring, and how it is taken."""
    head, end, how = line.partition("narrower. ")
    return f"{head}narrower" if end else line, how


def _not_of_the_step(words: Mapping[str, Any]) -> list[str]:
    return [line for line in words["cautions"] if line not in words["step_cautions"]]
