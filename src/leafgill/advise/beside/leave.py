"""When to stop tuning: everything is settled, so the tank is left alone until a named day."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from leafgill.advise import looks
from leafgill.advise.beside.drift import (
    DriftDay,
    alkalinity_ratio,
    drift,
    kh_days,
    percent_a_day,
    safe_days,
)
from leafgill.advise.beside.gates import known_well, target_met
from leafgill.advise.beside.settled_day import SettledDay
from leafgill.advise.beside.telling import no_reading_would_change_it
from leafgill.advise.case import Case
from leafgill.advise.compose import closed_a_little, compose
from leafgill.advise.forecast import Outlook
from leafgill.advise.instruments import PROBE, instrument_of
from leafgill.advise.real_time import hours_from
from leafgill.advise.rules import passes
from leafgill.advise.step import Beside, Reason, Step, Weighed, held
from leafgill.advise.words import moment
from leafgill.diary import Diary
from leafgill.estimate.belief import Interval


def leave_step(
    hold: Case, diary: Diary, rows: tuple[Reason, ...], until: datetime | None = None
) -> Step | None:
    """Return the step that leaves all alone for up to three days, None where it is no time yet.

    The target is met, all rules hold (`rows`), the last change has shown, the newest readings are
    fresh and fit, the valve gives what it was set to, and no reading would change the step. The
    look is as late as the draws' own trends keep it so, and no later than `until`.
    """
    situation = hold.situation
    day = SettledDay.of(situation)
    if day is None or not situation.rate or situation.crept or not passes(rows):
        return None
    reasons = (target_met(hold), *known_well(situation))
    if not passes(reasons):
        return None
    telling = no_reading_would_change_it(hold, diary)
    if not telling.passed:
        return None
    coming = drift(day, hold)
    days = safe_days(hold, coming)
    lasts = held(
        f"by its own trends the tank keeps this for {days} day{'' if days == 1 else 's'}",
        days, ">=", 1.0, 0, "drift",
    )  # fmt: skip
    if not lasts.passed:
        return None
    first = looks.at_height(situation)
    look = last_look(first, situation.now, days, until)
    return _step(hold, (*reasons, telling, lasts, *rows), coming, first, look)


def last_look(first: datetime, now: datetime, days: int, until: datetime | None) -> datetime:
    """Return the last look at the hour of the first, at most `days` on and before `until`.

    The first itself where no later one fits.
    """
    look = first
    for k in range(1, days + 1):
        at = first + timedelta(days=k)  # by the clock on the wall: the same hour of light
        late = hours_from(now, at) > 24.0 * days
        if late or (until is not None and at.timestamp() > until.timestamp()):
            break
        look = at
    return look


def _step(
    hold: Case,
    reasons: tuple[Reason, ...],
    coming: list[DriftDay],
    first: datetime,
    look: datetime,
) -> Step:
    situation = hold.situation
    days = (look.date() - first.date()).days
    if days:
        hold = replace(hold, ahead=drifted(hold, coming[days - 1]))
    a_day, kh = percent_a_day(coming), kh_days(hold)
    step = compose(
        "leave",
        hold,
        first,  # the hour of the day whose figures are known, moved by the days' drift
        reasons,
        closed_a_little(situation.rate or 0.0),
        measure=_to_keep(hold, look, kh),
        later=(
            "it ends before that with pH or a colour outside what is expected, animals that are "
            "not well, a water change, a trim, a cleaned diffuser or filter, other light, or a "
            "cylinder near its end: read pH then and ask again"
        ),
    )
    figures = (
        Weighed("drift_a_day", a_day, "%"),
        Weighed("days_left_alone", hours_from(situation.now, look) / 24.0, "d"),
        Weighed("kh_test_every", float(kh), "d"),
    )
    text = (
        f"Nothing has to be turned or read until {moment(look, situation.now)}. By its own trends "
        f"CO2 in the lit hours drifts by {_percent(a_day)} a day."
    )
    return replace(step, look_at=look, beside=(Beside("leave", text, figures),))


def drifted(hold: Case, later: DriftDay) -> Outlook:
    """Return the day ahead as it will look so many days on: CO2 and alkalinity have moved."""
    factor = later.ratio[:, None]
    alkaline = alkalinity_ratio(hold, later.days)[:, None]
    ahead = hold.ahead
    return replace(
        ahead,
        co2=ahead.co2 * factor,
        co2_max=ahead.co2_max * factor,
        model_co2=ahead.model_co2 * factor,
        ph=ahead.ph + np.log10(alkaline / factor),
    )


def _to_keep(hold: Case, look: datetime, kh: int) -> str:
    situation = hold.situation
    electrode = instrument_of(situation.belief) == PROBE
    reading = "pH by the electrode" if electrode else "pH by the hand test"
    return (
        f"{reading} and the drop checker's colour once, then ({moment(look, situation.now)}); "
        f"until then only the animals, every day in passing. KH every {kh} days"
    )


def _percent(value: Interval) -> str:
    return f"{value.mean:+.1f} % ({value.low:+.1f} to {value.high:+.1f})"
