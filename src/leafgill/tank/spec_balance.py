"""What a tank file tells of light, tap water, food, water changes and fertiliser."""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.tank.bottle import Bottle


@dataclass(frozen=True, slots=True)
class Lamp:
    """The lamp; light measured at the plants is `Plants.light_ppfd` and wins over it."""

    kind: str | None = None
    power_w: float | None = None
    efficacy_umol_j: float | None = None
    height_cm: float | None = None
    beam_deg: float | None = None
    length_cm: float | None = None
    dimmed_percent: float | None = None


@dataclass(frozen=True, slots=True)
class Tap:
    """What the tap water holds; None where not known."""

    kh_dkh: float | None = None
    gh_dgh: float | None = None
    nitrate_mg_l: float | None = None
    phosphate_mg_l: float | None = None
    potassium_mg_l: float | None = None
    calcium_mg_l: float | None = None
    magnesium_mg_l: float | None = None
    iron_mg_l: float | None = None
    ph: float | None = None
    co2_mg_l: float | None = None


@dataclass(frozen=True, slots=True)
class Feeding:
    """The animals' food."""

    food_g_day: float | None = None
    nitrogen_percent: float | None = None
    phosphorus_percent: float | None = None


@dataclass(frozen=True, slots=True)
class WaterChanges:
    """The usual water change; those of the diary are what was done."""

    percent: float | None = None
    every_days: float | None = None
    tap_percent: float | None = None


@dataclass(frozen=True, slots=True)
class Salts:
    """The keeper's fertiliser: `kept` by the keys of `science.salts`, and solutions."""

    kept: tuple[str, ...] = ()
    bottles: tuple[Bottle, ...] = ()
