"""The keeper's salts: formula, names in trade, and the ions or molecules each gives in water.

`IONS` says what a test kit or a balance of nutrients calls each of them. Chelates are written by
the metal alone: the ligand is no nutrient and carries next to no hardness.
"""

from typing import NamedTuple


class Ion(NamedTuple):
    """A species in water: formula without charge, charge, and the name it is counted under.

    `element`: the nutrient element it also counts for, its symbol and number of atoms.
    `alkalinity_eq`: acid [eq/mol] that it takes up on the way to the end of a KH titration, near
    pH 4.5.
    """

    formula: str
    charge: int
    species: str
    element: tuple[str, str, int] | None = None
    alkalinity_eq: float = 0.0


_N = ("nitrogen", "N", 1)
_P = ("phosphorus", "P", 1)
_S = ("sulfur", "S", 1)

IONS: dict[str, Ion] = {
    "K": Ion("K", 1, "potassium"),
    "Na": Ion("Na", 1, "sodium"),
    "NH4": Ion("NH4", 1, "ammonium", _N),
    "Ca": Ion("Ca", 2, "calcium"),
    "Mg": Ion("Mg", 2, "magnesium"),
    "Fe": Ion("Fe", 2, "iron"),
    "Mn": Ion("Mn", 2, "manganese"),
    "Zn": Ion("Zn", 2, "zinc"),
    "Cu": Ion("Cu", 2, "copper"),
    "Co": Ion("Co", 2, "cobalt"),
    "Ni": Ion("Ni", 2, "nickel"),
    "NO3": Ion("NO3", -1, "nitrate", _N),
    "Cl": Ion("Cl", -1, "chloride"),
    "SO4": Ion("SO4", -2, "sulfate", _S),
    "HCO3": Ion("HCO3", -1, "bicarbonate", None, 1.0),
    "CO3": Ion("CO3", -2, "carbonate", None, 2.0),
    "H2PO4": Ion("H2PO4", -1, "phosphate", _P),
    "HPO4": Ion("HPO4", -2, "phosphate", _P, 1.0),
    "MoO4": Ion("MoO4", -2, "molybdate", ("molybdenum", "Mo", 1)),
    "B(OH)3": Ion("B(OH)3", 0, "boric_acid", ("boron", "B", 1)),
    "urea": Ion("CO(NH2)2", 0, "urea", ("nitrogen", "N", 2)),
    # metals held by a ligand; the complex's charge is met by the salt's sodium
    "Fe-gluconate": Ion("Fe", 0, "iron"),
    "Fe-EDTA": Ion("Fe", -1, "iron"),
    "Fe-DTPA": Ion("Fe", -2, "iron"),
}
# Kits name phosphate as PO4 whatever protons it carries.
COUNTED_AS = {"phosphate": "PO4"}


class Row(NamedTuple):
    """A salt as it is sold: name, formula (parts of a hydrate joined by a dot), ions, trade names.

    `formula` is the key too, unless `key` says otherwise.
    """

    name: str
    formula: str
    ions: tuple[tuple[str, float], ...]
    trade_names: tuple[str, ...] = ()
    key: str = ""


def _of(**ions: float) -> tuple[tuple[str, float], ...]:
    return tuple(ions.items())


