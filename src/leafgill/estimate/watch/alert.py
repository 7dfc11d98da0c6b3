"""An alert: what was seen, what it would explain, how sure that is, and what would settle it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from leafgill.estimate.watch.judge import Suspect
from leafgill.estimate.watch.pursuit import Held
from leafgill.estimate.watch.seen import COLOUR, COUNT, HAND, KH, MASS, NO_BUBBLES, PROBE

URGENCIES = NOW, TODAY, LOOK = "now", "today", "look"
DEAD_KIND = "probe dead"


@dataclass(frozen=True)
class Alert:
    """Something that is not as believed.

    `kinds` are the faults that explain it about equally well, the likeliest first, and `sure` the
    chance that it is one of them; `urgency` is "now" where animals may be in danger, "today", or
    "look" when there is time. `check` is the one thing to look at first that tells them apart.
    """

    kinds: tuple[str, ...]
    since: datetime
    seen: str
    explains: str
    sure: float
    urgency: str
    check: str

    @property
    def kind(self) -> str:
        """The likeliest fault."""
        return self.kinds[0]


class _Said(NamedTuple):
    explains: str
    urgency: str
    check: str


SAID: dict[str, _Said] = {
    "surge": _Said(
        "more gas comes than was set, as when a cylinder empties", NOW,
        "count the bubbles; if there are more than were set, close the valve back, then look at "
        "the cylinder's gauge"),
    "gas lost": _Said(
        "less gas comes than was set, or none: an empty cylinder, a shut valve, a hose off", TODAY,
        "count the bubbles and look at the cylinder's gauge"),
    "stuck open": _Said(
        "the solenoid did not close, and gas comes on", NOW,
        "look whether bubbles rise in the counter now; if they do, shut the cylinder's valve"),
    "stuck shut": _Said(
        "the solenoid did not open, and no gas comes", TODAY,
        "look whether bubbles rise in the counter while the timer has the gas on"),
    "clogging": _Said(
        "less of each bubble dissolves, as when a diffuser clogs", LOOK,
        "count the bubbles; if they come as set, look at the diffuser and clean it"),
    "flow drift": _Said(
        "the valve has crept from its setting", TODAY,
        "count the bubbles over ten seconds or more and compare with the setting"),
    "kh changed": _Said(
        "the water's KH has changed", TODAY, "test KH, best on a double sample"),
    "water change": _Said(
        "water was changed and not written down", LOOK,
        "ask who looks after the tank, write the change down, and test KH"),
    "aeration on": _Said(
        "the surface moves more than believed: aeration left on, or a lower water level", TODAY,
        "look at the air pump, the filter's outlet and the water level"),
    "light off": _Said(
        "the plants take up nothing, as when the light did not come on", TODAY,
        "look whether the light is on"),
    "leak": _Said(
        "the cylinder loses gas that never passes the counter", TODAY,
        "wet the joints from cylinder to counter with soapy water, the window open"),
    "probe jumped": _Said(
        "the electrode's zero has jumped, and the water is as believed", TODAY,
        "test pH by hand; if the electrode is off, calibrate it"),
    DEAD_KIND: _Said(
        "the electrode, its cable or the logger has failed", TODAY,
        "test pH by hand, and put the electrode into a buffer"),
    "not known": _Said(
        "nothing that is known explains it well", TODAY,
        "look at the animals, count the bubbles and test pH by hand"),
}  # fmt: skip
# Asked first when causes are named together: each tells at least one of them from the rest.
_FIRST_CHECK = ("stuck open", "surge", "gas lost", "stuck shut", "light off", "probe jumped",
                "kh changed", "aeration on", "flow drift", "clogging")  # fmt: skip


def alert_of(
    suspects: tuple[Suspect, ...], held: Held | None, expected: tuple[float, float], zone: datetime
) -> Alert:
    """Return the alert that suspects give; `expected` (mean, sd) is of the reading held.

    `zone` is an aware moment in the zone to speak in.
    """
    kinds = tuple(s.kind for s in suspects)
    first = min(kinds, key=lambda k: _FIRST_CHECK.index(k) if k in _FIRST_CHECK else 99)
    named = [k for k in kinds if k != "not known"] or list(kinds)
    return Alert(
        kinds=kinds,
        since=datetime.fromtimestamp(suspects[0].since_s, zone.tzinfo),
        seen="" if held is None else _seen(held, expected, zone),
        explains="; or ".join(_explains(s) for s in suspects if s.kind in named),
        sure=min(sum(s.probability for s in suspects), 1.0),
        urgency=min((_urgency(s) for s in suspects), key=URGENCIES.index),
        check=SAID[first].check,
    )


def dead_alert(how: str, since_s: float, zone: datetime) -> Alert:
    """Return the alert of an electrode that tells nothing any more."""
    said = SAID[DEAD_KIND]
    since = datetime.fromtimestamp(since_s, zone.tzinfo)
    seen = f"since {since:%Y-%m-%d %H:%M} the electrode {how}"
    return Alert((DEAD_KIND,), since, seen, said.explains, 1.0, said.urgency, said.check)


def _rises(suspect: Suspect) -> bool:
    fault = suspect.fault
    return fault is not None and (fault.rate > 0.0 or fault.rate_slope > 0.0)


def _urgency(suspect: Suspect) -> str:
    return NOW if _rises(suspect) else SAID[suspect.kind].urgency


def _explains(suspect: Suspect) -> str:
    text = SAID[suspect.kind].explains
    fault = suspect.fault
    if suspect.jump_ph:
        return f"{text} (by about {suspect.jump_ph:+.1f})"
    if fault is None:
        return text
    if fault.rate:
        return f"{text} (about {math.exp(fault.rate):.2g} times)"
    if fault.rate_slope or fault.dissolved_slope:
        slope = fault.rate_slope or fault.dissolved_slope
        return f"{text} (about {100.0 * math.expm1(slope):+.0f} % a day)"
    if fault.kh or fault.kh_slope:
        way = "up" if fault.kh + fault.kh_slope > 0.0 else "down"
        by = abs(math.expm1(fault.kh or fault.kh_slope))
        each = "" if fault.kh else " a day"
        return f"{text} ({way} by about {100.0 * by:.0f} %{each})"
    return f"{text} (about {fault.leak_g_day:.0f} g a day)" if fault.leak_g_day else text


def _seen(held: Held, expected: tuple[float, float], zone: datetime) -> str:
    """Say a reading beside what was expected of it before the fault."""
    seen, (mean, sd) = held.seen, expected
    when = f"{datetime.fromtimestamp(seen.at_s, zone.tzinfo):%Y-%m-%d %H:%M}"
    low, high = mean - 1.645 * sd, mean + 1.645 * sd
    shown = f"pH {seen.value:.2f} by the electrode" if seen.what == PROBE else seen.shown
    if seen.what in (PROBE, HAND):
        said = f"pH {mean:.2f}, {low:.2f} to {high:.2f}"
    elif seen.what == MASS:
        said = f"{mean:.0f} g, {low:.0f} to {high:.0f}"
    else:
        unit = {COLOUR: "mg/L CO2", COUNT: "a second", NO_BUBBLES: "a second", KH: "dKH"}[seen.what]
        middle, least, most = (math.exp(value) for value in (mean, low, high))
        said = f"{middle:.2g} {unit}, {least:.2g} to {most:.2g}"
    return f"{when}: {shown}; expected {said}"
