"""Carbon dioxide that passes through the wall of a gas hose."""

import math
from typing import NamedTuple

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.co2_fluid import STANDARD_BAR
from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.constants import CO2_G_MOL, GAS_CONSTANT_J_MOL_K, KELVIN
from leafgill.science.refuse import not_negative, positive

# 1e-10 cm³(STP)·cm/(cm²·s·cmHg), with 22 414 cm³/mol and 1333.22 Pa in 1 cmHg.
BARRER_MOL_M_S_PA = 3.3464e-16
_SECONDS_PER_DAY = 86400.0
_PA_PER_BAR = 1e5
_REFERENCE_K = 25.0 + KELVIN


class Material(NamedTuple):
    """CO2 permeability [Barrer] at 25 °C with its range, how it grows with warmth, and the source.

    `activation_kj_mol`: apparent activation energy of permeation (Arrhenius). All are cited from
    memory (Michaels & Bixler 1961; van Amerongen 1964; Pauly, Polymer Handbook) and not checked.
    """

    barrer: Range
    activation_kj_mol: float
    source: Source


_PAULY = "Pauly, in Polymer Handbook"

# The hose words of a tank file. Fillers, plasticisers and density move a grade by a factor of two,
# so where the literature gives one value the range is half to twice of it (a choice of ours).
MATERIALS: dict[str, Material] = {
    "silicone": Material(
        Range(3250.0, 1600.0, 4500.0),
        2.0,
        Source(
            "Robb 1968, Ann. N.Y. Acad. Sci. 146, 119, as two later texts quote it", Mark.CHECKED
        ),
    ),
    "rubber": Material(
        Range(153.0, 75.0, 310.0), 25.0, Source(f"natural rubber, {_PAULY}", Mark.MEMORY)
    ),
    "epdm": Material(Range(108.0, 54.0, 220.0), 30.0, Source(_PAULY, Mark.MEMORY)),
    "pvc": Material(
        Range(32.0, 10.0, 100.0),
        40.0,
        Source("plasticised PVC, rises with the plasticiser", Mark.MEMORY),
    ),
    "polyurethane": Material(
        Range(26.0, 10.0, 70.0), 35.0, Source("ester to ether polyurethanes", Mark.MEMORY)
    ),
    "polyethylene": Material(
        Range(12.6, 3.5, 25.2),
        38.0,
        Source(
            f"low to high density; middle after {_PAULY}, ends in a welding journal's table",
            Mark.MEMORY,
        ),
    ),
    "polypropylene": Material(Range(9.0, 4.5, 18.0), 38.0, Source(_PAULY, Mark.MEMORY)),
    "ptfe": Material(Range(11.0, 5.0, 24.0), 15.0, Source(_PAULY, Mark.MEMORY)),
    "polyamide": Material(
        Range(1.0, 0.09, 2.0),
        35.0,
        Source("polyamide 6 (low end) to 11 and 12 (middle)", Mark.MEMORY),
    ),
}


def material_of(name: str) -> Material:
    """Return a material of MATERIALS. Raises ValueError naming those there are."""
    if name not in MATERIALS:
        raise ValueError(f'a hose of "{name}"; accepted: {", ".join(MATERIALS)}')
    return MATERIALS[name]


@everyday
def wall_loss_g_per_day(
    barrer: Numeric, bore_mm: Numeric, wall_mm: Numeric, length_m: Numeric, pressure_bar: Numeric
) -> Same:
    """CO2 [g/day] through a hose's wall at this difference of CO2's pressure across it [bar].

    Steady radial diffusion, 2π·L·P·Δp/ln(outer/inner): Crank 1975, The Mathematics of Diffusion,
    eq. 5.7 (cited from memory). `barrer` is the permeability, 1 Barrer = 3.3464e-16 mol/(m·s·Pa).
    """
    shape = 2.0 * math.pi * length_m / np.log(1.0 + 2.0 * wall_mm / bore_mm)
    mol_s = barrer * BARRER_MOL_M_S_PA * shape * pressure_bar * _PA_PER_BAR
    return mol_s * CO2_G_MOL * _SECONDS_PER_DAY


@everyday
def _loss(
    barrer: Numeric,
    activation_kj_mol: Numeric,
    bore_mm: Numeric,
    wall_mm: Numeric,
    length_m: Numeric,
    gauge_bar: Numeric,
    temperature_c: Numeric,
) -> Same:
    colder = 1.0 / _REFERENCE_K - 1.0 / (temperature_c + KELVIN)
    warmth = np.exp(activation_kj_mol * 1e3 / GAS_CONSTANT_J_MOL_K * colder)
    pressure = gauge_bar + STANDARD_BAR
    return wall_loss_g_per_day(barrer * warmth, bore_mm, wall_mm, length_m, pressure)


def permeation_g_per_day(
    material: str,
    bore_mm: Numeric,
    wall_mm: Numeric,
    length_m: Numeric,
    gauge_bar: Numeric,
    temperature_c: Numeric = 25.0,
) -> Range:
    """CO2 [g/day] that a hose full of CO2 loses through its wall, with its 90 % range.

    `material` is a word of MATERIALS, `bore_mm` the inner width, `gauge_bar` the pressure inside
    above the air: what drives the gas is the absolute pressure, so a hose at the air's pressure
    loses gas too. Permeability by the material's source at 25 °C, moved with warmth by Arrhenius's
    law. Numbers give a Range of floats, arrays one of arrays. Raises ValueError for another
    material, a bore or wall of 0 or less, a negative length, and a gauge below the air.
    """
    found = material_of(material)
    positive("a bore", "mm", bore_mm)
    positive("a wall", "mm", wall_mm)
    not_negative("a length", "m", length_m)
    not_negative("a gauge pressure", "bar", gauge_bar)
    size = (bore_mm, wall_mm, length_m, gauge_bar, temperature_c)
    return Range(*(_loss(barrer, found.activation_kj_mol, *size) for barrer in found.barrer))
