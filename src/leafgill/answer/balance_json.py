"""A balance as JSON: the same figures the screen shows, for programs."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from leafgill.advise.balance.result import Balance, DayTrial, LightStep, NutrientOutlook
from leafgill.advise.figure import Figure
from leafgill.answer import balance_light_said as light_said
from leafgill.answer import balance_said as said
from leafgill.answer.balance_figures import (
    day_figures,
    dose_figure,
    end_figures,
    figures_of,
    step_figures,
)
from leafgill.answer.explain import figure_ref, figures_json
from leafgill.estimate.belief import Band


def as_json(balance: Balance) -> dict[str, Any]:
    """Return the balance as plain data; times are ISO 8601 with their offset."""
    plan, light = balance.plan, balance.light
    return {
        "tank": balance.tank.name,
        "now": balance.now,
        "weeks": balance.weeks,
        "says": [*said.headline(balance), said.doses_line(balance)],
        "first": [step._asdict() for step in light_said.first_steps(balance)],
        "growth_g_week": figure_ref(balance.growth),
        "carbon_g_day": figure_ref(balance.carbon),
        "limits": [
            {
                "key": one.key,
                "known": one.known,
                "lets_growth_go_percent": figure_ref(one.fullness),
                "least_percent": figure_ref(one.chance),
                "gain_percent": figure_ref(one.gain),
            }
            for one in balance.limits
        ],
        "doses": [
            {
                "what": dose.what,
                "bottle": dose.is_bottle,
                "each": figure_ref(dose_figure(dose)),
                "unit": dose.unit,
                "a_week": dose.a_week,
                "brings_mg_l": dict(dose.gives),
            }
            for dose in plan.doses
        ],
        "doses_assumed": plan.assumed,
        "lacking": list(plan.lacking),
        "dose_notes": said.dose_notes(balance),
        "nutrients": {one.key: _outlook(balance, one) for one in balance.nutrients},
        "water_changed_percent_week": figure_ref(balance.water_change_percent_week),
        "light": {
            "ppfd": _ref(light.ppfd),
            "daily_mol_m2": _ref(light.daily),
            "measured": light.measured,
            "hours": light.hours,
        },
        "more_light": [_step(step) for step in balance.light_up],
        "hours": [_day(day) for day in balance.days],
        "cautions": said.cautions(balance),
        "assumed": said.assumed(balance),
        "figures": figures_json(figures_of(balance)),
    }


def _ref(figure: Figure | None) -> dict[str, Any] | None:
    return None if figure is None else figure_ref(figure)


def _outlook(balance: Balance, one: NutrientOutlook) -> dict[str, Any]:
    end, dosed = end_figures(one, balance.weeks)
    return {
        "known": one.known,
        "now_mg_l": figure_ref(one.now),
        "floor_mg_l": one.target.floor_mg_l,
        "ceiling_mg_l": one.target.ceiling_mg_l,
        "grounds": one.target.basis,
        "demand_mg_l_week": figure_ref(one.demand),
        "week_mg_l": {figure.key.split("_")[1]: figure_ref(figure) for figure in one.week},
        "end_mg_l": figure_ref(end),
        "end_dosed_mg_l": figure_ref(dosed),
        "short_percent": figure_ref(one.p_short),
        "over_percent": figure_ref(one.p_over),
        "short_from": None if one.short_from_s is None else _at(balance, one.short_from_s),
        "says": said.outlook_words(one, balance.now),
        "tests": [
            {
                "time": _at(balance, test.time_s),
                "shown": test.shown,
                "mg_l": test.value_mg_l,
                "low_mg_l": test.low_mg_l,
                "high_mg_l": test.high_mg_l,
                "fits": test.fits,
            }
            for test in one.tests
        ],
        "course": {
            "times": [_at(balance, float(second)) for second in one.times_s],
            "as_now": _band(one.as_now),
            "dosed": _band(one.dosed),
        },
    }


def _band(band: Band) -> dict[str, list[float]]:
    return {
        "mean": band.mean.tolist(), "low": band.low.tolist(), "high": band.high.tolist()
    }  # fmt: skip


def _at(balance: Balance, second: float) -> datetime:
    return datetime.fromtimestamp(second, balance.now.tzinfo)


def _step(step: LightStep) -> dict[str, Any]:
    told = {name: figure_ref(figure) for name, figure in step_figures(step).items()}
    return {"factor": step.factor, **told, "possible": step.possible, "reason": step.reason}


def _day(day: DayTrial) -> dict[str, Any]:
    told = {name: figure_ref(figure) for name, figure in day_figures(day).items()}
    return {
        "key": day.key,
        "words": day.words,
        "light": [str(window) for window in day.light],
        "gas": [str(window) for window in day.gas],
        **told,
        "possible": day.possible,
        "reason": day.reason,
    }
