"""A commissioning as JSON: the same as the screen shows, for programs."""

from __future__ import annotations

from typing import Any

from leafgill.advise.commission import Commission
from leafgill.advise.leak_test import LeakTest
from leafgill.answer import commission_said as said
from leafgill.answer.explain import figures_json
from leafgill.science.cited import Range


def as_json(commission: Commission) -> dict[str, Any]:
    """Return the commissioning as plain data."""
    return {
        "tank": commission.tank.name,
        "rig": said.title(commission),
        "outlet": commission.outlet,
        "checklist": [
            {"key": item.key, "title": item.title, "text": item.text,
             "figures": list(item.figures)}
            for item in commission.items
        ],
        "hold": None if commission.hold is None else _hold(commission.hold),
        "assumed": said.assumed(commission),
        "cautions": list(commission.cautions),
        "figures": figures_json(commission.figures),
    }  # fmt: skip


def _hold(test: LeakTest) -> dict[str, Any]:
    hold = test.hold
    return {
        "side": hold.side,
        "first": {"gauge_bar": hold.first.gauge_bar, "temperature_c": hold.first.temperature_c},
        "second": {"gauge_bar": hold.second.gauge_bar,
                   "temperature_c": hold.second.temperature_c},
        "hours": hold.hours,
        "volume_ml": _range(hold.volume_ml),
        "verdict": test.verdict,
        "lost_g_per_day": _range(test.lost_g_day),
        "walls_g_per_day": None if test.walls_g_day is None else _range(test.walls_g_day),
        "leak_g_per_day": _range(test.leak_g_day),
        "chance_of_leak": test.chance,
        "wait_until_h": test.wait_h,
        "says": [said.verdict(test), *said.hold_lines(test)],
    }  # fmt: skip


def _range(known: Range) -> dict[str, float]:
    return {"value": known.value, "low": known.low, "high": known.high}
