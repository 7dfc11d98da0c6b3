"""What may have gone wrong: each row one way a tank may depart from what is believed.

Sizes are grids to average over, hazards how often a keeper meets such a thing: all choices of
ours, the kinds common practice (no source).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log

# When a fault may begin: at any moment, or at the switch that fails.
ANY, GAS_ON, GAS_OFF = "any", "gas on", "gas off"
# Faults that grow are told apart by half a day at best.
SLOW = "slow"


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One fault of one size. Logs are natural; slopes a day.

    `hazard` is its chance a day, or at each switch where it begins at one.
    """

    kind: str
    onset: str
    hazard: float
    rate: float = 0.0  # log of the bubble rate, at once
    rate_slope: float = 0.0
    dissolved_slope: float = 0.0  # log of what dissolves of a bubble
    kh: float = 0.0  # log of the alkalinity, at once
    kh_slope: float = 0.0
    kh_days: float = 3.0  # for how long that slope lasts
    change: float = 0.0  # part of the water changed at the onset, unwritten
    gas: str = ""  # "open" or "shut" whatever the timer says
    air: bool = False  # aeration on throughout
    dark: bool = False  # no light
    leak_g_day: float = 0.0


def _spread(
    kind: str, onset: str, hazard: float, field: str, sizes: tuple[float, ...], change: float = 0.0
) -> list[Hypothesis]:
    """One row a size, sharing the kind's hazard."""
    plain = Hypothesis(kind, onset, hazard / len(sizes), change=change)
    return [replace(plain, **{field: size}) for size in sizes]  # type: ignore[arg-type]


_TWO_IN_A_YEAR = 1.0 / 180.0
_ONE_IN_A_YEAR = 1.0 / 365.0

HYPOTHESES: tuple[Hypothesis, ...] = (
    *_spread("surge", ANY, _TWO_IN_A_YEAR, "rate", (log(1.5), log(2.2), log(3.2))),
    *_spread("gas lost", ANY, _TWO_IN_A_YEAR, "rate", (log(0.02), log(0.5))),
    Hypothesis("stuck open", GAS_OFF, 1.0 / 500.0, gas="open"),
    Hypothesis("stuck shut", GAS_ON, 1.0 / 500.0, gas="shut"),
    *_spread("clogging", SLOW, _TWO_IN_A_YEAR, "dissolved_slope", (-0.07, -0.14)),
    *_spread("flow drift", SLOW, _TWO_IN_A_YEAR, "rate_slope", (-0.2, -0.1, 0.1, 0.2)),
    *_spread("kh changed", ANY, _TWO_IN_A_YEAR, "kh", (log(0.55), log(0.75), log(1.25), log(1.45)),
             change=0.55),
    *_spread("kh changed", SLOW, _TWO_IN_A_YEAR, "kh_slope", (-0.25, -0.1, 0.1, 0.2)),
    Hypothesis("water change", ANY, _TWO_IN_A_YEAR, change=0.45),
    Hypothesis("aeration on", ANY, _TWO_IN_A_YEAR, air=True),
    Hypothesis("light off", ANY, _TWO_IN_A_YEAR, dark=True),
    *_spread("leak", SLOW, _TWO_IN_A_YEAR, "leak_g_day", (4.0, 12.0)),
)  # fmt: skip

# Two more need no tank to be run on: the electrode alone is off from a moment on, or the readings
# scatter so many times wider than believed, in a way that no row explains.
JUMP_KIND, JUMP_HAZARD = "probe jumped", _TWO_IN_A_YEAR
JUMP_SIZES_PH = (-0.6, -0.35, -0.2, 0.2, 0.35, 0.6)
UNKNOWN_KIND, UNKNOWN_WIDTHS, UNKNOWN_HAZARD = "not known", 3.0, _ONE_IN_A_YEAR
