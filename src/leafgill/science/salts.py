"""The keeper's salts: what a gram of each gives the water, and how much of it dissolves.

Mass fractions are of the salt as it is sold, its crystal water counted, from periodictable's
standard atomic weights; pure salts are meant (trade grades are 95 to 100 %; a chelate in trade may
hold more water and less iron than its formula).
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType

import numpy as np

from leafgill.science import solubility
from leafgill.science.cited import Range, Source
from leafgill.science.compiled import Numeric, Same
from leafgill.science.conductivity import conductivity_us_cm as of_ions_us_cm
from leafgill.science.constants import DGH_MMOL_L, DKH_MEQ_L
from leafgill.science.formulas import formula_mass_g_mol
from leafgill.science.refuse import not_negative
from leafgill.science.salt_table import COUNTED_AS, IONS, ROWS, Row


@dataclass(frozen=True, slots=True)
class Salt:
    """One salt. `key` and `formula` as in "MgSO4.7H2O"; `name` in words.

    `gives`: grams per gram of salt of each species as a test kit speaks of it (nitrate as NO3,
    phosphate as PO4, ammonium as NH4 ...) and also of the elements "nitrogen" (all of it),
    "phosphorus", "sulfur", "boron", "molybdenum", and of "urea_nitrogen". `ions`: moles of each ion
    of `salt_table.IONS` in a mole. `alkalinity_eq`: what a KH titration finds [eq/mol].
    """

    key: str
    name: str
    formula: str
    gives: Mapping[str, float] = field(hash=False)
    trade_names: tuple[str, ...] = ()
    ions: Mapping[str, float] = field(default_factory=dict, hash=False)
    molar_mass_g_mol: float = 0.0
    alkalinity_eq: float = 0.0


def _gives(row: Row, molar_mass: float) -> dict[str, float]:
    grams: dict[str, float] = {}

    def add(species: str, mass: float) -> None:
        grams[species] = grams.get(species, 0.0) + mass / molar_mass

    for name, moles in row.ions:
        ion = IONS[name]
        add(
            ion.species,
            moles * formula_mass_g_mol(COUNTED_AS.get(ion.species, ion.formula)),
        )
        if ion.element is None:
            continue
        element, symbol, atoms = ion.element
        add(element, moles * atoms * formula_mass_g_mol(symbol))
        if ion.species == "urea":
            add("urea_nitrogen", moles * atoms * formula_mass_g_mol(symbol))
    return grams


def _made(row: Row) -> Salt:
    molar_mass = formula_mass_g_mol(row.formula)
    return Salt(
        key=row.key or row.formula,
        name=row.name,
        formula=row.formula,
        gives=MappingProxyType(_gives(row, molar_mass)),
        trade_names=row.trade_names,
        ions=MappingProxyType(dict(row.ions)),
        molar_mass_g_mol=molar_mass,
        alkalinity_eq=sum(moles * IONS[ion].alkalinity_eq for ion, moles in row.ions),
    )


class _Salts(Mapping[str, Salt]):
    """The salts by key, each worked out when it is first asked for."""

    def __init__(self) -> None:
        self._rows = {row.key or row.formula: row for row in ROWS}
        self._made: dict[str, Salt] = {}

    def __getitem__(self, key: str) -> Salt:
        if key not in self._made:
            self._made[key] = _made(self._rows[key])
        return self._made[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)


SALTS: Mapping[str, Salt] = _Salts()


def _plain(text: str) -> str:
    """Return `text` without case, spaces, or the ways there are to write a hydrate's dot."""
    text = text.casefold().replace("sulph", "sulf")
    return re.sub(r"[\s.·*,()\-]", "", text.translate(str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")))


@cache
def _by_name() -> dict[str, str]:
    names: dict[str, str] = {}
    for row in ROWS:
        key = row.key or row.formula
        for name in (key, row.formula, row.name, *row.trade_names):
            names[_plain(name)] = key
    return names


def salt_of(text: str) -> Salt:
    """Return the salt of this key, formula, name or trade name, however it is cased.

    Raises ValueError naming the nearest names: a formula without its crystal water is not guessed
    at, as the two differ by up to a factor of two in what a gram gives.
    """
    names = _by_name()
    wanted = _plain(text)
    if wanted in names:
        return SALTS[names[wanted]]
    near = [key for name, key in names.items() if wanted and name.startswith(wanted)]
    near += [names[name] for name in get_close_matches(wanted, names, n=4, cutoff=0.6)]
    shown = ", ".join(dict.fromkeys(near)) or ", ".join(SALTS)
    said = "nearest" if near else "accepted"
    raise ValueError(f'a salt "{text}"; {said}: {shown}')


def _salt(salt: Salt | str) -> Salt:
    return salt_of(salt) if isinstance(salt, str) else salt


def gh_dgh(salt: Salt | str, g_l: Numeric) -> Same:
    """Total hardness [dGH] that so much salt [g/L] adds: its calcium and magnesium.

    1 dGH is 0.17832 mmol/L (10 mg/L of CaO). Raises ValueError for a negative amount.
    """
    found = _salt(salt)
    moles = found.ions.get("Ca", 0.0) + found.ions.get("Mg", 0.0)
    return _scaled(g_l, moles * 1e3 / found.molar_mass_g_mol / DGH_MMOL_L)


def kh_dkh(salt: Salt | str, g_l: Numeric) -> Same:
    """What a carbonate-hardness kit reads [dKH] from so much salt [g/L].

    Such a kit counts acid down to pH 4.5, so HPO4-- counts with bicarbonate and carbonate.
    1 dKH is 0.35665 meq/L. Raises ValueError for a negative amount.
    """
    found = _salt(salt)
    return _scaled(g_l, found.alkalinity_eq * 1e3 / found.molar_mass_g_mol / DKH_MEQ_L)


def ions_mmol_l(salt: Salt | str, g_l: Numeric) -> dict[str, Same]:
    """What so much salt [g/L] brings of each ion of `salt_table.IONS` [mmol/L].

    Raises ValueError for a negative amount.
    """
    found = _salt(salt)
    per_g = 1e3 / found.molar_mass_g_mol
    return {ion: _scaled(g_l, moles * per_g) for ion, moles in found.ions.items()}


def conductivity_us_cm(salt: Salt | str, g_l: Numeric, temperature_c: Numeric = 25.0) -> Same:
    """Conductivity [µS/cm] of so much salt [g/L] alone in pure water.

    In a water that holds others too it adds a little less: there, join the mixes that `ions_mmol_l`
    gives and ask `conductivity.conductivity_us_cm`. Raises ValueError for a negative amount.
    """
    return of_ions_us_cm(ions_mmol_l(salt, g_l), temperature_c)


def _scaled(g_l: Numeric, factor: float) -> Same:
    not_negative("an amount", "g/L", g_l)
    answer = np.asarray(g_l, dtype=np.float64) * factor
    return answer if answer.ndim else float(answer)


def solubility_g_l(salt: Salt | str, temperature_c: Numeric) -> Range:
    """Grams of the salt as sold that a litre of finished solution holds, with its 90 % range.

    `science.solubility` tells how. Raises ValueError for a salt without figures.
    """
    return solubility.in_solution_g_l(_salt(salt).key, temperature_c)


def solubility_source(salt: Salt | str) -> Source:
    """Who says how much of it dissolves, and how far that was checked."""
    return solubility.source_of(_salt(salt).key)
