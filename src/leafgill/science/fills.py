"""How much carbon dioxide a cylinder may be filled with, by whose rule."""

from typing import NamedTuple

from leafgill.science.cited import Mark, Source


class Fill(NamedTuple):
    """A filling limit [kg of CO2 per L of water capacity], what it holds for, and who says so."""

    kg_per_l: float
    holds_for: str
    source: Source


_CFR = Source("49 CFR 173.304a(a)(2), Table 1", Mark.CHECKED)
_P200 = Source("ADR packing instruction P200, UN 1013", Mark.MEMORY)
_USUAL = Source("usual fillings of steel cylinders in Germany", Mark.MEMORY)

US_FILL_KG_L = 0.68

FILLS: dict[str, Fill] = {
    "us-1800": Fill(US_FILL_KG_L, "US, 1800 psi cylinders (3A1800, 3AL1800)", _CFR),
    "us-2000": Fill(0.703, "US, 2000 psi steel cylinders", _CFR),
    "us-2265": Fill(0.732, "US, 2265 psi steel cylinders", _CFR),
    "us-2400": Fill(0.745, "US, 2400 psi steel cylinders", _CFR),
    "eu-190": Fill(0.68, "Europe, cylinders tested at 190 bar", _P200),
    "eu-250": Fill(0.76, "Europe, cylinders tested at 250 bar", _P200),
    "de-1.34": Fill(
        0.746,
        "Germany, 1 kg per 1.34 L",
        Source("Reichsgesetzblatt 1912, p. 284", Mark.CHECKED),
    ),
    "de-0.75": Fill(0.75, "Germany, 250 bar steel cylinders", _USUAL),
    "de-1.5": Fill(0.667, "Germany, 1 kg per 1.5 L", _USUAL),
    "capsule": Fill(
        0.75,
        "disposable capsules of at most 25 g",
        Source("ADR special provision 584, as quoted in a trade forum", Mark.CHECKED),
    ),
}
