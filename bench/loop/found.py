"""What was found on a tank that was followed, and the table of many."""

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from ..trial.diary import MINUTES_DAY
from ..trial.faults import KINDS

LIVES_DAYS = 4
# What each fault may rightly be called; the first is its own name.
NAMES = {
    "surge": ("surge",),
    "stuck open": ("stuck open",),
    "stuck shut": ("stuck shut", "gas lost"),
    "clogging": ("clogging",),
    "flow drift": ("flow drift",),
    "kh at a change": ("kh changed",),
    "kh slowly": ("kh changed",),
    "aeration left on": ("aeration on",),
    "light not on": ("light off",),
    "probe dead": ("probe dead",),
    "probe jumped": ("probe jumped",),
    "leak": ("leak",),
}
SOON_H = {"surge": 1.0, "stuck open": 1.0, "stuck shut": 1.0, "probe dead": 1.0}


@dataclass(frozen=True)
class Told:
    """An alert as first given: minute after START, and what it said."""

    minute: float
    kinds: tuple[str, ...]
    sure: float
    seen: str = ""


@dataclass(frozen=True)
class Run:
    """One tank followed: what was told, when the fault showed, and the days watched."""

    seed: int
    probe: bool
    kind: str
    struck: float
    size: float
    two_lights: float  # minute at which the second whole photoperiod after it ends
    days: float
    told: tuple[Told, ...] = field(default=())
    unwritten: tuple[int, ...] = ()

    @property
    def named_h(self) -> float:
        """Hours until it was told by its name; inf for never."""
        names = set(NAMES.get(self.kind, ()))
        return self._first(lambda t: bool(names & set(t.kinds)))

    @property
    def any_h(self) -> float:
        """Hours until anything was told; inf for never."""
        return self._first(lambda t: True)

    @property
    def in_time(self) -> float:
        """Hours within which it ought to be told."""
        return SOON_H.get(self.kind, (self.two_lights - self.struck) / 60.0)

    def _first(self, wanted: Callable[[Told], bool]) -> float:
        after = [t.minute for t in self.told if t.minute >= self.struck and wanted(t)]
        return (min(after) - self.struck) / 60.0 if after else math.inf


def false_alarms(run: Run) -> list[Told]:
    """What a tank without a fault was told, once a day and a leading kind."""
    counted: list[Told] = []
    for told in run.told:
        explained = any(0 <= told.minute - at <= LIVES_DAYS * MINUTES_DAY for at in run.unwritten)
        again = any(
            other.kinds[0] == told.kinds[0] and told.minute - other.minute < 2 * MINUTES_DAY
            for other in counted
        )
        if not explained and not again:
            counted.append(told)
    return counted


def table(runs: list[Run]) -> str:
    """Everything, as Markdown."""
    lines = [
        "| fault | readings | tanks | named in time | anything told in time | median hours "
        "until named | told before it began |",
        "|---|---|---|---|---|---|---|",
    ]
    for kind in KINDS:
        for probe in (True, False):
            mine = [r for r in runs if r.kind == kind and r.probe is probe]
            if not mine:
                continue
            named = np.array([r.named_h for r in mine])
            in_time = np.array([r.in_time for r in mine])
            told = np.array([r.any_h for r in mine])
            early = sum(any(t.minute < r.struck for t in r.told) for r in mine)
            middle = float(np.median(named))
            shown = f"{middle:.1f}" if math.isfinite(middle) else "-"
            limit = "1 h" if kind in SOON_H else "2 lit days"
            lines.append(
                f"| {kind} ({limit}) | {'probe' if probe else 'by hand'} | {len(mine)} "
                f"| {np.mean(named <= in_time):.0%} | {np.mean(told <= in_time):.0%} "
                f"| {shown} | {early} |"
            )
    for probe in (True, False):
        mine = [r for r in runs if r.kind == "none" and r.probe is probe]
        if mine:
            months = sum(r.days for r in mine) / 30.0
            alarms = sum(len(false_alarms(r)) for r in mine)
            lines.append(
                f"\nWithout a fault, {'with a probe' if probe else 'by hand'}: {alarms} false "
                f"alarms in {months:.1f} tank-months, {alarms / months:.2f} a tank-month"
            )
    return "\n".join(lines)


def line_of(run: Run) -> str:
    """How one run went, in a line."""
    how = f"tank {run.seed}, {run.kind} ({run.size:.2g}), {'probe' if run.probe else 'by hand'}"
    if run.kind == "none":
        return f"{how}: " + ("; ".join(", ".join(t.kinds) for t in false_alarms(run)) or "quiet")
    first = [t for t in run.told if t.minute >= run.struck]
    said = f", first told {', '.join(first[0].kinds)} after {run.any_h:.1f} h" if first else ""
    return f"{how}: named after {run.named_h:.1f} h{said}"
