"""Invented waters for changes: what a tap and a membrane give."""

import pytest

from leafgill.advise.water.make_up import MakeUp
from leafgill.science.cited import Range


def sure(value):
    return Range(value, value, value)


@pytest.fixture
def water():
    """Return a function that makes a water without error bars; names of levels as keywords."""

    def made(kh=4.0, gh=6.0, co2=3.0, warm=25.0, name="new water", **levels):
        return MakeUp(
            name, sure(kh), sure(gh), sure(co2), sure(warm),
            {key: sure(value) for key, value in levels.items()},
        )  # fmt: skip

    return made
