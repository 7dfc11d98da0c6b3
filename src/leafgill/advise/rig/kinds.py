"""The kinds of diffuser: what bubbles each makes, how long it keeps them, what pressure it needs.

No publication was found that measured aquarium diffusers, so the ranges are ours, each marked; a
reading of your own (`diffuser_bar` in the tank file, a weighed cylinder in the diary) says more.
"""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.science.cited import Mark, Range, Source

# Bubbles are compared at this flow of gas, which is about two counted bubbles a second [mL/min].
REFERENCE_ML_MIN = 10.0
# Bubbles merge on a face that gives more: diameter grows as the flow to this power. A round figure
# between no growth and the third power of a volume that grows with the flow.
GROWTH = Range(0.25, 0.1, 0.4)
# Standard deviation of ln(diameter) within one cloud.
SPREAD = 0.45
NO_PRESSURE = Range(0.0, 0.0, 0.0)
BUBBLES = Source("sizes as the eye judges them", Mark.CHOICE)
PORES = Source("Young-Laplace: 4·σ/pore; pore widths as such discs are described", Mark.CHOICE)
HELD = Source("how long bubbles are kept, as such devices are described", Mark.CHOICE)


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of diffuser.

    `bubble_mm` is the median diameter by volume at 10 mL of gas a minute through one; `pore_mm`
    the widest pores, None where there is no porous face and `opening_bar` holds instead;
    `held_s` how long bubbles stay under water before they rise. `grows` says whether more gas
    makes larger bubbles, `in_line` whether it sits in the filter's hose.
    """

    word: str
    name: str
    bubble_mm: Range
    held_s: Range
    where: str
    pore_mm: Range | None = None
    opening_bar: Range = NO_PRESSURE
    grows: bool = True
    in_line: bool = False


KINDS: dict[str, Kind] = {
    kind.word: kind
    for kind in (
        Kind(
            "disc",
            "disc",
            Range(0.9, 0.5, 1.6),
            Range(0.0, 0.0, 0.0),
            "low in the tank, where the filter's stream carries the mist along the length and "
            "holds it down; never below the inlet, which would swallow it",
            pore_mm=Range(0.005, 0.0025, 0.012),
        ),
        Kind(
            "inline",
            "inline diffuser",
            Range(0.8, 0.4, 1.5),
            Range(1.5, 0.5, 4.0),
            "in the hose from the filter back to the tank, after the filter, upright, the outlet "
            "low in the tank",
            pore_mm=Range(0.004, 0.002, 0.009),
            in_line=True,
        ),
        Kind(
            "reactor",
            "reactor",
            Range(3.0, 2.0, 5.0),
            Range(60.0, 20.0, 180.0),
            "in the hose from the filter back to the tank, after the filter, upright, the water "
            "going down through it",
            opening_bar=Range(0.05, 0.02, 0.15),
            grows=False,
            in_line=True,
        ),
        Kind(
            "airstone",
            "air stone or wood",
            Range(1.6, 0.9, 3.0),
            Range(0.0, 0.0, 0.0),
            "as deep as it goes, in the filter's stream",
            opening_bar=Range(0.1, 0.04, 0.4),
        ),
        Kind(
            "ladder",
            "bubble ladder",
            Range(4.0, 3.0, 5.5),
            Range(30.0, 12.0, 60.0),
            "upright and deep, out of the strongest stream",
            opening_bar=Range(0.02, 0.01, 0.05),
            grows=False,
        ),
    )
}
# A bell keeps a pocket of gas: its face and how fast CO2 crosses it [cm², m/s]. The speed is of
# the order of a rigid bubble's.
BELL_FACE_CM2 = Range(25.0, 10.0, 60.0)
BELL_TRANSFER_M_S = Range(3e-5, 1e-5, 8e-5)
BELL_WHERE = "low in the tank, tilted by nothing, where the stream passes under it"
BELL_NAME = "bell"
# A filter moves so many tank volumes an hour where nothing was measured (common practice, no
# source).
USUAL_TURNOVER = Range(4.0, 2.0, 8.0)
