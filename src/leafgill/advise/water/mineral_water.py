"""What minerals make of a water: the ions it holds, its conductivity, how near it is to scaling."""

from __future__ import annotations

from collections.abc import Mapping

from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.water.make_up import MakeUp
from leafgill.advise.water.minerals import Wish
from leafgill.science import carbonate
from leafgill.science.cited import Range
from leafgill.science.conductivity import LIMITING_SOURCE, conductivity_us_cm
from leafgill.science.constants import DGH_MMOL_L, DKH_MEQ_L
from leafgill.science.gases import co2_equilibrium_mg_l
from leafgill.science.minerals import MINERALS
from leafgill.science.precipitation import saturation_indices
from leafgill.science.salts import SALTS

# Conductivity of water known by its salts alone, against a meter's (a choice of ours).
_METER_PART = 0.05
# CO2 of room air: usual, and its ends, the most first since it makes the lowest pH (a choice of
# ours).
_ROOM_PPM = (680.0, 1500.0, 420.0)
_IONS = {"calcium": "Ca", "magnesium": "Mg", "potassium": "K", "sodium": "Na",
         "chloride": "Cl", "sulfate": "SO4", "bicarbonate": "HCO3", "carbonate": "CO3",
         "nitrate": "NO3"}  # fmt: skip


def held_by(grams_l: Mapping[str, float], base: MakeUp) -> tuple[Figure, ...]:
    """Return mg/L of each ion that salts [g/L] bring, with what the water had where known."""
    brought: dict[str, list[tuple[str, float]]] = {}
    for key, grams in grams_l.items():
        for species, share in SALTS[key].gives.items():
            if species in _IONS:
                brought.setdefault(species, []).append((key, 1e3 * grams * share))
    told = []
    for species, parts in brought.items():
        before = base.levels.get(species, Range(0.0, 0.0, 0.0))
        added = sum(mg for _, mg in parts)
        told.append(
            figure(f"holds_{species}_mg_l", species.capitalize(),
                   Range(*(float(end) + added for end in before)), "mg/L",
                   "what the water had + grams of each salt × its part",
                   (given("had", before, "mg/L", base.origin(species)),
                    *(Input(f"by {key}", mg, "mg/L", "weighed") for key, mg in parts)),
                   "molar masses, standard atomic weights")
        )  # fmt: skip
    return tuple(sorted(told, key=lambda one: -one.value))


def ions_mmol_l(grams_l: Mapping[str, float], base: MakeUp) -> dict[str, float]:
    """Return mmol/L of each ion of a water with salts in it.

    What the base had is taken from its KH and GH: bicarbonate, calcium and magnesium 3 : 1, and
    chloride or sodium for what charge is left over.
    """
    bicarbonate = float(base.kh_dkh.value) * DKH_MEQ_L
    hardness = float(base.gh_dgh.value) * DGH_MMOL_L
    left = 2.0 * hardness - bicarbonate
    ions = {"HCO3": bicarbonate, "Ca": 0.75 * hardness, "Mg": 0.25 * hardness,
            "Cl": max(left, 0.0), "Na": max(-left, 0.0)}  # fmt: skip
    for key, grams in grams_l.items():
        salt = SALTS[key]
        for ion, count in salt.ions.items():
            ions[ion] = ions.get(ion, 0.0) + 1e3 * grams / salt.molar_mass_g_mol * count
    # near pH 7.5 carbonate is bicarbonate: it has taken up CO2
    ions["HCO3"] += 2.0 * ions.pop("CO3", 0.0)
    return {ion: amount for ion, amount in ions.items() if amount > 0.0}


def state_figures(grams_l: Mapping[str, float], base: MakeUp, wish: Wish) -> tuple[Figure, ...]:
    """Return conductivity, pH at rest in room air, and calcite saturation there."""
    ions = ions_mmol_l(grams_l, base)
    if not ions:
        return ()
    warm = float(base.temperature_c.value)
    micro = float(conductivity_us_cm(ions))
    shown = tuple(Input(ion, amount, "mmol/L", "salts and base water")
                  for ion, amount in ions.items())  # fmt: skip
    rest = _at_rest(wish, warm)
    return (
        figure("ready_us_cm", "Conductivity at 25 °C",
               Range(micro, (1.0 - _METER_PART) * micro, (1.0 + _METER_PART) * micro), "µS/cm",
               "limiting molar conductivity × amount of each ion, slowed by its neighbours", shown,
               str(LIMITING_SOURCE)),
        rest,
        *_lime(ions, rest, warm),
    )  # fmt: skip


def _lime(ions: Mapping[str, float], rest: Figure, warm: float) -> tuple[Figure, ...]:
    """Return the calcite saturation index at rest; none for water without calcium or carbonate."""
    if "Ca" not in ions or "HCO3" not in ions:
        return ()
    low, high = rest.low or rest.value, rest.high or rest.value
    found = [float(saturation_indices(ions, ph, warm)["calcite"]) for ph in (rest.value, low, high)]
    return (
        figure("lime_index", "Saturation with lime at rest, 0 is saturated", Range(*found), "",
               "log10 of ion product over solubility product; lime falls out from about "
               f"{MINERALS['calcite'].comes_at:g} on",
               (Input("pH at rest", rest.value, "", "room air"),
                Input("calcium", ions["Ca"], "mmol/L", "salts and base water")),
               str(MINERALS["calcite"].source)),
    )  # fmt: skip


def _at_rest(wish: Wish, warm: float) -> Figure:
    rest = [
        float(
            carbonate.ph(co2_equilibrium_mg_l(ppm, warm), wish.kh_dkh * DKH_MEQ_L, warm,
                         gh_dgh=wish.gh_dgh)
        )
        for ppm in _ROOM_PPM
    ]  # fmt: skip
    return figure("rest_ph", "pH at rest in room air", Range(*rest), "pH",
                  "carbonate equilibrium at the KH wished for with the CO2 of room air",
                  (Input("KH", wish.kh_dkh, "dKH", "wished for"),
                   given("room air", Range(_ROOM_PPM[0], _ROOM_PPM[2], _ROOM_PPM[1]), "ppm",
                         "a choice of ours")),
                  "Plummer & Busenberg 1982; Davies activities")  # fmt: skip
