"""Figures in plain words, as a keeper says them."""

from __future__ import annotations

from datetime import datetime

from leafgill.estimate.belief import Interval

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def clock(at_s: float, now: datetime) -> str:
    """Return a moment [epoch s] by the clock of `now`: "16:30", "16:30 tomorrow", "Fri 16:30"."""
    at = datetime.fromtimestamp(at_s, now.tzinfo)
    days = (at.date() - now.date()).days
    if days == 0:
        return f"{at:%H:%M}"
    if days in (-1, 1):
        return f"{at:%H:%M} {'tomorrow' if days > 0 else 'yesterday'}"
    return f"{_DAYS[at.weekday()]} {at:%H:%M}"


def moment(at: datetime, now: datetime) -> str:
    """Return an aware moment as `clock` does."""
    return clock(at.timestamp(), now)


def per_cent(part: float) -> str:
    """Return a part of 1 in percent, with a decimal below ten percent: "1.3 %", "24 %"."""
    percent = 100.0 * part
    return f"{percent:.1f} %" if 0.0 < percent < 9.95 else f"{percent:.0f} %"


def rate_text(rate: float) -> str:
    """Return a bubble rate as it is counted: "1.5 bubbles/s", slow ones also over ten seconds."""
    if rate == 0.0:
        return "0 bubbles/s"
    if rate < 1.0:
        return f"{rate:.2g} bubbles/s ({10.0 * rate:.2g} in 10 s)"
    return f"{rate:.3g} bubble{'' if rate == 1.0 else 's'}/s"


def mg_l(value: Interval) -> str:
    """Return a concentration with its interval: "24 mg/L (20 to 28)"."""
    mean, low, high = (_two_digits(part) for part in value)
    return f"{mean} mg/L ({low} to {high})"


def grams(value: Interval) -> str:
    """Return a mass with its interval: "0.8 g (0.6 to 1.1)"."""
    mean, low, high = (_two_digits(part) for part in value)
    return f"{mean} g ({low} to {high})"


def _two_digits(value: float) -> str:
    """Return a number to two digits, never with an exponent: "0.42", "6.3", "130"."""
    text = f"{value:.2g}"
    return f"{float(text):.0f}" if "e+" in text else text


def minutes_text(minutes: float) -> str:
    """Return minutes as they are said: "40 min", "2 h 10 min"."""
    whole = round(minutes / 5.0) * 5 if minutes >= 20.0 else round(minutes)
    hours, rest = divmod(int(whole), 60)
    if hours == 0:
        return f"{rest} min"
    return f"{hours} h" if rest == 0 else f"{hours} h {rest:02d} min"
