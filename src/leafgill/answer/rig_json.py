"""A rig as JSON: what the screen shows, for programs."""

from __future__ import annotations

from typing import Any

from leafgill.advise.rig.diffuse import Way
from leafgill.advise.rig.plan import RigPlan
from leafgill.advise.rig.regulators import Regulator
from leafgill.advise.rig.sources import Source
from leafgill.answer import rig_said as said
from leafgill.answer.explain import figure_ref as _short
from leafgill.answer.explain import figures_json


def as_json(plan: RigPlan) -> dict[str, Any]:
    """Return the plan as plain data; every figure's key stands in `figures` with its working."""
    tank, chosen = plan.tank, plan.chosen
    running = {one.kind: one for one in plan.running}
    return {
        "tank": tank.name,
        "volume_l": tank.volume_l,
        "target_mg_l": plan.need.target_mg_l,
        "limit_mg_l": plan.limits.co2_mg_l,
        "from": "diary" if plan.need.learnt else "prior",
        "gas_hours": {"hours": str(plan.need.gas), "assumed": plan.need.assumed},
        "gas_g_per_day": _short(plan.use.gas),
        "cylinders": [
            {
                "name": choice.size.name,
                "charge_kg": choice.size.charge_kg,
                "yours": choice.size.own,
                "advised": choice is plan.choice,
                "months": _short(choice.months),
                "steady_months": _short(choice.steady),
                "full_kg": _short(choice.full_kg),
                "room_co2_ppm": choice.room_ppm.value,
                "fits": choice.fit.verdict,
                "fits_why": choice.fit.why,
                "height_cm": _short(choice.fit.height),
                "length_cm": _short(choice.fit.length),
                "source": str(choice.size.source),
            }
            for choice in plan.choices
        ],
        "diffusers": [_way(way, plan) for way in chosen.ways],
        "diffuser_why": list(chosen.why),
        "turnover_per_h": _short(chosen.turnover),
        "working_pressure_bar": _short(plan.working),
        "peak_co2_mg_l": _short(plan.peak),
        "p_over_limit": plan.over.value,
        "regulators": [_regulator(one) for one in plan.regulators],
        "regulator": {"advised": plan.regulator, "why": plan.regulator_why},
        "bubble_mg": _short(plan.counted.bubble),
        "bubbles_per_s": _short(plan.counted.rate),
        "own_bubbles_per_s": None if plan.counted.own is None else _short(plan.counted.own),
        "lead_h": None if plan.lead is None else _short(plan.lead.fed),
        "lead_advised_h": None if plan.lead is None else plan.lead.advised_h,
        "hose_g_per_day": _short(plan.use.hose),
        "drop_checker": {
            "reference_dkh": 4.0,
            "ph": _short(plan.checker),
            "colour": plan.checker_colour,
        },
        "in_order": said.in_order(plan),
        "parts": [
            {"name": part.name, "note": part.note, "count": part.count, "each": part.each}
            for part in plan.bill.parts
        ],
        "parts_total": None if plan.bill.total is None else plan.bill.total.value,
        "parts_without_price": list(plan.bill.unpriced),
        "currency": tank.prices.currency,
        "sources": [
            _source(source, plan)
            | {
                "cost_a_year": (
                    None if (cost := running[source.kind].cost) is None else _short(cost)
                ),
                "without_price": list(running[source.kind].unpriced),
            }
            for source in plan.sources
        ],
        "noticed": said.noticed(plan),
        "cautions": list(plan.cautions),
        "figures": figures_json(plan.figures),
    }


def _way(way: Way, plan: RigPlan) -> dict[str, Any]:
    return {
        "kind": way.kind,
        "count": way.count,
        "advised": way is plan.chosen.advised,
        "yours": way is plan.chosen.own,
        "where": way.where,
        "dissolved_share": _short(way.dissolved),
        "gas_ml_min": _short(way.flow),
        "least_pressure_bar": _short(way.pressure),
    }


def _regulator(one: Regulator) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "end_flow_ratio": _short(one.flow),
        "end_peak_co2_mg_l": _short(one.peak),
        "p_over_limit": one.over.value,
        "p_over_danger": one.danger.value,
        "climb_days": None if one.climb_days is None else _short(one.climb_days),
        "change_gauge_bar": None if one.change_gauge is None else one.change_gauge.value,
    }


def _source(source: Source, plan: RigPlan) -> dict[str, Any]:
    return {
        "kind": source.kind,
        "yours": source is plan.source,
        "hours": str(source.hours),
        "off_at_night": not source.at_night,
        "gas_g_per_day": _short(source.gas),
        "filling": source.batch.what,
        "at_once": source.batch.at_once,
        "fillings_a_year": _short(source.year),
        "lasts_days": _short(source.lasts),
        "peak_co2_mg_l": _short(source.peak),
        "strongest_co2_mg_l": _short(source.worst),
        "p_over_limit": source.over.value,
        "dawn_co2_mg_l": _short(source.dawn),
        "dawn_o2_mg_l": _short(source.dawn_o2),
    }
