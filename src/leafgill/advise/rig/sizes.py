"""The cylinders CO2 is sold in: how much each holds, how large and how heavy it is.

Shape and weight vary by maker, so each comes with a tolerance and with how far it was checked;
what is stamped on the cylinder, or measured, says more.
"""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.science.cited import Mark, Range, Source

_LB_KG = 0.45359237
_IN_CM = 2.54

_MEMORY = Source("usual aluminium cylinders as makers list them", Mark.MEMORY)
_STEEL = Source("usual steel cylinders as makers list them", Mark.MEMORY)
_CROWN = Source("tare from a cylinder maker's explanation of crown marks; shape as makers list "
                "it, from memory", Mark.CHECKED)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Size:
    """A cylinder as it is sold.

    `charge_kg` of CO2, `fill_kg_l` it is filled to; `diameter_cm` and `height_cm` to the top of
    the valve, `tare_kg` empty with its valve.
    """

    key: str
    name: str
    charge_kg: float
    fill_kg_l: float
    diameter_cm: Range
    height_cm: Range
    tare_kg: Range
    source: Source
    own: bool = False

    @property
    def short(self) -> str:
        """Name without what it is made of: "2 kg", "2.5 lb", "your 2 kg"."""
        return self.name.removesuffix(" steel").removesuffix(" aluminium")

    @property
    def water_l(self) -> float:
        """Water capacity [L]."""
        return self.charge_kg / self.fill_kg_l


# A valve stands this high above the shoulder a maker measures to [cm] (a choice of ours).
_VALVE_CM = Range(8.0, 6.0, 10.0)
# Makers differ by this part in what is one size (a choice of ours).
_TOLERANCE = 0.05


def _about(value: float, part: float = _TOLERANCE) -> Range:
    return Range(value, value * (1.0 - part), value * (1.0 + part))


def _upright(body_cm: Range) -> Range:
    return Range(*(body + valve for body, valve in zip(body_cm, _VALVE_CM, strict=True)))


def _pounds(
    lb: float, wide_in: float, high_in: float, tare_lb: tuple[float, float], source: Source
) -> Size:
    low, high = (part * _LB_KG for part in tare_lb)
    return Size(
        f"{lb:g}lb".replace(".", "_"),
        f"{lb:g} lb aluminium",
        lb * _LB_KG,
        0.68,
        _about(wide_in * _IN_CM, 0.04),
        _upright(_about(high_in * _IN_CM)),
        Range(0.5 * (low + high), low, high),
        source,
    )


def _kilos(
    kg: float, wide_mm: tuple[float, float], high_mm: tuple[float, float],
    tare_kg: tuple[float, float],
) -> Size:  # fmt: skip
    def between(ends: tuple[float, float], unit: float, part: float = 0.0) -> Range:
        low, high = ends[0] * unit * (1.0 - part), ends[1] * unit * (1.0 + part)
        return Range(0.5 * (low + high), low, high)

    return Size(
        f"{kg:g}kg".replace(".", "_"),
        f"{kg:g} kg steel",
        kg,
        0.75,
        between(wide_mm, 0.1, 0.02),
        _upright(between(high_mm, 0.1, 0.03)),
        between(tare_kg, 1.0, 0.05),
        _STEEL,
    )


SIZES: tuple[Size, ...] = (
    _kilos(0.5, (70, 70), (260, 260), (1.3, 1.8)),
    _pounds(2.5, 4.4, 13.0, (3.5, 4.0), _MEMORY),
    _kilos(2.0, (110, 115), (400, 480), (3.5, 5.0)),
    _pounds(5.0, 5.25, 18.0, (7.5, 8.0), _MEMORY),
    _pounds(10.0, 7.0, 20.0, (14.0, 15.0), _MEMORY),
    _kilos(5.0, (140, 140), (620, 620), (8.0, 10.0)),
    _kilos(6.0, (140, 140), (720, 720), (9.0, 11.0)),
    _pounds(15.0, 7.0, 26.0, (17.0, 19.0), _MEMORY),
    _pounds(20.0, 8.0, 27.0, (24.5, 25.9), _CROWN),
    _kilos(10.0, (140, 170), (850, 1050), (14.0, 18.0)),
)


def smaller_first(sizes: tuple[Size, ...]) -> tuple[Size, ...]:
    """Return sizes by what they hold."""
    return tuple(sorted(sizes, key=lambda size: size.charge_kg))


def like(charge_kg: float) -> Size:
    """Return the size that holds nearest to a charge [kg], on the logarithm."""
    return min(SIZES, key=lambda size: max(size.charge_kg / charge_kg, charge_kg / size.charge_kg))


# Charges this near to each other are one size: 5 lb is sold as 2.3 kg.
SAME = 1.03
