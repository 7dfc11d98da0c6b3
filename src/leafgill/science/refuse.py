"""Values that no law can take: refused with what it was, what is accepted, and the unit."""

import numpy as np

from leafgill.science.compiled import FloatArray, Numeric


def _refuse(wrong: FloatArray, what: str, unit: str, accepted: str) -> None:
    if wrong.size:
        raise ValueError(f"{what} of {wrong.flat[0]:g} {unit}".rstrip() + f"; accepted: {accepted}")


def positive(what: str, unit: str, values: Numeric) -> None:
    """Raise ValueError if any of `values` is 0 or less; NaN passes."""
    array = np.asarray(values, dtype=np.float64)
    _refuse(array[array <= 0.0], what, unit, f"more than 0 {unit}".rstrip())


def not_negative(what: str, unit: str, values: Numeric) -> None:
    """Raise ValueError if any of `values` is below 0; NaN passes."""
    array = np.asarray(values, dtype=np.float64)
    _refuse(array[array < 0.0], what, unit, f"0 {unit}".rstrip() + " or more")


def inside(what: str, unit: str, values: Numeric, low: float, high: float) -> None:
    """Raise ValueError if any of `values` is outside `low` to `high`; NaN passes."""
    array = np.asarray(values, dtype=np.float64)
    wrong = array[(array < low) | (array > high)]
    _refuse(wrong, what, unit, f"{low:g} to {high:g} {unit}".rstrip())
