"""What the diary holds about cylinders: when one was changed, its weights, its gauge."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from leafgill.diary import Diary, Entry, Kind
from leafgill.diary.notes import tells_of_refill
from leafgill.diary.words import plain
from leafgill.errors import InputError
from leafgill.units import quantity

# A scale shows the same cylinder a little heavier now and then; by more it was filled [g].
HEAVIER_G = 40.0
# Regulators weigh about this: a weight may differ by it when one was on the scale and once not [g].
REGULATOR_G = (300.0, 2500.0)
# A warmer room lifts the gauge by 1.4 bar a degree; by more than this a cylinder was changed [bar].
_GAUGE_JUMP_BAR = 18.0
# Further back a cylinder says little of today's valve.
LOOK_BACK_DAYS = 500.0
# Weights older than the first setting by more than this have had gas drawn that nobody counted.
_UNCOUNTED_DAYS = 2.0
_SAME_S = 60.0
_EXACT_G = 0.02
# A weighing so long after a filling may still tell of it.
_RETOLD_DAYS = 30.0
# Steps of scales, the coarsest first [g]: metric, then tenths of a pound, ounces and their parts.
_STEPS_G = (500.0, 453.59237, 200.0, 100.0, 50.0, 45.359237, 28.349523, 20.0, 14.174762, 10.0,
            5.0, 4.5359237, 2.8349523, 2.0, 1.0)  # fmt: skip
# Words that stand beside "new cylinder" where none was put in.
_NOT_YET = re.compile(
    r"\b(?:not|no|never|half|still|soon|should|must|need|needs|order|ordered|tomorrow|next|buy|"
    r"almost|nearly|will|leak)\b"
)
_ON = re.compile(r"\bregulator\s+(?:is\s+)?(?:on|attached|mounted|fitted)\b|\bwith regulator\b")
_OFF = re.compile(
    r"\bregulator\s+(?:is\s+)?(?:off|removed|taken off|detached)\b|\bwithout (?:the )?regulator\b"
)
_DEGREES = re.compile(r"(-?\d+(?:[.,]\d+)?)\s*°?\s*([cf])\b(?!\w)")


class Weighing(NamedTuple):
    """A cylinder on the scale: epoch second, grams, and whether the regulator was on it."""

    at_s: float
    gross_g: float
    regulator: bool


class GaugeReading(NamedTuple):
    """The gauge of the cylinder's side: epoch second, bar, and the room's °C where noted."""

    at_s: float
    gauge_bar: float
    room_c: float | None


@dataclass(frozen=True)
class Life:
    """One filling of a cylinder: from when, whether that was a filling, what was read since."""

    since_s: float
    filled: bool
    weighings: tuple[Weighing, ...]
    gauges: tuple[GaugeReading, ...]


@dataclass(frozen=True)
class Log:
    """The fillings in order of time, the last is the present one; the scale's step [g].

    `gauge_step_bar` is the step the gauge was read to; `notes` what had to be taken for granted.
    """

    lives: tuple[Life, ...]
    scale_step_g: float
    gauge_step_bar: float
    notes: tuple[str, ...] = ()

    @property
    def now(self) -> Life:
        """The present filling."""
        return self.lives[-1]


def read_log(diary: Diary, now_s: float) -> Log:
    """Return the cylinders of a localised diary up to `now_s` [epoch s].

    A filling begins where an entry tells of one, where the scale shows clearly more than before,
    and where the gauge has risen by more than warmth can lift it.
    """
    start_s = now_s - LOOK_BACK_DAYS * 86400.0
    seen = [e for e in diary.entries if start_s <= e.time.timestamp() <= now_s]
    notes: list[str] = []
    first_s = _counted_from(seen)
    weighed = _weighings([e for e in seen if e.kind is Kind.CYLINDER_MASS])
    read = [_gauge(e) for e in seen if e.kind is Kind.CYLINDER_PRESSURE]
    if first_s is not None:
        early = [w for w in weighed if w.at_s < first_s - _UNCOUNTED_DAYS * 86400.0]
        if early:
            notes.append(
                f"{len(early)} weighings from before the first bubble rate are left out: nobody "
                "counted what was drawn then"
            )
            weighed = weighed[len(early) :]
    fillings = _fillings(seen, weighed, read)
    firsts = [e.time.timestamp() for e in seen if e.kind is not Kind.NOTE][:1]
    begins = min([*firsts, *(w.at_s for w in weighed[:1]), now_s])
    starts = sorted({begins, *fillings})
    ends = [*starts[1:], np.inf]
    lives = tuple(
        Life(
            since,
            since in fillings,
            tuple(w for w in weighed if since - _SAME_S <= w.at_s < until - _SAME_S),
            tuple(g for g in read if since - _SAME_S <= g.at_s < until - _SAME_S),
        )
        for since, until in zip(starts, ends, strict=True)
    )
    return Log(
        lives,
        step_of(np.array([w.gross_g for w in weighed])),
        _gauge_step([g.gauge_bar for g in read]),
        tuple(notes),
    )


def _counted_from(seen: list[Entry]) -> float | None:
    """Return when the first bubble rate or count was written [epoch s]."""
    rates = (e.time.timestamp() for e in seen if e.kind in (Kind.BUBBLE_RATE, Kind.BUBBLE_COUNT))
    return next(rates, None)


def _weighings(entries: list[Entry]) -> list[Weighing]:
    """Return the weighings; one whose note is silent is taken as the one before it.

    The first is then taken as the diary's page asks: as it stands, regulator and all.
    """
    found, with_regulator = [], True
    for entry in entries:
        text = plain(entry.note)
        if _OFF.search(text):
            with_regulator = False
        elif _ON.search(text):
            with_regulator = True
        found.append(Weighing(entry.time.timestamp(), entry.number, with_regulator))
    return found


def _gauge(entry: Entry) -> GaugeReading:
    found = _DEGREES.search(plain(entry.note))
    room = None
    if found:
        try:
            typed = f"{found[1].replace(',', '.')} deg{found[2].upper()}"
            room = quantity(typed, "degC", what="room")
        except InputError:
            room = None
    if room is not None and not -5.0 <= room <= 45.0:
        room = None
    return GaugeReading(entry.time.timestamp(), entry.number, room)


def tells_of_filling(entry: Entry) -> bool:
    """Return whether an entry tells that a full cylinder was put in."""
    if entry.kind is Kind.CYLINDER_MASS:
        return tells_of_refill(entry.note) and not _NOT_YET.search(plain(entry.note))
    if entry.kind not in (Kind.CARE, Kind.NOTE):
        return False
    text = plain(f"{entry.value} {entry.note}")
    about = "cylinder" in text or (
        "bottle" in text and re.search(r"\b(?:gas|co2|cartridge)\b", text) is not None
    )
    about = about or "cartridge" in text or "co2 refill" in text
    return about and tells_of_refill(text) and not _NOT_YET.search(text)


def _fillings(seen: list[Entry], weighed: list[Weighing], read: list[GaugeReading]) -> list[float]:
    """Return the moments of fillings [epoch s], rising; one each, told or seen."""
    found: list[float] = []
    for entry in seen:
        if not tells_of_filling(entry):
            continue
        at, last = entry.time.timestamp(), found[-1] if found else -np.inf
        # the first weighing after a change often tells of it once more
        since = [w for w in weighed if last - _SAME_S <= w.at_s < at]
        days = _RETOLD_DAYS if entry.kind is Kind.CYLINDER_MASS and not since else 1.0
        if at - last > days * 86400.0:
            found.append(at)
    for before, after_one in pairwise(weighed):
        known = any(before.at_s < at <= after_one.at_s + _SAME_S for at in found)
        if _heavier(before, after_one) and not known:
            found.append(after_one.at_s)
    for g, h in pairwise(read):
        known = any(g.at_s < at <= h.at_s + _SAME_S for at in found)
        if h.gauge_bar - g.gauge_bar > _GAUGE_JUMP_BAR and not known:
            found.append(h.at_s)
    return sorted(found)


def _heavier(before: Weighing, after: Weighing) -> bool:
    """Return whether the second weight can only be that of a fuller cylinder."""
    least = HEAVIER_G
    if after.regulator and not before.regulator:
        least += REGULATOR_G[1]
    return after.gross_g - before.gross_g > least


def step_of(values_g: np.ndarray) -> float:
    """Return the coarsest usual step of a scale that all its readings fit [g]; 1 for none."""
    if values_g.size < 2:
        return 1.0
    for step in _STEPS_G:
        off = np.abs(values_g / step - np.round(values_g / step)) * step
        # a figure typed in pounds is turned into grams with all its digits
        if (off < _EXACT_G).all():
            return float(step)
    return 1.0


def _gauge_step(values_bar: list[float]) -> float:
    """Return the step a gauge was read to [bar], at least 1: fives and tens are rough readings."""
    for step in (10.0, 5.0, 2.0):
        if len(values_bar) > 1 and all(abs(v / step - round(v / step)) < 1e-6 for v in values_bar):
            return step
    return 1.0
