"""How laws are compiled, and how they meet arrays.

Two kinds of law. A formula that NumPy can evaluate as it stands is written once and marked
`everyday`: it then takes numbers and arrays, and the same name can be called inside a numba
kernel. A law with loops and branches is a scalar function marked `compiled`; a loop over flat
arrays, with `flat` and `like` at its ends, gives it the same manners.
"""

import os
from collections.abc import Callable
from functools import wraps
from typing import Any, TypeAlias, TypeVar, cast

import numpy as np

# Kernel threads that wait by spinning fight with every other program on a small machine; they are
# told to sleep before numba starts them. Whoever set the variable knows better.
os.environ.setdefault("OMP_WAIT_POLICY", "PASSIVE")

from numba import njit
from numba.extending import overload
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
Numeric: TypeAlias = float | FloatArray
# What a law gives back follows what it was given, which overloads could say only by repeating
# every signature; NumPy answers Any in the same place.
Same: TypeAlias = Any

F = TypeVar("F", bound=Callable[..., Any])


def compiled(function: F) -> F:
    """Compile a scalar function to machine code, cached on disk, free of the interpreter lock.

    Division by zero gives inf or NaN, as in NumPy, and NaN passes through: no fast-math.
    """
    return cast(F, njit(cache=True, nogil=True, error_model="numpy")(function))


def everyday(law: F) -> F:
    """Give a NumPy formula its manners: numbers in, a float out; arrays in, an array out.

    Inside compiled code the same name stands for the bare formula.
    """

    @wraps(law)
    def public(*args: Numeric, **kwargs: Numeric) -> Same:
        named = {name: np.asarray(value, dtype=np.float64) for name, value in kwargs.items()}
        answer = law(*(np.asarray(value, dtype=np.float64) for value in args), **named)
        return answer if np.ndim(answer) else float(answer)

    overload(public, strict=False)(lambda *_args, **_kwargs: law)
    return cast(F, public)


def flat(*values: Numeric) -> tuple[tuple[int, ...], list[FloatArray]]:
    """Broadcast shape of `values`, and each as a flat float64 array of full size or of size 1.

    A single value stays a single value (the compiled loops step over it in place), so that a
    scalar beside a long array costs nothing. All come out contiguous and writable, which
    keeps each loop to one compiled form.
    """
    arrays = [np.asarray(value, dtype=np.float64) for value in values]
    shape = np.broadcast_shapes(*(array.shape for array in arrays))
    return shape, [
        np.require(
            array if array.size == 1 or array.shape == shape else np.broadcast_to(array, shape),
            requirements=("C", "W"),
        ).reshape(-1)
        for array in arrays
    ]


def like(result: FloatArray, shape: tuple[int, ...]) -> Same:
    """Return `result` in `shape`, or as a plain float when the shape is that of a scalar."""
    return result.reshape(shape) if shape else float(result[0])
