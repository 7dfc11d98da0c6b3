"""How well a chelate keeps its iron for the plants: up to which pH, and for how long."""

from typing import NamedTuple

from leafgill.science.cited import Mark, Range, Source


class Chelate(NamedTuple):
    """`holds_to_ph`: pH from which calcium and hydroxide take the iron away in tank water.

    `half_life_days`: how long half of it stays in a lit tank within that pH; light breaks chelates.
    """

    holds_to_ph: Range
    half_life_days: Range
    source: Source


_SOIL = Source(
    "Lindsay & Norvell 1969, Soil Sci. Soc. Am. Proc. 33, 62-68, for the pH; the days are ours",
    Mark.MEMORY,
)

CHELATES: dict[str, Chelate] = {
    "Fe-gluconate": Chelate(
        Range(6.0, 5.5, 6.5),
        Range(1.0, 0.2, 3.0),
        Source("weak, hours to days; fertiliser texts", Mark.MEMORY),
    ),
    "Fe-EDTA": Chelate(
        Range(6.5, 6.0, 6.8),
        Range(4.0, 1.0, 10.0),
        _SOIL,
    ),
    "Fe-DTPA": Chelate(
        Range(7.5, 7.0, 7.8),
        Range(5.0, 1.5, 14.0),
        _SOIL,
    ),
}


def chelate_of(key: str) -> Chelate:
    """Return a chelate by its salt's key. Raises ValueError naming those there are."""
    if key not in CHELATES:
        raise ValueError(f'a chelate "{key}"; accepted: {", ".join(CHELATES)}')
    return CHELATES[key]
