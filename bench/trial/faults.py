"""What may go wrong with a kept tank: one fault, begun at a minute, as nature then has it.

A fault bends what drives the tank from its minute on (`bend`, laid over every new laying-out), or
strikes once (`strike`). Nothing of it is written into the diary. Sizes are drawn as faults are met
(common practice, no source): see `draw`.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .actions import Window
from .chemistry import FloatArray
from .diary import MINUTES_DAY, START

if TYPE_CHECKING:
    from .play import Play

Minutes = NDArray[np.integer[Any]]

KINDS = (
    "surge",
    "stuck open",
    "stuck shut",
    "clogging",
    "flow drift",
    "kh at a change",
    "kh slowly",
    "aeration left on",
    "light not on",
    "probe dead",
    "probe jumped",
    "leak",
)
EMPTIED_MIN = 120.0  # from the end of a surge to an empty cylinder
DEAD = ("flat", "silent", "off the scale")
OFF_SCALE_PH = 14.0


@dataclass(frozen=True)
class Fault:
    """One fault: its kind, the minute it may begin, and how large it is.

    `size` is, by kind: the factor on the flow of a surge; the part a day that clogging or a drift
    takes from the flow (negative: adds); the factor on KH; the pH a probe jumps; grams a day of a
    leak; which of DEAD. `over_min` is the time it takes to be whole, or a surge to its end.
    """

    kind: str
    at: int
    size: float = 1.0
    over_min: float = 0.0
    part: float = 0.0  # of the water, for a change of water


def draw(kind: str, seed: int, day: int, light: Window) -> Fault:
    """The fault of a kind that a tank of this seed meets on a day after START (0 the first).

    A surge begins while gas flows, in the light but for its last two hours. Raises ValueError for
    a kind that is none of KINDS.
    """
    if kind not in KINDS:
        raise ValueError(f"no fault is called {kind!r}; there are {', '.join(KINDS)}")
    rng = np.random.default_rng([seed, 8, KINDS.index(kind)])
    # of the day from 8 h on: most is done to a tank, and noticed, while its keeper is up
    at = day * MINUTES_DAY + int(rng.integers(0, 14 * 60))
    up = bool(rng.random() < 0.5)
    match kind:
        case "surge":
            # how far a single stage lets the flow rise, and for how long until all is gone
            factor, hold_h = float(rng.uniform(1.5, 3.0)), float(rng.uniform(6.0, 48.0))
            lit = (light.off_min - light.on_min) % MINUTES_DAY
            first = day * MINUTES_DAY + light.on_min - 60 * START.hour - START.minute
            at = first + int(rng.integers(0, max(lit - 120, 1)))
            return Fault(kind, at, factor, 60.0 * hold_h)
        case "clogging":
            return Fault(kind, at, float(rng.uniform(0.05, 0.15)))
        case "flow drift":
            return Fault(kind, at, float(rng.uniform(0.08, 0.20)) * (-1.0 if up else 1.0))
        case "kh at a change":
            by = float(rng.uniform(0.2, 0.5))
            return Fault(kind, at, 1.0 + by if up else 1.0 - by, part=float(rng.uniform(0.5, 0.6)))
        case "kh slowly":
            by = float(rng.uniform(0.2, 0.5))
            days = float(rng.uniform(1.0, 4.0))
            return Fault(kind, at, 1.0 + by if up else 1.0 - by, days * MINUTES_DAY)
        case "probe dead":
            return Fault(kind, at, float(rng.integers(len(DEAD))))
        case "probe jumped":
            return Fault(kind, at, float(rng.uniform(0.15, 0.5)) * (1.0 if up else -1.0))
        case "leak":
            return Fault(kind, at, float(rng.uniform(3.0, 15.0)))
    return Fault(kind, at)


def strike(play: "Play", fault: Fault) -> None:
    """What happens once, at the fault's minute; `play.struck` is set to when it began."""
    if not fault.kind.startswith("stuck"):
        play.struck = play.now
    if fault.kind == "kh at a change":
        # the new water is such that the tank's KH becomes `size` times what it was
        before = float(play.course.alkalinity_meq_l[min(play.now, play.minutes - 1)])
        tap = before * (1.0 + (fault.size - 1.0) / fault.part)
        play.change_water(100.0 * fault.part, max(tap, 0.02))
    elif fault.kind == "kh slowly":
        after = np.arange(play.minutes - play.now) / fault.over_min
        play.course.alkalinity_meq_l[play.now :] *= fault.size ** np.minimum(after, 1.0)
    elif fault.kind == "probe dead" and play.now > 0:
        play.held_ph = float(play.probe_log(play.now - 1)[0])
    elif fault.kind == "clogging":
        days = np.arange(play.minutes - play.now) / MINUTES_DAY
        play.course.gain_mg_l[play.now :] *= (1.0 - fault.size) ** days
    play.lay_out()


