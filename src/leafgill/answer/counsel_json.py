"""A counsel as JSON: the same figures the screen shows, for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from leafgill.advise.step import Weighed
from leafgill.answer import said
from leafgill.answer.counsel import Ahead, Counsel
from leafgill.answer.figures import IntervalLike, interval_json

# How a unit ends a name; a part of 1 and a pH need none.
_UNIT_ENDS = {"mg/L": "_mg_l", "g": "_g", "dKH": "_dkh", "%": "_percent", "d": "_days"}


def as_json(counsel: Counsel) -> dict[str, Any]:
    """Return the counsel as plain data; times are ISO 8601 with their offset."""
    belief, now = counsel.belief, counsel.now
    return {
        "tank": counsel.tank.name,
        "now": now,
        "co2_mg_l": interval_json(belief.co2(now)),
        "co2_max_mg_l": interval_json(belief.co2_max(now)),
        "o2_mg_l": interval_json(belief.o2(now)),
        "ph": interval_json(belief.ph(now)),
        "limits": {
            "co2_mg_l": counsel.limits.co2_mg_l,
            "co2_danger_mg_l": counsel.limits.co2_danger_mg_l,
            "o2_min_mg_l": counsel.limits.o2_min_mg_l,
            "target_co2_mg_l": counsel.limits.target_mg_l,
            "reasons": list(counsel.limits.reasons),
        },
        "day_ahead": {
            "until": counsel.until,
            "as_set": _ahead(counsel.as_set),
            "with_step": None if counsel.stepped is None else _ahead(counsel.stepped),
        },
        "step": _step(counsel),
        "readings": [
            {
                "kind": str(reading.kind),
                "what": reading.what,
                "narrows_by": reading.narrows_by,
                "how": reading.how,
                "at": reading.at,
            }
            for reading in counsel.readings
        ],
        "misfits": [
            {
                "time": misfit.time,
                "kind": str(misfit.kind),
                "sigma": misfit.sigma,
                "message": misfit.message,
            }
            for misfit in belief.misfits
        ],
        "findings": said.findings(counsel),
        "cautions": said.cautions(counsel),
        "belief": {"draws": belief.count, "effective_number": belief.effective_number},
    }


def _ahead(ahead: Ahead) -> dict[str, Any]:
    return {
        "peak_co2_mg_l": interval_json(ahead.peak),
        "peak_at": ahead.peak_at,
        "p_over_limit": ahead.p_over_limit,
        "p_over_danger": ahead.p_over_danger,
        "o2_min_mg_l": interval_json(ahead.o2_min),
        "o2_min_at": ahead.o2_min_at,
        "p_low_o2": ahead.p_low_o2,
    }


def _step(counsel: Counsel) -> dict[str, Any]:
    step = counsel.step
    return {
        "action": step.action,
        "rate_per_s": step.rate,
        "schedule": step.schedule,
        "air": step.air,
        "act_at": step.act_at,
        "look_at": step.look_at,
        "measure": step.measure,
        "expect": {
            "ph": _maybe(step.expect.ph),
            "instrument": step.expect.instrument,
            "drop_checker": list(step.expect.colour),
            "co2_mg_l": _maybe(step.expect.co2),
        },
        "close_back_if": step.close_back_if,
        "close_back_ph": step.close_back_ph,
        "later": step.later,
        "beside": [
            {
                "about": note.about,
                "text": note.text,
                "figures": {name: _weighed(one) for name, one in _named(note.figures)},
            }
            for note in step.beside
        ],
        "reasons": [
            {
                "text": reason.text,
                "figure": reason.figure,
                "comparison": reason.comparison,
                "limit": reason.limit,
                "passed": reason.passed,
                "rule": reason.rule,
                "about": reason.about,
            }
            for reason in step.reasons
        ],
    }


def _named(figures: tuple[Weighed, ...]) -> Iterator[tuple[str, Weighed]]:
    """Yield figures by their name with the unit in it, as everywhere."""
    for one in figures:
        unit = _UNIT_ENDS.get(one.unit, "")
        yield (one.name + unit, one)


def _weighed(one: Weighed) -> dict[str, float] | float:
    return one.value if isinstance(one.value, float) else interval_json(one.value)


def _maybe(value: IntervalLike | None) -> dict[str, float] | None:
    return None if value is None else interval_json(value)
