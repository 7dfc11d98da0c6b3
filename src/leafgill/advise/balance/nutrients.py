"""The nutrients that are followed: what plants hold of each, how it comes and goes, where to stay.

Concentrations are of the ion a test kit speaks of (nitrate as NO3, phosphate as PO4), contents of
the element in dry plant. Where no other source is named, a figure is a choice of ours, wide enough
for the tanks people keep.
"""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.science.cited import Mark, Range, Source

# Usual contents of freshwater macrophytes as surveys have them (Hutchinson 1975, A Treatise on
# Limnology III, ch. 27; Duarte 1992, Limnol. Oceanogr. 37, 882-889, for nitrogen and phosphorus).
_SURVEYS = Source("surveys of freshwater plants: Hutchinson 1975; Duarte 1992", Mark.MEMORY)
# Whole plants, of their dry weight.
CARBON_PERCENT = Range(38.0, 33.0, 43.0)
CARBON_SOURCE = Source("carbon of freshwater plants, 35 to 40 % of dry weight", Mark.MEMORY)
# What is left of the carbon fixed by light after the plants' own breath, day and night.
NET_SHARE = Range(0.7, 0.5, 0.9)
NET_SOURCE = Source("", Mark.CHOICE)
PRACTICE = "common practice, no source"
_HALF = "half-saturations of uptake by freshwater plants and algae spread over decades"
HALF_SOURCE = Source(_HALF, Mark.MEMORY)


@dataclass(frozen=True, slots=True)
class Nutrient:
    """One nutrient.

    `ion_per_element` turns the element's mass into the kit's ion. `tissue_percent` is the element
    in dry plant, `critical_percent` that at which Elodea grew to 95 % of its best (Gerloff 1973,
    EPA-R1-73-001, cited from memory, not checked against the report). `water_share` is the part
    plants take by their leaves from the water, the rest by their roots.
    `half_mg_l` is the concentration at which uptake is half. `loss_per_day` goes without plants
    (bacteria, precipitation, the soil), `other_mg_l_day` comes without food, tap or dose.
    `start_mg_l` and `tap_mg_l` hold where nothing was read. A tank is held between `floor_mg_l`
    and `ceiling_mg_l`. A kit shows nothing below `kit_least_mg_l`, and reads within `kit_step`
    (a factor) of the truth by its colours.
    """

    key: str
    name: str
    symbol: str
    element: str
    ion_per_element: float
    tissue_percent: Range
    critical_percent: float
    water_share: Range
    half_mg_l: Range
    loss_per_day: Range
    other_mg_l_day: Range
    start_mg_l: Range
    tap_mg_l: Range
    floor_mg_l: float
    ceiling_mg_l: float
    floor_basis: str
    ceiling_basis: str
    kit_least_mg_l: float
    kit_step: float = 1.5
    trace: bool = False

    @property
    def tissue_source(self) -> Source:
        """Where the content in plants is from."""
        return _SURVEYS


_NINE_TENTHS = (
    "uptake from the water runs at nine tenths or more at the upper end of published "
    f"half-saturations ({HALF_SOURCE.mark.value})"
)
_CAMARGO = (
    "10 mg/L of nitrate nitrogen, 44 of nitrate, harmed some freshwater animals in long tests "
    "(Camargo, Alonso & Salamanca 2005, Chemosphere 58, 1255; cited from memory, not checked "
    "against the paper)"
)
_EPA = (
    "well below the US EPA's criteria for soft water (cited from memory, not checked against the "
    "paper)"
)

