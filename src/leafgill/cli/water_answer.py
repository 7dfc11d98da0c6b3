"""From two of pH, KH and CO2 the third, with what the readings' errors make of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import Any

import numpy as np

from leafgill.errors import InputError
from leafgill.science import carbonate
from leafgill.science.carbonate_readings import Spread, between, exactly, spread, within
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import DKH_MEQ_L

# A reading without a stated error is taken to be off by at most this, nine times in ten: an
# electrode calibrated some time ago, a kit of one-degree drops (choices of ours).
USUAL_PH_ERROR = 0.1
USUAL_KH_ERROR = 0.5
USUAL_TEMPERATURE_C = 25.0
USUAL_GH_DGH = 6.0
# A reading's possible values are kept to water that has any alkalinity at all.
_LEAST_KH = 0.02
# Where the equilibrium was held against PHREEQC to 1 %.
CHECKED = {
    "pH": (6.0, 8.0),
    "KH": (0.5, 15.0),
    "temperature": (18.0, 30.0),
    "GH": (0.0, 15.0),
}


@dataclass(frozen=True)
class Readings:
    """What was read: two of pH, KH [dKH] and CO2 [mg/L], and the water's other traits.

    `ph_error` and `kh_error` are what the reading is off by at most, nine times in ten; `kh_drop`
    the size of a drop of a kit whose count is rounded up. `assumed` names what was not given.
    """

    ph: float | None
    kh_dkh: float | None
    co2_mg_l: float | None
    temperature_c: float
    gh_dgh: float
    ph_error: float = 0.0
    kh_error: float = 0.0
    kh_drop: float | None = None
    assumed: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Answer:
    """The third: its name ("co2_mg_l", "ph" or "kh_dkh"), spread, and value as read.

    `rule_co2_mg_l` is what the trade's rule makes of the same pH and KH; `co2_mg_l` the
    equilibrium's figure there.
    """

    readings: Readings
    name: str
    value: Spread
    as_read: float
    co2_mg_l: float
    rule_co2_mg_l: float
    notes: tuple[str, ...] = field(default=())

    @property
    def rule_bias(self) -> float:
        """How far the trade's rule is off, as a part of the equilibrium's figure."""
        return self.rule_co2_mg_l / self.co2_mg_l - 1.0


def work_out(readings: Readings) -> Answer:
    """Return the third of pH, KH and CO2. Raises InputError when no water can be so."""
    r = readings
    water: dict[str, Any] = {"temperature_c": r.temperature_c, "gh_dgh": r.gh_dgh}
    ph = _ph_row(r)
    kh = _kh_row(r)
    law: Callable[[FloatArray, FloatArray], FloatArray]
    if r.ph is not None and r.kh_dkh is not None:
        name, first, second = "co2_mg_l", (ph, r.ph), (kh, r.kh_dkh)
        law = partial(_co2, water)
    elif r.kh_dkh is not None and r.co2_mg_l is not None:
        name, first, second = "ph", (kh, r.kh_dkh), (exactly(r.co2_mg_l), r.co2_mg_l)
        law = partial(_ph, water)
    elif r.ph is not None and r.co2_mg_l is not None:
        name, first, second = "kh_dkh", (ph, r.ph), (exactly(r.co2_mg_l), r.co2_mg_l)
        law = partial(_kh, water)
    else:
        raise InputError("two of --ph, --kh and --co2 are needed, to work out the third")
    value = spread(law, first[0], second[0])
    as_read = float(law(exactly(first[1]), exactly(second[1]))[0])
    if not (np.isfinite(value).all() and np.isfinite(as_read) and as_read > 0.0):
        raise InputError(_impossible(r))
    full = {"ph": r.ph, "kh_dkh": r.kh_dkh, "co2_mg_l": r.co2_mg_l, name: as_read}
    return Answer(
        readings=r,
        name=name,
        value=value,
        as_read=as_read,
        co2_mg_l=float(full["co2_mg_l"] or 0.0),
        rule_co2_mg_l=float(carbonate.rule_co2_mg_l(full["ph"] or 0.0, full["kh_dkh"] or 0.0)),
        notes=tuple(_notes(full["ph"] or 0.0, full["kh_dkh"] or 0.0, r)),
    )


def _ph_row(r: Readings) -> FloatArray:
    return exactly(np.nan) if r.ph is None else within(r.ph, r.ph_error)


def _kh_row(r: Readings) -> FloatArray:
    if r.kh_dkh is None:
        return exactly(np.nan)
    if r.kh_drop is not None:
        row = between(r.kh_dkh - r.kh_drop, r.kh_dkh)
    else:
        row = within(r.kh_dkh, r.kh_error)
    least: FloatArray = np.maximum(row, _LEAST_KH)
    return least


def _co2(water: dict[str, Any], ph: FloatArray, kh: FloatArray) -> FloatArray:
    answer: FloatArray = carbonate.co2_mg_l(ph, kh * DKH_MEQ_L, **water)
    return answer


def _ph(water: dict[str, Any], kh: FloatArray, co2: FloatArray) -> FloatArray:
    answer: FloatArray = carbonate.ph(co2, kh * DKH_MEQ_L, **water)
    return answer


def _kh(water: dict[str, Any], ph: FloatArray, co2: FloatArray) -> FloatArray:
    answer: FloatArray = carbonate.alkalinity_meq_l(ph, co2, **water) / DKH_MEQ_L
    return answer


def _impossible(r: Readings) -> str:
    given = (("--ph", r.ph), ("--kh", r.kh_dkh), ("--co2", r.co2_mg_l))
    shown = " and ".join(f"{name} {value:g}" for name, value in given if value is not None)
    return f"no water has {shown} at {r.temperature_c:g} °C; please check the readings"


def _notes(ph: float, kh: float, r: Readings) -> list[str]:
    found = {"pH": ph, "KH": kh, "temperature": r.temperature_c, "GH": r.gh_dgh}
    return [
        f"{what} {found[what]:.3g} is outside {low:g} to {high:g}, where the equilibrium was held "
        "against PHREEQC"
        for what, (low, high) in CHECKED.items()
        if not low <= found[what] <= high
    ]
