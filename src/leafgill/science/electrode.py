"""The pH electrode: what it shows of a true pH, how it is calibrated, how it wanders.

A glass electrode gives a voltage straight in pH around its zero at pH 7:
E = offset - slope_fraction · S(T) · (pH - 7), S the Nernst slope. A meter turns that into a pH;
what is wrong then is an offset at pH 7 and a slope away from it.
"""

from typing import NamedTuple

import numpy as np

from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.constants import GAS_CONSTANT_J_MOL_K, KELVIN

FARADAY_C_MOL = 96485.33212
PIVOT_PH = 7.0

BUFFER_TEMPERATURES_C = (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)
# pH of calibration buffers at those temperatures, by their name at 25 °C. 4.01 phthalate
# 0.05 m, 6.86 equimolal phosphate 0.025 m, 9.18 borax 0.01 m and 10.01 carbonate 0.025 m are
# primary standards (Bates 1973, Determination of pH; NIST SP 260-53); 7.00 is the usual
# commercial phosphate buffer, and differs between makers in the second decimal. All cited from
# memory, not checked against the books: the label on the bottle goes first.
BUFFERS = {
    4.01: (4.003, 3.999, 3.998, 3.999, 4.002, 4.008, 4.015, 4.024, 4.035),
    6.86: (6.984, 6.951, 6.923, 6.900, 6.881, 6.865, 6.853, 6.844, 6.838),
    7.00: (7.12, 7.09, 7.06, 7.04, 7.02, 7.00, 6.99, 6.98, 6.97),
    9.18: (9.464, 9.395, 9.332, 9.276, 9.225, 9.180, 9.139, 9.102, 9.068),
    10.01: (10.317, 10.245, 10.179, 10.118, 10.062, 10.012, 9.966, 9.925, 9.889),
}


class Calibration(NamedTuple):
    """Electrode zero and slope: mV at pH 7, and the part of the Nernst slope it gives."""

    offset_mv: float
    slope_fraction: float


class ReadingError(NamedTuple):
    """What a meter shows at pH 7 beyond 7, and how far it stretches the distance from 7."""

    offset_ph: float
    slope_fraction: float


@everyday
def nernst_slope_mv(temperature_c: Numeric) -> Same:
    """Nernst slope ln(10)·R·T/F [mV per pH], 59.16 at 25 °C."""
    kelvin = temperature_c + KELVIN
    return 1000.0 * np.log(10.0) * GAS_CONSTANT_J_MOL_K / FARADAY_C_MOL * kelvin


def buffer_ph(name: float, temperature_c: Numeric) -> Same:
    """pH of a buffer, named by its pH at 25 °C (4.01, 6.86, 7.00, 9.18, 10.01), at 0-40 °C.

    Straight between the tabulated 5 °C steps (see BUFFERS for the source); NaN outside them.
    Raises ValueError for a buffer that is not in the table.
    """
    table = BUFFERS.get(name)
    if table is None:
        known = ", ".join(f"{buffer:.2f}" for buffer in BUFFERS)
        raise ValueError(f"no buffer of pH {name}; known: {known}")
    at = np.asarray(temperature_c, dtype=np.float64)
    value = np.interp(at, BUFFER_TEMPERATURES_C, table, left=np.nan, right=np.nan)
    return value if np.ndim(value) else float(value)


def two_point_calibration(
    first_ph: float,
    first_mv: float,
    second_ph: float,
    second_mv: float,
    temperature_c: float,
) -> Calibration:
    """Zero and slope of an electrode from its voltages in two buffers at one temperature.

    The pH are those of the buffers at that temperature (`buffer_ph`). Raises ValueError for
    buffers less than 1 pH apart, which fix no slope.
    """
    slope = _slope(first_ph, first_mv, second_ph, second_mv)
    offset = first_mv - slope * (first_ph - PIVOT_PH)
    return Calibration(offset, -slope / float(nernst_slope_mv(temperature_c)))


def error_from_buffers(
    first_ph: float, first_shown: float, second_ph: float, second_shown: float
) -> ReadingError:
    """Offset and slope of a meter from the pH it shows in two buffers, before adjusting it.

    Raises ValueError for buffers less than 1 pH apart.
    """
    slope = _slope(first_ph, first_shown, second_ph, second_shown)
    return ReadingError(first_shown - slope * (first_ph - PIVOT_PH) - PIVOT_PH, slope)


def _slope(first_ph: float, first: float, second_ph: float, second: float) -> float:
    if abs(first_ph - second_ph) < 1.0:
        raise ValueError(f"buffers {first_ph} and {second_ph} are too near to give a slope")
    return (first - second) / (first_ph - second_ph)


@everyday
def electrode_mv(
    ph: Numeric, temperature_c: Numeric, offset_mv: Numeric = 0.0, slope_fraction: Numeric = 1.0
) -> Same:
    """Voltage [mV] of an electrode in water of this pH and temperature."""
    return offset_mv - slope_fraction * nernst_slope_mv(temperature_c) * (ph - PIVOT_PH)


@everyday
def ph_from_mv(
    mv: Numeric, temperature_c: Numeric, offset_mv: Numeric = 0.0, slope_fraction: Numeric = 1.0
) -> Same:
    """pH from an electrode's voltage [mV]; the inverse of `electrode_mv`."""
    return PIVOT_PH - (mv - offset_mv) / (slope_fraction * nernst_slope_mv(temperature_c))


@everyday
def shown_ph(ph: Numeric, offset_ph: Numeric = 0.0, slope_fraction: Numeric = 1.0) -> Same:
    """pH a meter shows for a true pH: 7 + offset + slope_fraction·(pH - 7)."""
    return PIVOT_PH + offset_ph + slope_fraction * (ph - PIVOT_PH)


@everyday
def true_ph(shown: Numeric, offset_ph: Numeric = 0.0, slope_fraction: Numeric = 1.0) -> Same:
    """pH of the water from what the meter shows; the inverse of `shown_ph`."""
    return PIVOT_PH + (shown - offset_ph - PIVOT_PH) / slope_fraction


@everyday
def uncompensated_slope(water_c: Numeric, meter_c: Numeric = 25.0) -> Same:
    """Slope fraction of a meter set to `meter_c` [°C] in water of `water_c`: S(water)/S(meter).

    Without temperature compensation the distance from pH 7 is wrong by 0.34 % a degree.
    """
    return nernst_slope_mv(water_c) / nernst_slope_mv(meter_c)


@everyday
def drifted_offset_ph(offset_ph: Numeric, drift_ph_per_day: Numeric, days: Numeric) -> Same:
    """Offset [pH] `days` after it was `offset_ph`, at a steady drift."""
    return offset_ph + drift_ph_per_day * days


@everyday
def drift_sd_ph(days: Numeric, calibrated_sd_ph: Numeric, walk_ph_per_root_day: Numeric) -> Same:
    """Standard deviation [pH] of the offset `days` after a calibration.

    Calibration's own error and a random walk since: √(sd² + walk²·days). NaN before it.
    """
    walk = walk_ph_per_root_day * np.sqrt(days)
    return np.sqrt(calibrated_sd_ph * calibrated_sd_ph + walk * walk)