def bend(play: "Play", fault: Fault) -> None:
    """Bend what is laid out from now on, for a fault that has begun."""
    rest = slice(play.now, play.minutes)
    course, minute = play.course, np.arange(play.now, play.minutes)
    match fault.kind:
        case "surge":
            course.rate[rest] *= _surge(minute - fault.at, fault)
            if play.flow.since > fault.at:
                # the valve was set by counting what then came
                met = float(_surge(np.array([play.flow.since - fault.at]), fault)[0])
                course.rate[rest] /= max(met, 0.2)
        case "flow drift":
            # a hand on the valve sets it right, and the drift begins anew
            since = max(fault.at, play.flow.since)
            course.rate[rest] *= (1.0 - fault.size) ** ((minute - since) / MINUTES_DAY)
        case "stuck open" | "stuck shut":
            _stuck(play, fault, minute)
        case "aeration left on":
            course.exchange_h[rest] = play.weather.exchange_h[rest] + play.weather.night_air_h[rest]
        case "light not on":
            course.uptake_mg_l_h[rest] = 0.0


def _surge(after_min: Minutes, fault: Fault) -> FloatArray:
    """Flow against the setting: up within half an hour, held, then the cylinder is empty."""
    rising = np.clip(after_min / 30.0, 0.0, 1.0)
    left = np.clip((fault.over_min + EMPTIED_MIN - after_min) / EMPTIED_MIN, 0.0, 1.0)
    return np.asarray((1.0 + (fault.size - 1.0) * rising) * left)


def _stuck(play: "Play", fault: Fault, minute: Minutes) -> None:
    """The solenoid does not do its first switch after the fault's minute, nor any other."""
    gas = play.course.gas_open_min
    want_shut = fault.kind == "stuck shut"
    if play.struck is None or play.struck > play.now:
        after = np.arange(max(fault.at, play.now, 1), play.minutes)
        was_shut, is_shut = gas[after - 1] < 0.0, gas[after] < 0.0
        turns = after[(was_shut & ~is_shut) if want_shut else (~was_shut & is_shut)]
        play.struck = int(turns[0]) if turns.size else play.minutes
    held = minute[minute >= play.struck]
    gas[held] = -1.0 if want_shut else held - play.struck + MINUTES_DAY


def seen_by_probe(fault: Fault, shown: FloatArray, minute: Minutes, held_ph: float) -> FloatArray:
    """What a broken electrode logs at the ends of minutes, of what a sound one would.

    `held_ph` is what it showed last before the fault.
    """
    if fault.kind == "probe jumped":
        broken = np.round(shown + fault.size, 2)
    elif fault.kind == "probe dead":
        how = DEAD[int(fault.size)]
        value = {"flat": held_ph, "silent": np.nan, "off the scale": OFF_SCALE_PH}[how]
        broken = np.full(shown.size, value)
    else:
        return shown
    return np.asarray(np.where(minute >= fault.at, broken, shown))
