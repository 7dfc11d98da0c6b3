"""A recipe for soft water: what to weigh for so many litres, and what the water is then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from leafgill.advise.drawn import exactly, figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.water.make_up import MakeUp
from leafgill.advise.water.mineral_water import held_by, state_figures
from leafgill.advise.water.minerals import USUAL, Wish, grams_per_l
from leafgill.science.cited import Range
from leafgill.science.salts import SALTS, gh_dgh, kh_dkh, salt_of

# A scale in a kitchen shows tenths of a gram or hundredths; a bucket's mark is good to this part
# (a choice of ours).
USUAL_SCALE_G = 0.01
BUCKET_PART = 0.03
_MASSES = "molar masses, standard atomic weights"
CAUTIONS = (
    "Dissolve the salts one after the other in a jug of the new water, then stir them in; "
    "carbonates and gypsum take hours and a pump, and more of them dissolves with CO2.",
    "Test KH and GH of the ready water before it goes in.",
    "Salts are meant as sold by their formulas, dry: calcium chloride draws water from the air "
    "and is then weaker by weight.",
)


@dataclass(frozen=True)
class Recipe:
    """Grams for so many litres of a water that starts soft.

    `grams` by salt; `kh` and `gh` are what the water then has, with what scale and bucket leave
    open; `holds` what it holds of each ion [mg/L]; `state` its conductivity and how near it is
    to scaling.
    """

    wish: Wish
    base: MakeUp
    litres: float
    scale_g: float
    salts: tuple[str, ...]
    grams: tuple[Figure, ...]
    kh: Figure
    gh: Figure
    holds: tuple[Figure, ...]
    state: tuple[Figure, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS

    @cached_property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure."""
        return (*self.grams, self.kh, self.gh, *self.holds, *self.state)


def remineralise(
    base: MakeUp,
    wish: Wish,
    litres: float,
    salts: Sequence[str] = USUAL,
    *,
    scale_g: float = USUAL_SCALE_G,
) -> Recipe:
    """Return what to weigh into `litres` of a water for a wish.

    `salts` are names or formulas; `scale_g` the step of the scale. Raises InputError for salts
    that cannot give what is wished for, ValueError for a name that is none.
    """
    chosen = tuple(dict.fromkeys(salt_of(name).key for name in salts))
    found = [SALTS[key] for key in chosen]
    base_kh, base_gh = float(base.kh_dkh.value), float(base.gh_dgh.value)
    grams_l = grams_per_l(wish, base_kh, base_gh, found)
    taken = {salt.key: float(g) for salt, g in zip(found, grams_l, strict=True) if g > 0.0}
    inputs = (
        Input("KH wished for", wish.kh_dkh, "dKH", "given"),
        Input("GH wished for", wish.gh_dgh, "dGH", "given"),
        given("KH it starts from", base.kh_dkh, "dKH", base.origin("kh_dkh")),
        given("GH it starts from", base.gh_dgh, "dGH", base.origin("gh_dgh")),
        Input("litres", litres, "L", "given"),
    )
    grams = tuple(
        figure(f"weigh_{key}", key, g * litres, "g",
               "what is missing of KH and GH / what a gram of the salt gives × litres", inputs,
               _MASSES)
        for key, g in taken.items()
    )  # fmt: skip
    weighed = {key: _weighed(g * litres, litres, scale_g) for key, g in taken.items()}
    return Recipe(
        wish=wish,
        base=base,
        litres=litres,
        scale_g=scale_g,
        salts=chosen,
        grams=grams,
        kh=_hardness("ready_kh_dkh", "KH of the ready water", base.kh_dkh, weighed, "dKH", scale_g),
        gh=_hardness("ready_gh_dgh", "GH of the ready water", base.gh_dgh, weighed, "dGH", scale_g),
        holds=held_by(taken, base),
        state=state_figures(taken, base, wish),
        notes=tuple(_notes(taken, litres, scale_g)),
    )


def _weighed(grams: float, litres: float, scale_g: float) -> Range:
    """Return what a litre really gets [g/L]: half a step of the scale, and the bucket's mark."""
    half = 0.5 * scale_g
    return Range(
        grams / litres,
        max(grams - half, 0.0) / litres * (1.0 - BUCKET_PART),
        (grams + half) / litres * (1.0 + BUCKET_PART),
    )


def _hardness(
    key: str, label: str, base: Range, weighed: dict[str, Range], unit: str, scale_g: float
) -> Figure:
    of = kh_dkh if unit == "dKH" else gh_dgh
    ends = [
        float(start) + sum(float(of(SALTS[name], float(g[i]))) for name, g in weighed.items())
        for i, start in enumerate(base)
    ]
    return figure(key, label, Range(*ends), unit,
                  "what it starts from + what each salt gives, with the scale's step and the "
                  "bucket's mark",
                  (given("starts from", base, unit, "base water"),
                   *(given(name, g, "g/L", "weighed") for name, g in weighed.items()),
                   Input("step of the scale", scale_g, "g", "given"),
                   given("bucket's mark", exactly(BUCKET_PART), "", "a choice of ours")),
                  _MASSES)  # fmt: skip


def _notes(taken: dict[str, float], litres: float, scale_g: float) -> list[str]:
    """Say what cannot be weighed so small, and what hardly dissolves."""
    notes = []
    small = [key for key, g in taken.items() if g * litres < 20.0 * scale_g]
    if small:
        notes.append(
            f"{' and '.join(small)} weighs less than twenty steps of the scale: make more litres "
            "at once, or weigh it into a bottle of solution and dose that"
        )
    if "CaSO4.2H2O" in taken:
        notes.append(
            "gypsum dissolves slowly and never more than about 2 g in a litre: stir it in over a "
            "day, not into a bottle"
        )
    if "CaCO3" in taken:
        notes.append(
            "calcium carbonate hardly dissolves without CO2: bubble gas through until it is clear, "
            "and let the water stand open before it goes in"
        )
    return notes