ROWS: tuple[Row, ...] = (
    Row("potassium nitrate", "KNO3", _of(K=1, NO3=1), ("saltpetre", "saltpeter")),
    Row(
        "potassium dihydrogen phosphate",
        "KH2PO4",
        _of(K=1, H2PO4=1),
        ("monopotassium phosphate", "MKP"),
    ),
    Row("dipotassium hydrogen phosphate", "K2HPO4", _of(K=2, HPO4=1), ("dipotassium phosphate",)),
    Row(
        "potassium sulfate",
        "K2SO4",
        _of(K=2, SO4=1),
        ("sulfate of potash", "sulphate of potash"),
    ),
    Row("potassium chloride", "KCl", _of(K=1, Cl=1), ("muriate of potash",)),
    Row("potassium bicarbonate", "KHCO3", _of(K=1, HCO3=1), ("potassium hydrogen carbonate",)),
    Row("potassium carbonate", "K2CO3", _of(K=2, CO3=1), ("potash",)),
    Row(
        "sodium bicarbonate",
        "NaHCO3",
        _of(Na=1, HCO3=1),
        ("baking soda", "sodium hydrogen carbonate"),
    ),
    Row("sodium carbonate", "Na2CO3", _of(Na=2, CO3=1), ("soda ash", "washing soda, dry")),
    Row("sodium chloride", "NaCl", _of(Na=1, Cl=1), ("table salt", "common salt")),
    Row("sodium nitrate", "NaNO3", _of(Na=1, NO3=1), ("Chile saltpetre",)),
    Row(
        "magnesium sulfate heptahydrate",
        "MgSO4.7H2O",
        _of(Mg=1, SO4=1),
        ("Epsom salt", "bitter salt"),
    ),
    Row("magnesium sulfate, anhydrous", "MgSO4", _of(Mg=1, SO4=1), ("dried Epsom salt",)),
    Row("magnesium chloride hexahydrate", "MgCl2.6H2O", _of(Mg=1, Cl=2)),
    Row("magnesium nitrate hexahydrate", "Mg(NO3)2.6H2O", _of(Mg=1, NO3=2)),
    Row("calcium sulfate dihydrate", "CaSO4.2H2O", _of(Ca=1, SO4=1), ("gypsum",)),
    Row("calcium chloride dihydrate", "CaCl2.2H2O", _of(Ca=1, Cl=2), ("calcium chloride flakes",)),
    Row("calcium chloride, anhydrous", "CaCl2", _of(Ca=1, Cl=2), ("dried calcium chloride",)),
    Row(
        "calcium nitrate tetrahydrate",
        "Ca(NO3)2.4H2O",
        _of(Ca=1, NO3=2),
        ("Norwegian saltpetre",),
    ),
    Row(
        "calcium carbonate",
        "CaCO3",
        _of(Ca=1, CO3=1),
        ("calcite", "chalk", "limestone"),
    ),
    Row("urea", "CO(NH2)2", (("urea", 1.0),), ("carbamide",), key="urea"),
    Row(
        "ammonium sulfate",
        "(NH4)2SO4",
        _of(NH4=2, SO4=1),
        ("sulfate of ammonia", "sulphate of ammonia"),
    ),
    Row("ammonium nitrate", "NH4NO3", _of(NH4=1, NO3=1)),
    Row("ammonium chloride", "NH4Cl", _of(NH4=1, Cl=1), ("sal ammoniac",)),
    Row(
        "iron(II) gluconate dihydrate",
        "C12H22FeO14.2H2O",
        (("Fe-gluconate", 1.0),),
        ("iron gluconate", "ferrous gluconate", "Fe gluconate"),
        key="Fe-gluconate",
    ),
    Row(
        "iron DTPA, disodium",
        "Na2FeC14H18N3O10",
        (("Na", 2.0), ("Fe-DTPA", 1.0)),
        ("iron DTPA", "DTPA iron", "Na2FeDTPA"),
        key="Fe-DTPA",
    ),
    Row(
        "iron EDTA, sodium, trihydrate",
        "NaFeC10H12N2O8.3H2O",
        (("Na", 1.0), ("Fe-EDTA", 1.0)),
        ("iron EDTA", "EDTA iron", "NaFeEDTA.3H2O"),
        key="Fe-EDTA",
    ),
    Row(
        "iron(II) sulfate heptahydrate",
        "FeSO4.7H2O",
        _of(Fe=1, SO4=1),
        ("iron sulfate", "ferrous sulfate", "green vitriol"),
    ),
    Row("manganese(II) sulfate monohydrate", "MnSO4.H2O", _of(Mn=1, SO4=1), ("manganese sulfate",)),
    Row(
        "zinc sulfate heptahydrate",
        "ZnSO4.7H2O",
        _of(Zn=1, SO4=1),
        ("zinc sulfate", "white vitriol"),
    ),
    Row(
        "copper(II) sulfate pentahydrate",
        "CuSO4.5H2O",
        _of(Cu=1, SO4=1),
        ("copper sulfate", "blue vitriol", "bluestone"),
    ),
    Row("boric acid", "H3BO3", (("B(OH)3", 1.0),), ("boracic acid",)),
    Row(
        "sodium molybdate dihydrate",
        "Na2MoO4.2H2O",
        _of(Na=2, MoO4=1),
        ("sodium molybdate",),
    ),
    Row("cobalt(II) sulfate heptahydrate", "CoSO4.7H2O", _of(Co=1, SO4=1), ("cobalt sulfate",)),
    Row("nickel(II) sulfate hexahydrate", "NiSO4.6H2O", _of(Ni=1, SO4=1), ("nickel sulfate",)),
)
