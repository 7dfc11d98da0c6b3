"""Whether a cylinder stands upright in the keeper's cabinet with its regulator and counter on."""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure
from leafgill.advise.rig.sizes import Size
from leafgill.science.cited import Mark, Range, Source
from leafgill.tank.spec import Cabinet

YES, CLOSE, NO, UNKNOWN = "yes", "close", "no", "not known"
# What stands above the valve's top: regulator with gauges, and the counter on it [cm]; and how far
# the regulator reaches sideways from the valve's middle, since CO2 outlets point to the side [cm].
ABOVE_CM = Range(10.0, 5.0, 16.0)
SIDEWAYS_CM = Range(15.0, 11.0, 20.0)
REGULATOR = Source("regulators with gauges and a counter as they are built", Mark.CHOICE)


@dataclass(frozen=True)
class Fit:
    """Whether it fits: `verdict` is YES, CLOSE, NO or UNKNOWN, `why` one phrase.

    `height` is the clear height it needs [cm], `length` the longer side of the floor it needs, the
    regulator turned along it [cm].
    """

    verdict: str
    why: str
    height: Figure
    length: Figure


def fit_of(size: Size, cabinet: Cabinet) -> Fit:
    """Return whether a size fits the cabinet, by every measure that is known.

    "yes" when the largest of its kind does, "no" when the smallest does not, "close" between.
    """
    high = Range(*(body + above for body, above in zip(size.height_cm, ABOVE_CM, strict=True)))
    long = Range(*(_long(wide, side) for wide, side in
                   zip(size.diameter_cm, SIDEWAYS_CM, strict=True)))  # fmt: skip
    verdicts = [
        (_verdict(need, has), f"needs {need.value:.0f} cm {what} "
         f"({need.low:.0f} to {need.high:.0f}), has {has:g}")
        for need, has, what in _measures(cabinet, high, long, size.diameter_cm)
    ]  # fmt: skip
    worst, why = _worst(verdicts, cabinet)
    origin = "tank file" if size.own else str(size.source)
    return Fit(
        worst,
        why,
        figure(f"cylinder_{size.key}_height_cm", f"Clear height for {size.name}", high, "cm",
               "cylinder to the top of its valve + regulator and counter above it",
               (given("cylinder", size.height_cm, "cm", origin),
                given("regulator and counter above", ABOVE_CM, "cm", str(REGULATOR))),
               origin),
        figure(f"cylinder_{size.key}_length_cm", f"Floor for {size.name}, longer side", long, "cm",
               "half the cylinder's width + reach of the regulator from the valve's middle",
               (given("cylinder's width", size.diameter_cm, "cm", origin),
                given("regulator sideways", SIDEWAYS_CM, "cm", str(REGULATOR))),
               origin),
    )  # fmt: skip


def _long(wide_cm: float, side_cm: float) -> float:
    return 0.5 * wide_cm + max(side_cm, 0.5 * wide_cm)


def _measures(
    cabinet: Cabinet, high: Range, long: Range, wide: Range
) -> list[tuple[Range, float, str]]:
    found: list[tuple[Range, float, str]] = []
    if cabinet.height_cm is not None:
        found.append((high, cabinet.height_cm, "of height"))
    floor = [side for side in (cabinet.width_cm, cabinet.depth_cm) if side is not None]
    if floor:
        # one side alone may be the longer or the shorter: only the cylinder's width is sure
        found.append((wide, min(floor), "of floor"))
    if len(floor) == 2:
        found.append((long, max(floor), "along the regulator"))
    return found


def _verdict(need: Range, has: float) -> str:
    if has >= need.high:
        return YES
    return NO if has < need.low else CLOSE


def _worst(verdicts: list[tuple[str, str]], cabinet: Cabinet) -> tuple[str, str]:
    for verdict in (NO, CLOSE):
        for found, why in verdicts:
            if found == verdict:
                return verdict, why
    sides = {"width": cabinet.width_cm, "depth": cabinet.depth_cm, "height": cabinet.height_cm}
    missing = [name for name, side in sides.items() if side is None]
    if len(missing) == len(sides):
        return UNKNOWN, "no cabinet is given"
    if missing:
        return UNKNOWN, f"the cabinet's {' and '.join(missing)} not given"
    return YES, verdicts[0][1]
