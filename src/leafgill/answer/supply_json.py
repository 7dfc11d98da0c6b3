"""A supply as JSON: the same figures the screen shows, for programs."""

from __future__ import annotations

from typing import Any

from leafgill.advise.supply.guard import SurgeRisk
from leafgill.answer import supply_said as said
from leafgill.answer.explain import figures_json
from leafgill.science.cited import Range
from leafgill.tank.limits import limits_of


def as_json(told: said.Told) -> dict[str, Any]:
    """Return the supply as plain data; times are ISO 8601 with their offset."""
    supply = told.supply
    guard, leak = supply.guard, supply.leak
    return {
        "tank": supply.tank.name,
        "now": supply.now,
        "days_left": _range(supply.days),
        "gas_left_g": _range(supply.left_g),
        "use_g_per_day": _range(supply.use_g_day),
        "from_prior": supply.from_prior,
        "order_by": said.day_of(supply, supply.change_days.low),
        "change": {
            "days": _range(supply.change_days),
            "early": said.day_of(supply, supply.change_days.low),
            "likely": said.day_of(supply, supply.change_days.value),
            "late": said.day_of(supply, supply.change_days.high),
            "left_g": _range(supply.change_g),
            "gauge_bar": _range(supply.surge.change_bar),
        },
        "sources": {
            name: {
                "gas_left_kg": figures_range(told, f"gas_left_{name}_kg"),
                "days_left": figures_range(told, f"days_left_{name}_days"),
            }
            for name in supply.stocks
            if name != "all"
        },
        "leak": {
            "chance": leak.chance,
            "g_per_day": _range(leak.if_any_g_day),
            "gone_g": _range(leak.gone_g),
            "counted_g": _range(leak.counted_g),
            "says": said.leak(told),
        },
        "end": {
            "gauge_bar_while_liquid": _range(guard.saturation_bar),
            "last_liquid_g": _range(guard.last_liquid_g),
            "liquid_days": figures_range(told, "liquid_days"),
            "limit_mg_l": limits_of(supply.tank).co2_mg_l,
            "as_set": _day(guard.as_set),
            "regulators": {kind: _surge(risk) for kind, risk in guard.kinds.items()},
            "says": said.end(told),
        },
        "disagreements": said.disagreements(told),
        "helps": [
            {"what": one.what, "narrows_by": one.narrows_by, "how": one.how} for one in supply.helps
        ],
        "assumed": said.assumed(told),
        "cautions": list(supply.cautions),
        "figures": figures_json(told.figures),
    }


def figures_range(told: said.Told, key: str) -> dict[str, Any]:
    """Return value and ends of a figure."""
    figure = told.of(key)
    return {"value": figure.value, "low": figure.low, "high": figure.high}


def _range(known: Range | None) -> dict[str, float] | None:
    return None if known is None else {"value": known.value, "low": known.low, "high": known.high}


def _surge(risk: SurgeRisk) -> dict[str, Any]:
    return {"flow_ratio": _range(risk.ratio), "worst": _day(risk.worst),
            "change_left_g": _range(risk.change_g)}  # fmt: skip


def _day(risks: Any) -> dict[str, Any] | None:
    if risks is None:
        return None
    return {
        "peak_co2_mg_l": {"mean": risks.peak.mean, "low": risks.peak.low, "high": risks.peak.high},
        "p_over_limit": risks.p_over_limit,
        "p_over_danger": risks.p_over_danger,
    }
