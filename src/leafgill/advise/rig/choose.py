"""Which way to bring the gas in: the simplest that dissolves enough and reaches the whole tank."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from leafgill.advise.drawn import drawn, exactly, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed
from leafgill.advise.rig import kinds
from leafgill.advise.rig.diffuse import Way, way_of
from leafgill.advise.words import per_cent
from leafgill.science.cited import Mark, Source

# The lines between "enough" and "more than one": of the gas this part shall dissolve; through one
# disc no more than this, beyond which its bubbles are seen to merge; so far one disc's mist is
# carried. All three are choices of ours; common practice, which has no source either, puts a
# second disc or one in the filter's hose on tanks of about 150 L and more.
LEAST_SHARE = 0.80
MOST_ML_MIN = 20.0
REACH_CM = 90.0
LINES = Source("", Mark.CHOICE)
# A filter that moves less is a poor place for a diffuser in its hose [tank volumes an hour].
LEAST_TURNOVER = 2.0
# A bottle of yeast is no pressure vessel: what needs more is none for it [bar].
_BOTTLE_BAR = 0.2


class Chosen(NamedTuple):
    """The ways looked at, the one advised and the keeper's own, and why.

    `own` is None where the tank file names no diffuser. `turnover` is the filter's flow in tank
    volumes an hour, `excess` what the water that leaves a diffuser in its hose carries above the
    tank's [mg/L].
    """

    ways: tuple[Way, ...]
    advised: Way
    own: Way | None
    why: tuple[str, ...]
    turnover: Figure
    excess: Figure

    @property
    def used(self) -> Way:
        """The keeper's own way, or the advised one."""
        return self.advised if self.own is None else self.own


def choose(need: GasNeed) -> Chosen:
    """Return the ways to bring the gas in, the one advised first found, and why."""
    tank = need.belief.tank
    turnover = _turnover(need)
    ways: tuple[Way, ...]
    if tank.rig.source == "yeast":
        ways = (way_of(need, "ladder"), way_of(need, "bell"))
        advised, why = ways[0], [
            "a bottle of yeast must never stand under pressure, and a ladder needs next to none"
        ]  # fmt: skip
    else:
        ways = (way_of(need, "disc"), way_of(need, "disc", 2), way_of(need, "inline"),
                way_of(need, "reactor"))  # fmt: skip
        advised, why = _first_good(ways, need, turnover)
    own = None
    if tank.rig.diffuser is not None:
        own = _find(ways, tank.rig.diffuser, tank.rig.count)
        if own is None:
            own = way_of(need, tank.rig.diffuser, tank.rig.count)
            ways = (*ways, own)
        if own is not advised and tank.rig.source != "yeast":
            against = list(_against(own, need, turnover))
            # what is there already and does well enough stays
            advised, why = (advised, why) if against else (own, [_does(own)])
        if tank.rig.source == "yeast" and own.pressure_bar.low > _BOTTLE_BAR:
            why.append(f"your {own.words} needs {own.pressure_bar.value:.1f} bar, too much for it")
    return Chosen(ways, advised, own, tuple(why), turnover, _excess(need, turnover))


def _find(ways: tuple[Way, ...], kind: str, count: int) -> Way | None:
    return next((way for way in ways if (way.kind, way.count) == (kind, count)), None)


def _first_good(ways: tuple[Way, ...], need: GasNeed, turnover: Figure) -> tuple[Way, list[str]]:
    why: list[str] = []
    for way in ways:
        against = list(_against(way, need, turnover))
        if not against:
            why.append(_does(way))
            return way, why
        why += against
    # a reactor is the last resort whatever speaks against it
    return ways[-1], why


def _does(way: Way) -> str:
    return f"of the gas of {way.one} {per_cent(way.dissolved.value)} dissolves: enough"


def _against(way: Way, need: GasNeed, turnover: Figure) -> list[str]:
    """Return what speaks against a way, each a clause."""
    tank, found = need.belief.tank, []
    subject = way.one
    if way.dissolved.value < LEAST_SHARE:
        found.append(
            f"of the gas of {subject} only {per_cent(way.dissolved.value)} dissolves "
            f"(wanted: {per_cent(LEAST_SHARE)})"
        )
    if way.kind == "disc" and way.flow.value > MOST_ML_MIN:
        each = "one disc" if way.count == 1 else "each of two discs"
        found.append(
            f"{each} would have to pass {way.flow.value:.0f} mL of gas a minute; beyond "
            f"{MOST_ML_MIN:.0f} bubbles merge"
        )
    reach = REACH_CM * way.count
    if way.kind == "disc" and tank.length_cm is not None and tank.length_cm > reach:
        found.append(
            f"the mist of {subject} is carried about {reach:.0f} cm, and the tank is "
            f"{tank.length_cm:.0f} cm long"
        )
    slow = turnover.value < LEAST_TURNOVER and tank.rig.filter_flow_l_h is not None
    if way.in_line and way.kind != "reactor" and slow:
        found.append(
            f"the filter moves only {turnover.value:.1f} tank volumes an hour "
            f"(wanted: {LEAST_TURNOVER:.0f}), so {subject} would gather gas in its hose"
        )
    return found


def _turnover(need: GasNeed) -> Figure:
    tank = need.belief.tank
    flow = tank.rig.filter_flow_l_h
    if flow is None:
        return figure("turnover_per_h", "Tank volumes the filter moves an hour",
                      kinds.USUAL_TURNOVER, "/h", "as filters are usually sized",
                      (given("usual", kinds.USUAL_TURNOVER, "/h", "common practice, no source"),),
                      "common practice, no source")  # fmt: skip
    return figure("turnover_per_h", "Tank volumes the filter moves an hour", flow / need.volume_l,
                  "/h", "filter's flow / water",
                  (Input("filter's flow", flow, "L/h", "tank file"),
                   given("water", range_of(need.volume_l), "L", "tank file")),
                  "arithmetic")  # fmt: skip


def _excess(need: GasNeed, turnover: Figure) -> Figure:
    tank = need.belief.tank
    own = tank.rig.filter_flow_l_h
    times = kinds.USUAL_TURNOVER if own is None else exactly(turnover.value)
    flow_l_h = drawn(times, need.belief.count, "turnover") * need.volume_l
    g_h = need.given_g / need.gas.hours
    excess = np.asarray(g_h * 1e3 / flow_l_h)
    return figure(
        "outlet_excess_mg_l",
        "CO2 above the tank's where an in-line diffuser's water comes in",
        excess,
        "mg/L",
        "CO2 that dissolves an hour / water the filter moves an hour",
        (
            given("CO2 that dissolves", range_of(g_h), "g/h", "computed above"),
            given("filter's flow", range_of(flow_l_h), "L/h",
                  "common practice, no source" if own is None else "tank file"),
        ),
        "balance of mass",
    )  # fmt: skip
