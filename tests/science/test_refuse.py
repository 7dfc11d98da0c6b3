import math

import numpy as np
import pytest

from leafgill.science import refuse


def test_what_is_accepted_passes_nan_too():
    refuse.positive("a room", "m³", np.array([0.1, math.nan]))
    refuse.not_negative("a mass", "kg", [0.0, math.nan])
    refuse.inside("a part", "", [0.0, 1.0, math.nan], 0.0, 1.0)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: refuse.positive("a room", "m³", 0), "a room of 0 m³; accepted: more than 0 m³"),
        (
            lambda: refuse.not_negative("a mass", "kg", [1.0, -2.5]),
            "a mass of -2.5 kg; accepted: 0 kg or more",
        ),
        (
            lambda: refuse.inside("a part", "", [[0.5], [1.5]], 0.0, 1.0),
            "a part of 1.5; accepted: 0 to 1",
        ),
        (
            lambda: refuse.inside("water", "°C", -1.0, 0.0, 40.0),
            "water of -1 °C; accepted: 0 to 40 °C",
        ),
    ],
)
def test_one_line_says_what_was_given_and_what_is_accepted(call, said):
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == said
