"""Tap and pure water together: which part of pure water meets a hardness, and what it makes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.water.make_up import MakeUp, WaterDraws, draws_of, mixed
from leafgill.errors import InputError
from leafgill.science.cited import Range

DRAWS = 400
_LAW = "carbonate equilibrium (Plummer & Busenberg 1982; Davies activities)"
_UNIT = {"kh_dkh": "dKH", "gh_dgh": "dGH"}
_NAME = {"kh_dkh": "KH", "gh_dgh": "GH"}


@dataclass(frozen=True)
class Blend:
    """So much pure water in tap water.

    `part` is the share of pure water, `tap_l` and `pure_l` the litres to measure; `met` is the
    hardness it was chosen by ("kh_dkh", "gh_dgh" or "" for a stated part).
    """

    tap: MakeUp
    pure: MakeUp
    met: str
    part: Figure
    tap_l: Figure
    pure_l: Figure
    kh: Figure
    gh: Figure
    ph: Figure
    co2: Figure
    levels: tuple[Figure, ...]

    @cached_property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure."""
        return (self.part, self.tap_l, self.pure_l, self.kh, self.gh, self.ph, self.co2,
                *self.levels)  # fmt: skip

    def as_make_up(self, name: str = "new water") -> MakeUp:
        """Return the blend as a water that goes into a tank."""
        names = ("kh_dkh", "gh_dgh", "co2_mg_l", *self.tap.levels)
        guessed = {name for name in names if self.tap.origin(name).startswith("assumed")}
        origins = {name: "assumed, and mixed" if name in guessed else "mixed" for name in names}
        return MakeUp(
            name,
            _range(self.kh),
            _range(self.gh),
            _range(self.co2),
            self.tap.temperature_c,
            {name: _range(one) for name, one in zip(self.tap.levels, self.levels, strict=True)},
            origins | {"temperature_c": self.tap.origin("temperature_c")},
        )


def blend(
    tap: MakeUp,
    pure: MakeUp,
    litres: float,
    *,
    kh_dkh: float | None = None,
    gh_dgh: float | None = None,
    part: float | None = None,
) -> Blend:
    """Return what meets a KH, or a GH, or a stated `part` of pure water; exactly one is given.

    Raises InputError where neither water nor anything between has that hardness.
    """
    wanted = {"kh_dkh": kh_dkh, "gh_dgh": gh_dgh}
    chosen = {what: value for what, value in wanted.items() if value is not None}
    if len(chosen) + (part is not None) != 1:
        raise InputError("one of a KH, a GH or a part of pure water is needed, to mix for it")
    met = next(iter(chosen), "")
    share = part if part is not None else part_for(tap, pure, met, chosen[met])
    water = mixed(draws_of(tap, DRAWS), draws_of(pure, DRAWS), share)
    return _told(tap, pure, litres, share, met, chosen.get(met), water)


def part_for(tap: MakeUp, pure: MakeUp, what: str, wanted: float) -> float:
    """Return the part of pure water that gives a hardness ("kh_dkh" or "gh_dgh").

    Raises InputError where the wanted one does not lie between the two waters'.
    """
    hard, soft = float(getattr(tap, what).value), float(getattr(pure, what).value)
    if not min(soft, hard) <= wanted <= max(soft, hard) or hard == soft:
        raise InputError(
            f"{_NAME[what]} {wanted:g} {_UNIT[what]} does not lie between pure water "
            f"({soft:.2g}) and tap water ({hard:.3g}): more than the tap's takes minerals, not "
            "mixing"
        )
    return (hard - wanted) / (hard - soft)


def _range(known: Figure) -> Range:
    low = known.value if known.low is None else known.low
    high = known.value if known.high is None else known.high
    return Range(known.value, low, high)


def _told(
    tap: MakeUp,
    pure: MakeUp,
    litres: float,
    share: float,
    met: str,
    wanted: float | None,
    water: WaterDraws,
) -> Blend:
    state = water.state()
    by = "stated" if wanted is None else f"meets {_NAME[met]} {wanted:g} {_UNIT[met]}"
    part = figure("pure_part", "Part of pure water", share, "",
                  "(tap - wanted) / (tap - pure)" if met else "as stated",
                  (*(_of(tap, pure, met) if met else ()),), "balance of mass")  # fmt: skip

    def litres_of(key: str, label: str, of: float) -> Figure:
        return figure(key, label, of * litres, "L", "part × litres",
                      (Input("part", of, "", by), Input("litres", litres, "L", "given")),
                      "balance of mass")  # fmt: skip

    def of_both(key: str, label: str, values: np.ndarray, unit: str, what: str) -> Figure:
        return figure(key, label, np.asarray(values), unit, "tap + part × (pure - tap)",
                      (*_of(tap, pure, what), Input("part of pure water", share, "", by)),
                      "balance of mass")  # fmt: skip

    def of_state(key: str, label: str, values: object, unit: str) -> Figure:
        return figure(key, label, np.asarray(values), unit,
                      "alkalinity and dissolved carbon by their parts, then the equilibrium",
                      (*_of(tap, pure, "kh_dkh"), *_of(tap, pure, "co2_mg_l")), _LAW)  # fmt: skip

    return Blend(
        tap=tap,
        pure=pure,
        met=met,
        part=part,
        tap_l=litres_of("tap_l", "Tap water to measure", 1.0 - share),
        pure_l=litres_of("pure_l", "Pure water to measure", share),
        kh=of_both("mixed_kh_dkh", "KH of the mix", water.kh_dkh, "dKH", "kh_dkh"),
        gh=of_both("mixed_gh_dgh", "GH of the mix", water.gh_dgh, "dGH", "gh_dgh"),
        ph=of_state("mixed_ph", "pH of the mix as it is poured", state.ph, "pH"),
        co2=of_state("mixed_co2_mg_l", "CO2 of the mix as it is poured", state.co2_mg_l, "mg/L"),
        levels=tuple(
            of_both(f"mixed_{name}_mg_l", f"{name.capitalize()} of the mix", values, "mg/L", name)
            for name, values in water.levels.items()
        ),
    )


def _of(tap: MakeUp, pure: MakeUp, what: str) -> tuple[Input, Input]:
    unit = _UNIT.get(what, "mg/L")

    def one(water: MakeUp) -> Input:
        known = water.levels[what] if what in water.levels else getattr(water, what)
        return given(water.name, known, unit, water.origin(what))

    return one(tap), one(pure)
