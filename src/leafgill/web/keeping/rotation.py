"""Which backups have served: pure arithmetic of their times."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Keep:
    """Of how many days, weeks and months the last backup is kept."""

    days: int = 7
    weeks: int = 5
    months: int = 12


def superfluous(times: Iterable[datetime], keep: Keep = Keep()) -> list[datetime]:
    """Return which of some backups, by their aware times in one zone, need not be kept.

    The newest of each of the last days, weeks (Monday to Sunday) and months that have one stay.
    Days without a backup do not count: whoever comes back after a year finds what there was. The
    newest of all always stays.
    """
    newest_first = sorted(set(times), reverse=True)
    kept = set(newest_first[:1])
    periods: tuple[tuple[int, Callable[[datetime], Hashable]], ...] = (
        (keep.days, lambda at: at.date()),
        (keep.weeks, lambda at: at.isocalendar()[:2]),
        (keep.months, lambda at: (at.year, at.month)),
    )
    for most, period_of in periods:
        kept |= _newest_of_each(newest_first, most, period_of)
    return sorted(set(newest_first) - kept)


def _newest_of_each(
    newest_first: list[datetime], most: int, period_of: Callable[[datetime], Hashable]
) -> set[datetime]:
    found: dict[Hashable, datetime] = {}
    for at in newest_first:
        found.setdefault(period_of(at), at)
    return set(list(found.values())[:most])
