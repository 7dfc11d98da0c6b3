"""What one dose of a bottle brings to the tank: every species, and its hardness."""

from __future__ import annotations

from collections.abc import Mapping

from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.science.cited import Range
from leafgill.science.salts import SALTS, gh_dgh, kh_dkh
from leafgill.tank.bottle import Bottle
from leafgill.tank.spec import Tank

# How far the water of a tank is off what the file says, nine times in ten: given, or taken from
# the glass (the belief begins with the same).
VOLUME_PART, GUESSED_PART = 0.08, 0.16
# A kitchen scale and a measuring syringe together (a choice of ours).
MEASURED_PART = 0.03
# What counts twice (nitrogen is in nitrate already) is told only where nothing else tells it.
_CARRIERS = {
    "nitrogen": ("nitrate", "ammonium", "urea"),
    "phosphorus": ("phosphate",),
    "sulfur": ("sulfate",),
}
_HIDDEN = ("boric_acid", "molybdate", "urea_nitrogen")
_MOLAR = "molar masses, standard atomic weights"


def species_mg(bottle: Bottle, dose_ml: float) -> dict[str, float]:
    """Return milligrams of each species, elements included, in so many mL of a bottle."""
    found: dict[str, float] = {}
    for key, g_l in bottle.salts_g_l().items():
        for species, share in SALTS[key].gives.items():
            found[species] = found.get(species, 0.0) + g_l * dose_ml * share
    for species, g_l in bottle.holds_g_l:
        found[species] = found.get(species, 0.0) + g_l * dose_ml
    return found


def told_species(found: Mapping[str, float]) -> list[str]:
    """Return the species that are told of: as kits name them, else the element."""
    hidden = set(_HIDDEN)
    for element, carriers in _CARRIERS.items():
        if any(name in found for name in carriers):
            hidden.add(element)
    return [name for name in found if name not in hidden]


def volume_of(tank: Tank) -> Range:
    """Return the water of a tank [L] with its ends."""
    part = VOLUME_PART if tank.volume_known else GUESSED_PART
    return Range(tank.volume_l, (1.0 - part) * tank.volume_l, (1.0 + part) * tank.volume_l)


def _spread(value: float, tank: Tank) -> Range:
    """Return a concentration in the tank with what volume and measuring leave open."""
    part = VOLUME_PART if tank.volume_known else GUESSED_PART
    off = (part**2 + MEASURED_PART**2) ** 0.5
    return Range(value, value / (1.0 + off), value / (1.0 - off))


def brings(tank: Tank, bottle: Bottle, dose_ml: float) -> tuple[Figure, ...]:
    """Return what one dose raises each species by [mg/L], the most first."""
    found = species_mg(bottle, dose_ml)
    figures = [
        figure(
            f"dose_{species}_mg_l",
            f"{species.replace('_', ' ').capitalize()} a dose",
            _spread(found[species] / tank.volume_l, tank),
            "mg/L",
            "grams in the dose × part of the salt that is it / water of the tank",
            (Input("dose", dose_ml, "mL", "given"), *_held(bottle, species),
             given("water", volume_of(tank), "L",
                   "tank file" if tank.volume_known else "the glass less 10 %")),
            _MOLAR if bottle.salts_g else "the bottle's label",
        )
        for species in told_species(found)
    ]  # fmt: skip
    return tuple(sorted(figures, key=lambda one: -one.value))


def _held(bottle: Bottle, species: str) -> tuple[Input, ...]:
    salts = [
        Input(f"{key} ({100.0 * SALTS[key].gives[species]:.4g} % {species.replace('_', ' ')})",
              g_l, "g/L", "weighed in")
        for key, g_l in bottle.salts_g_l().items() if species in SALTS[key].gives
    ]  # fmt: skip
    return (*salts, *(Input(name, g_l, "g/L", "label") for name, g_l in bottle.holds_g_l
                      if name == species))  # fmt: skip


def hardness(tank: Tank, bottle: Bottle, dose_ml: float) -> tuple[Figure, ...]:
    """Return what one dose raises GH and KH by; empty for a bottle that raises neither."""
    dosed = {key: g_l * dose_ml * 1e-3 / tank.volume_l for key, g_l in bottle.salts_g_l().items()}
    gh = sum(float(gh_dgh(SALTS[key], g_l)) for key, g_l in dosed.items())
    kh = sum(float(kh_dkh(SALTS[key], g_l)) for key, g_l in dosed.items())
    inputs = (Input("dose", dose_ml, "mL", "given"),
              given("water", volume_of(tank), "L", "tank file"))  # fmt: skip
    return tuple(
        figure(f"dose_{what}", f"{label} a dose", _spread(value, tank), unit, formula, inputs,
               _MOLAR)
        for what, label, value, unit, formula in (
            ("gh_dgh", "GH", gh, "dGH", "moles of calcium and magnesium / 0.17832 mmol/L"),
            ("kh_dkh", "KH", kh, "dKH", "acid it takes up to pH 4.5 / 0.35665 meq/L"),
        )
        if value > 0.0
    )  # fmt: skip