_TABLE = (
    Nutrient(
        "nitrate", "nitrate", "NO3", "N", 4.4266,
        Range(2.5, 1.5, 4.0), 1.6, Range(0.7, 0.35, 1.0), Range(0.5, 0.1, 2.0),
        Range(0.008, 0.002, 0.03), Range(0.15, 0.02, 1.0), Range(10.0, 1.0, 50.0),
        Range(8.0, 1.0, 40.0), 5.0, 40.0, _NINE_TENTHS, _CAMARGO, 2.5,
    ),
    Nutrient(
        "phosphate", "phosphate", "PO4", "P", 3.0661,
        Range(0.32, 0.15, 0.6), 0.14, Range(0.6, 0.25, 1.0), Range(0.04, 0.01, 0.15),
        Range(0.03, 0.005, 0.15), Range(0.015, 0.001, 0.12), Range(0.5, 0.03, 3.0),
        Range(0.2, 0.02, 2.0), 0.3, 2.5, _NINE_TENTHS, PRACTICE, 0.08,
    ),
    Nutrient(
        "potassium", "potassium", "K", "K", 1.0,
        Range(2.4, 1.2, 4.2), 0.8, Range(0.85, 0.55, 1.0), Range(0.4, 0.08, 1.5),
        Range(0.002, 0.0005, 0.01), Range(0.03, 0.003, 0.2), Range(6.0, 1.0, 25.0),
        Range(2.5, 0.8, 8.0), 5.0, 40.0, _NINE_TENTHS, PRACTICE, 1.5, 1.4,
    ),
    Nutrient(
        "calcium", "calcium", "Ca", "Ca", 1.0,
        Range(1.1, 0.4, 2.5), 0.28, Range(0.8, 0.5, 1.0), Range(0.8, 0.2, 3.0),
        Range(0.001, 0.0002, 0.006), Range(0.05, 0.005, 0.4), Range(30.0, 10.0, 90.0),
        Range(40.0, 10.0, 110.0), 10.0, 120.0, _NINE_TENTHS, PRACTICE, 4.0, 1.2,
    ),
    Nutrient(
        "magnesium", "magnesium", "Mg", "Mg", 1.0,
        Range(0.35, 0.18, 0.65), 0.10, Range(0.8, 0.5, 1.0), Range(0.25, 0.05, 1.0),
        Range(0.001, 0.0002, 0.005), Range(0.01, 0.001, 0.08), Range(6.0, 1.5, 22.0),
        Range(7.0, 1.5, 25.0), 3.0, 40.0, _NINE_TENTHS, PRACTICE, 1.5, 1.3,
    ),
    Nutrient(
        "iron", "iron", "Fe", "Fe", 1.0,
        Range(0.03, 0.008, 0.1), 0.006, Range(0.5, 0.2, 0.95), Range(0.008, 0.002, 0.03),
        Range(0.25, 0.07, 0.9), Range(0.001, 0.00005, 0.015), Range(0.05, 0.005, 0.3),
        Range(0.02, 0.003, 0.15), 0.03, 0.5,
        f"above most half-saturations of uptake ({HALF_SOURCE.mark.value})", PRACTICE, 0.04,
    ),
    Nutrient(
        "manganese", "manganese", "Mn", "Mn", 1.0,
        Range(0.012, 0.003, 0.05), 0.0004, Range(0.5, 0.2, 0.95), Range(0.002, 0.0005, 0.01),
        Range(0.1, 0.02, 0.4), Range(5e-4, 5e-5, 4e-3), Range(0.01, 0.001, 0.06),
        Range(0.005, 0.0005, 0.03), 0.005, 0.3, PRACTICE, _EPA, 0.05, trace=True,
    ),
    Nutrient(
        "zinc", "zinc", "Zn", "Zn", 1.0,
        Range(0.005, 0.002, 0.014), 0.0008, Range(0.6, 0.3, 0.95), Range(0.001, 0.0002, 0.005),
        Range(0.05, 0.01, 0.2), Range(3e-4, 3e-5, 2e-3), Range(0.015, 0.002, 0.08),
        Range(0.03, 0.003, 0.2), 0.002, 0.1, PRACTICE, _EPA, 0.05, trace=True,
    ),
    Nutrient(
        "boron", "boron", "B", "B", 1.0,
        Range(0.0015, 0.0006, 0.004), 0.00013, Range(0.7, 0.4, 1.0), Range(0.003, 0.0005, 0.02),
        Range(0.002, 0.0005, 0.01), Range(2e-4, 2e-5, 2e-3), Range(0.03, 0.005, 0.15),
        Range(0.03, 0.005, 0.2), 0.01, 0.5, PRACTICE, PRACTICE, 0.2, trace=True,
    ),
    Nutrient(
        "copper", "copper", "Cu", "Cu", 1.0,
        Range(0.0008, 0.0003, 0.002), 0.00008, Range(0.6, 0.3, 0.95), Range(5e-4, 1e-4, 3e-3),
        Range(0.08, 0.02, 0.3), Range(5e-5, 5e-6, 5e-4), Range(0.004, 0.0005, 0.02),
        Range(0.01, 0.001, 0.1), 0.0005, 0.01, PRACTICE,
        "shrimp and snails die of little copper: below the US EPA's chronic criterion at a "
        "hardness of 100 mg/L (cited from memory, not checked against the paper)",
        0.05, trace=True,
    ),
    Nutrient(
        "molybdenum", "molybdenum", "Mo", "Mo", 1.0,
        Range(0.0001, 0.00002, 0.0004), 0.000015, Range(0.7, 0.4, 1.0), Range(1e-4, 2e-5, 1e-3),
        Range(0.01, 0.002, 0.05), Range(1e-5, 1e-6, 1e-4), Range(0.001, 0.0001, 0.006),
        Range(0.001, 0.0001, 0.005), 0.0002, 0.05, PRACTICE, PRACTICE, 0.05, trace=True,
    ),
)  # fmt: skip

NUTRIENTS: dict[str, Nutrient] = {one.key: one for one in _TABLE}

# What a salt or a label gives by one name that is followed by another.
COUNTED_AS: dict[str, tuple[str, float]] = {
    "nitrate": ("nitrate", 1.0),
    "nitrogen": ("nitrate", 4.4266),
    "ammonium": ("nitrate", 62.0049 / 18.0385),
    "urea_nitrogen": ("nitrate", 4.4266),
    "phosphate": ("phosphate", 1.0),
    "phosphorus": ("phosphate", 3.0661),
    **{one.key: (one.key, 1.0) for one in _TABLE if one.key not in ("nitrate", "phosphate")},
}

# Animals that keepers know as delicate: nitrate stays lower for them.
_DELICATE = {"sensitive-fish", "fry", "shrimp", "stream-fish", "frogs", "mussels"}
_DELICATE_NITRATE_MG_L = 25.0
_NO_COPPER = {"shrimp", "crayfish", "snails", "mussels"}
_WITH_SHRIMP_COPPER_MG_L = 0.005


def ceiling_of(nutrient: Nutrient, kinds: tuple[str, ...]) -> tuple[float, str]:
    """Return (ceiling [mg/L], its grounds) with the animals of a tank."""
    if nutrient.key == "nitrate" and _DELICATE & set(kinds):
        return _DELICATE_NITRATE_MG_L, f"delicate animals: {PRACTICE}; {nutrient.ceiling_basis}"
    if nutrient.key == "copper" and _NO_COPPER & set(kinds):
        return _WITH_SHRIMP_COPPER_MG_L, nutrient.ceiling_basis
    return nutrient.ceiling_mg_l, nutrient.ceiling_basis


def ion_per_carbon(nutrient: Nutrient, tissue_percent: float, carbon_percent: float) -> float:
    """Return the mass of a nutrient's ion in plant per mass of its carbon [mg/mg]."""
    return tissue_percent / carbon_percent * nutrient.ion_per_element
