"""What falls out in a bottle, and in two bottles that are poured together.

Crystals of the salts themselves are `dissolving`'s; here it is what their ions make of each other:
phosphates, lime, gypsum, rust.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.stock.dissolving import ions_mol_l
from leafgill.science.cited import Mark, Range, Source
from leafgill.science.formulas import formula_mass_g_mol
from leafgill.science.minerals import MINERALS
from leafgill.science.precipitation import saturation_indices, settled_ph
from leafgill.tank.bottle import Bottle

PRACTICE = str(Source("", Mark.PRACTICE))
# Activities at the strength of a bottle are good to about one unit of an index.
_INDEX_OFF = 1.0
# Where two bottles meet, in a wet cup or a hose, the tank's water has its say in the pH (a choice
# of ours).
MEETING_PH = 7.0
_ADVICE = {
    "calcite": "keep calcium and carbonates in bottles of their own",
    "gypsum": "keep calcium and sulfates in bottles of their own",
    "brushite": "keep calcium and phosphate in bottles of their own",
    "hydroxyapatite": "keep calcium and phosphate in bottles of their own",
    "struvite": "keep ammonium, magnesium and phosphate apart",
    "vivianite": "keep iron and phosphate in bottles of their own, or take iron as Fe-DTPA",
    "strengite": "keep iron and phosphate in bottles of their own, or take iron as Fe-DTPA",
    "iron hydroxide": "iron without a chelate rusts: take Fe-DTPA or Fe-EDTA, or an acid bottle of "
    "its own",
}  # fmt: skip
# What a label names, as the ion it is in water.
_LABEL_IONS = {"nitrate": ("NO3", "NO3"), "phosphate": ("H2PO4", "PO4"), "potassium": ("K", "K"),
               "phosphorus": ("H2PO4", "P"), "calcium": ("Ca", "Ca"), "magnesium": ("Mg", "Mg"),
               "ammonium": ("NH4", "NH4")}  # fmt: skip
_WEAK, _STRONG = "Fe-gluconate", ("Fe-EDTA", "Fe-DTPA")
_PHOSPHATES = ("H2PO4", "HPO4")


@dataclass(frozen=True, slots=True)
class Settling:
    """One solid that may fall out: its saturation index, and whether it does.

    `index` is None where no law but the keepers' rule speaks; `falls` means within days.
    """

    what: str
    index: Figure | None
    falls: bool
    words: str


@dataclass(frozen=True, slots=True)
class Between:
    """Two bottles that must not be poured together, by what falls out of them."""

    first: str
    second: str
    what: str
    words: str


def settling_in(bottle: Bottle, warm_c: float = 25.0) -> tuple[Settling, ...]:
    """Return what falls out in a bottle, or comes near to it, the surest first.

    `warm_c` is the bottle's warmth [°C]. Lime and phosphates dissolve less in warm water, so the
    warmth of the room in summer is the test.
    """
    mix = {ion: 1e3 * amount for ion, amount in ions_mol_l(bottle).items()}
    return _settling(mix, warm_c, None)


def between(bottles: Sequence[Bottle], warm_c: float = 25.0) -> tuple[Between, ...]:
    """Return the pairs of bottles to keep apart: equal parts of them poured together.

    They meet at the pH of tank water, where more falls out than in an acid bottle; what falls out
    of one of them alone there is not told of again.
    """
    found = []
    for first, second in combinations(bottles, 2):
        one, other = _ions(first), _ions(second)
        both = {ion: 0.5 * (one.get(ion, 0.0) + other.get(ion, 0.0)) for ion in {*one, *other}}
        alone = _alone(first, one, warm_c) | _alone(second, other, warm_c)
        for each in _settling(both, warm_c, MEETING_PH):
            if each.falls and each.what not in alone:
                words = f"{each.what} falls out where they meet; {each.words}"
                found.append(Between(first.name, second.name, each.what, words))
    return tuple(found)


def _alone(bottle: Bottle, mix: Mapping[str, float], warm_c: float) -> set[str]:
    """Return what falls out of a bottle alone, in itself or at the pH of tank water."""
    # charges balance only where every salt is known
    own = _settling(mix, warm_c, None) if bottle.salts_g and not bottle.holds_g_l else ()
    return {each.what for each in (*own, *_settling(mix, warm_c, MEETING_PH)) if each.falls}


def _settling(mix: Mapping[str, float], warm_c: float, ph: float | None) -> tuple[Settling, ...]:
    if not mix:
        return ()
    acid = settled_ph(mix, warm_c) if ph is None else ph
    indices = saturation_indices(mix, acid, warm_c, iron_oxidised="Fe" in mix, closed=True)
    inputs = (
        Input("pH of the bottle", acid, "",
              "where its charges balance" if ph is None else "assumed"),
        Input("warmth", warm_c, "°C", "a choice of ours"),
        *(Input(ion, amount, "mmol/L", "weighed in") for ion, amount in mix.items()),
    )  # fmt: skip
    found = [
        _told(name, float(index), inputs)
        for name, index in indices.items()
        if float(index) > MINERALS[name].comes_at - _INDEX_OFF
    ]
    found.sort(key=lambda one: not one.falls)
    return (*found, *_by_rule(mix))


def _told(name: str, index: float, inputs: tuple[Input, ...]) -> Settling:
    mineral = MINERALS[name]
    falls = index > mineral.comes_at
    told = figure(
        f"index_{name.replace(' ', '_')}",
        f"Saturation index of {mineral.words}",
        Range(index, index - _INDEX_OFF, index + _INDEX_OFF),
        "",
        "log10 of ion product over solubility product",
        (*inputs, given("falls out within days from", mineral.comes_at, "", "a choice of ours")),
        str(mineral.source),
    )
    words = _ADVICE[name]
    return Settling(
        mineral.words, told, falls, f"{'it falls out' if falls else 'it may fall out'}; {words}"
    )


def _by_rule(mix: Mapping[str, float]) -> list[Settling]:
    """Return what keepers know of chelates, which no solubility product tells."""
    if not any(ion in mix for ion in _PHOSPHATES):
        return []
    if _WEAK in mix:
        return [
            Settling("iron phosphate", None, True,
                     "gluconate lets iron go within hours to days, and phosphate takes it; keep "
                     f"them in bottles of their own, or take Fe-DTPA ({PRACTICE})")
        ]  # fmt: skip
    if any(ion in mix for ion in _STRONG):
        return [
            Settling("iron phosphate", None, False,
                     "the chelate holds as long as the bottle stays acid (EDTA to about pH 6.5, "
                     "DTPA to about 7.5, cited from memory) and dark; keepers give it a bottle of "
                     f"its own all the same ({PRACTICE})")
        ]  # fmt: skip
    return []


def _ions(bottle: Bottle) -> dict[str, float]:
    """Return mmol/L of the ions of a bottle, of salts or by its label.

    Iron of a label is taken as held weakly: its chelate is not known.
    """
    mix = {ion: 1e3 * amount for ion, amount in ions_mol_l(bottle).items()}
    for name, g_l in bottle.holds_g_l:
        if name == "iron":
            mix[_WEAK] = mix.get(_WEAK, 0.0) + 1e3 * g_l / formula_mass_g_mol("Fe")
        elif name in _LABEL_IONS:
            ion, counted = _LABEL_IONS[name]
            mix[ion] = mix.get(ion, 0.0) + 1e3 * g_l / formula_mass_g_mol(counted)
    return mix
