"""The drop checker: a reference solution with a pH indicator behind an air gap.

The reference (NaHCO3 in pure water, of known KH) takes up CO2 through the air until its pressure
is that of the tank, and shows a colour. What it senses is the pressure of CO2, so the tank's own
KH and acids do not matter; the KH of the reference does. It lags the tank by an hour or two.
"""

import math
from functools import cache

import numpy as np

from leafgill.science import carbonate
from leafgill.science.compiled import FloatArray, Numeric, Same, compiled, everyday
from leafgill.science.constants import DKH_MEQ_L

COLOURS = ("blue", "blue-green", "green", "yellow-green", "yellow")
# The colour card: CO2 in a 4 dKH reference at 25 °C where one colour's name gives way to the
# next. A card's convention, common practice without a source; mid-green (half the dye in each
# form, pH 7.0-7.1) is only 11-13 mg/L.
CARD_CO2_MG_L = (10.0, 20.0, 38.0, 60.0)
CARD_TEMPERATURE_C = 25.0
CARD_KH_DKH = 4.0


def reference_ph(
    co2_mg_l: Numeric, temperature_c: Numeric, reference_kh_dkh: Numeric = CARD_KH_DKH
) -> Same:
    """pH of the reference solution in equilibrium with water of this CO2 [mg/L].

    The reference is at the tank's temperature; its KH in dKH (1 dKH = 0.35665 meq/L NaHCO3).
    """
    alkalinity = np.asarray(reference_kh_dkh, dtype=np.float64) * DKH_MEQ_L
    return carbonate.ph(co2_mg_l, alkalinity, temperature_c)


@everyday
def blue_fraction(ph: Numeric, pka: Numeric = 7.1) -> Same:
    """Part of bromothymol blue in its blue (base) form, 1 / (1 + 10^(pKa - pH)).

    Published pKa run from 7.0 to 7.1 (an encyclopaedia 7.0, a maker's indicator note 7.1).
    """
    return 1.0 / (1.0 + 10.0 ** (pka - ph))


@cache
def _boundaries() -> tuple[float, ...]:
    levels = np.array(CARD_CO2_MG_L)
    return tuple(map(float, reference_ph(levels, CARD_TEMPERATURE_C, CARD_KH_DKH)))


def boundaries_ph() -> FloatArray:
    """pH of the reference at the four colour changes, from blue | blue-green downward.

    A colour is a pH of the dye, so these serve for any temperature and reference.
    """
    return np.array(_boundaries())


def co2_boundaries_mg_l(
    temperature_c: Numeric, reference_kh_dkh: Numeric = CARD_KH_DKH
) -> FloatArray:
    """CO2 [mg/L] at the four colour changes, rising, for this temperature and reference KH.

    Numbers give an array of 4; arrays give their broadcast shape with a last axis of 4.
    """
    temperature = np.asarray(temperature_c, dtype=np.float64)[..., np.newaxis]
    alkalinity = np.asarray(reference_kh_dkh, dtype=np.float64)[..., np.newaxis] * DKH_MEQ_L
    levels: FloatArray = carbonate.co2_mg_l(boundaries_ph(), alkalinity, temperature)
    return levels


def colour(ph: float) -> str:
    """Name on the card for a reference of this pH. Raises ValueError for NaN."""
    if np.isnan(ph):
        raise ValueError("no colour for a pH that is not a number")
    return COLOURS[sum(ph < boundary for boundary in _boundaries())]


@compiled
def lag_factors(hours: float, lag_h: float) -> tuple[float, float]:
    """Return (decay, ramp) of a first-order lag over a step, for steps of one length alike.

    The lagged value after the step is after + (shown - before)·decay + (after - before)·ramp.
    """
    z = hours / lag_h if hours > 0.0 else math.inf
    return math.exp(-z), math.expm1(-z) / z


@compiled
def lag_step(shown: float, before: float, after: float, hours: float, lag_h: float) -> float:
    """Lagged value after `hours`, while the sensed value runs straight from before to after.

    Exact solution of lag · dy/dt = x - y from y = `shown`; a lag of 0 shows `after` at once.
    """
    if hours == 0.0 and lag_h > 0.0:
        # A jump in no time moves a lagged value not at all.
        return shown + 0.0 * (before + after)
    decay, ramp = lag_factors(hours, lag_h)
    return after + (shown - before) * decay + (after - before) * ramp


@compiled
def _lag_rows(
    times_h: FloatArray, rows: FloatArray, lags: FloatArray, starts: FloatArray, out: FloatArray
) -> None:
    for row in range(rows.shape[0]):
        out[row, 0] = starts[row]
        for i in range(1, times_h.size):
            out[row, i] = lag_step(
                out[row, i - 1],
                rows[row, i - 1],
                rows[row, i],
                times_h[i] - times_h[i - 1],
                lags[row],
            )


def lagged(
    times_h: FloatArray, co2: FloatArray, lag_h: Numeric, start: Numeric | None = None
) -> FloatArray:
    """First-order lag of a series that runs straight between its points; exact.

    `times_h` (n,) rising hours; `co2` (..., n) in any unit; `lag_h` the time constant, a number
    or one a series (...); `start` what is shown at the first time (by default the series' own
    first value). Returns (..., n) in the broadcast shape. A NaN makes NaN of all after it.
    Raises ValueError when the times do not rise, a lag is negative or the lengths differ.
    """
    times = np.ascontiguousarray(times_h, dtype=np.float64)
    series = np.asarray(co2, dtype=np.float64)
    lags = np.asarray(lag_h, dtype=np.float64)
    if times.ndim != 1 or times.size == 0 or series.shape[-1:] != times.shape:
        raise ValueError(f"times {times.shape} and series {series.shape} do not fit together")
    if not np.all(np.diff(times) >= 0.0):
        raise ValueError("times must rise")
    if np.any(lags < 0.0):
        raise ValueError(f"a lag cannot be negative, got {float(np.nanmin(lags))} h")
    first = series[..., 0] if start is None else np.asarray(start, dtype=np.float64)
    shape = np.broadcast_shapes(series.shape[:-1], lags.shape, first.shape)
    rows = np.array(np.broadcast_to(series, (*shape, times.size))).reshape(-1, times.size)
    out = np.empty_like(rows)
    lag_rows = np.array(np.broadcast_to(lags, shape)).reshape(-1)
    start_rows = np.array(np.broadcast_to(first, shape)).reshape(-1)
    _lag_rows(times, rows, lag_rows, start_rows, out)
    return out.reshape(*shape, times.size)
