"""The cylinder's test date: by what is stamped on it, as the diary tells."""

from __future__ import annotations

import re
from datetime import datetime

from leafgill.advise.care.deeds import words_of
from leafgill.advise.care.due import Due, State
from leafgill.advise.care.job import LAW, USUAL, Job, due_of
from leafgill.advise.care.known import Known
from leafgill.advise.drawn import exactly, figure
from leafgill.advise.figure import Input
from leafgill.diary import Kind

_WHAT = "Look at the cylinder's test date and its strap"
_WHY = "A supplier refuses one whose date is past; one that falls can break its valve."
_HOW = (
    "the date of the last test is stamped on the cylinder's shoulder, as month and year. Write it "
    'down once as "cylinder stamped 2023-05". Only a supplier tests and fills'
)
LOOK_DAYS = 180.0
# Periods between tests. European rules: ten years for CO2 cylinders (ADR, packing instruction
# P200). United States: five years for steel and aluminium ones (49 CFR 180.209). Both cited from
# memory, not checked against the texts; local rules come first.
TEST_YEARS = (5, 10)
_BASIS = (
    "49 CFR 180.209: 5 years; ADR P200: 10 years (cited from memory, not checked against the "
    "texts); local rules and the supplier come first"
)
_STAMP = re.compile(
    r"(?:stamp\w*|test date|tested|last test|inspect\w*)\D{0,12}"
    r"(?:(?P<y>(?:19|20)\d\d)[-./ ](?P<m>\d{1,2})|"
    r"(?P<m2>\d{1,2})[-./ ](?P<y2>(?:(?:19|20)\d\d|\d\d)))\b"
)
# The supplier is asked so long before [days].
_AHEAD = 60.0


def stamped(known: Known) -> datetime | None:
    """Return the month stamped on the cylinder as the diary tells it last, None where it is not."""
    found = None
    for entry in known.diary.of(Kind.CARE, Kind.NOTE):
        text = words_of(entry)
        match = _STAMP.search(text) if "cylinder" in text or "bottle" in text else None
        if match is None:
            continue
        year, month = int(match["y"] or match["y2"]), int(match["m"] or match["m2"])
        year += 2000 if year < 100 else 0
        if 1 <= month <= 12 and year <= known.now.year:
            found = datetime(year, month, 1, tzinfo=known.now.tzinfo)
    return found


def stamp_job(known: Known) -> Job:
    """Return the look at the cylinder's test date; its end where the diary knows it."""
    date, last = stamped(known), known.last("stamp")
    if date is None:
        every = figure("stamp_days", "Days between looks at the cylinder", exactly(LOOK_DAYS),
                       "days", "twice a year", (), "common practice, no source")  # fmt: skip
        return Job(
            "stamp", _WHAT, _WHY, every, USUAL,
            "the diary does not tell what is stamped on the cylinder", _HOW, last,
            due_of(LOOK_DAYS, last, known.now),
        )  # fmt: skip
    first, final = (date.replace(year=date.year + years) for years in TEST_YEARS)
    left = (first - known.now).total_seconds() / 86400.0
    every = figure(
        "stamp_days",
        "Days until the first rule's test is due",
        exactly(left),
        "days",
        "month stamped + 5 years - now",
        (
            Input("stamped", f"{date:%Y-%m}", "", "diary"),
            Input("10 years after", f"{final:%Y-%m}", "", "where that rule holds"),
        ),
        _BASIS,
    )
    reason = (
        f"stamped {date:%B %Y}: due {first:%B %Y} by a rule of 5 years, {final:%B %Y} by one of 10"
    )
    called = "" if left > 0.0 else "by a rule of 5 years its test is past: ask the supplier"
    return Job(
        "stamp", _WHAT, _WHY, every, LAW, reason, _HOW, last, _due(first, left), (), called
    )  # fmt: skip


def _due(first: datetime, left_days: float) -> Due:
    when = f"{first:%B %Y}"
    if left_days <= 0.0:
        return Due(first, State.OVERDUE, f"test due since {when}")
    state = State.SOON if left_days <= _AHEAD else State.LATER
    return Due(first, state, f"test due {when}")
