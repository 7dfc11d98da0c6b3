"""What is believed of a tank before its diary is opened: one row an unknown.

Each unknown is a standard normal coordinate z turned into its quantity by a law: "log" gives
centre·exp(width·z), "normal" centre + width·z, "share" the logistic of logit(centre) + width·z.
Where no source is named, the width is a choice of ours: wide enough for the tanks people keep.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.science.compiled import FloatArray
from leafgill.tank.spec import Tank


@dataclass(frozen=True, slots=True)
class Unknown:
    """One unknown: name, unit, law, centre and width of its prior, meaning and source."""

    name: str
    unit: str
    law: str
    centre: float
    width: float
    meaning: str

    def of(self, z: FloatArray) -> FloatArray:
        """Return the quantity for coordinates z."""
        if self.law == "log":
            value: FloatArray = self.centre * np.exp(self.width * z)
        elif self.law == "share":
            logit = np.log(self.centre / (1.0 - self.centre)) + self.width * z
            value = 1.0 / (1.0 + np.exp(-logit))
        else:
            value = self.centre + self.width * z
        return value


# Piston velocity of a tank with gentle ripple is of the order of 1-3 m/d, a still one 0.5, a
# strong overflow 10 (orders of magnitude from memory; lake in still air 0.5 m/d, Cole & Caraco
# 1998).
_PISTON_M_D = 4.5
_USUAL_DEPTH_M = 0.35
# A Tate bubble at a counter's tip holds 20-120 µg of CO2 at 1 atm; at working pressure more.
_BUBBLE_MG = 0.07
_DISSOLVED = {None: 0.75, "disc": 0.75, "inline": 0.88, "reactor": 0.95, "airstone": 0.45,
              "bell": 0.8, "ladder": 0.8}  # fmt: skip
_UPTAKE_MG_L_H = {None: 1.6, "low": 0.7, "medium": 1.6, "high": 3.0}
_DEFAULT_KH_DKH = 4.0
_OUTDOOR_PPM = 420.0
# The straying that comes back each day at the same hour: two coordinates a harmonic.
DAILY_HARMONICS = 4
DAILY_SD = 0.025


def _exchange(tank: Tank, has_air: bool) -> list[Unknown]:
    depth = tank.depth_m or _USUAL_DEPTH_M
    k = _PISTON_M_D / 24.0 / depth
    return [
        Unknown("exchange", "1/h", "log", k, 0.8, "surface exchange of CO2 at 20 °C"),
        Unknown("exchange_air", "1/h", "log" if has_air else "normal", k if has_air else 0.0,
                0.8 if has_air else 1e-9, "what the extra aeration adds to it"),
        Unknown("exchange_trend", "1/d", "normal", 0.0, 0.01, "its drift from day to day"),
        Unknown("shelter_share", "1", "share", 0.25, 0.5, "part of the water out of the flow"),
        Unknown("mixing", "1/h", "log", 2.0, 0.6, "tank volumes an hour the two zones exchange"),
    ]  # fmt: skip


def _gas(tank: Tank) -> list[Unknown]:
    share = _DISSOLVED[tank.rig.diffuser]
    volume_sd = 0.05 if tank.volume_known else 0.10
    return [
        Unknown("bubble_mass", "mg", "log", _BUBBLE_MG, 0.6, "CO2 in one counted bubble"),
        Unknown("dissolved", "1", "share", share, 1.0, "part of the gas that dissolves"),
        Unknown("gain_trend", "1/d", "normal", -0.006, 0.008, "its drift: a diffuser clogs"),
        Unknown("bend", "1", "normal", 0.12, 0.13, "how dissolution falls off with the rate"),
        Unknown("swell", "1", "normal", 0.08, 0.13, "how bubbles grow with the rate"),
        Unknown("volume", "L", "log", tank.volume_l, volume_sd, "water in the tank"),
        Unknown("line_lag", "h", "log", 0.12, 0.6, "dead time of the hose after gas-on"),
    ]


def _life(tank: Tank) -> list[Unknown]:
    uptake = _UPTAKE_MG_L_H[tank.plants.density]
    return [
        Unknown("uptake", "mg/L/h", "log", uptake, 0.8, "CO2 fixed at full light, ample CO2"),
        Unknown("uptake_trend", "1/d", "normal", 0.015, 0.02, "growth of that"),
        Unknown("uptake_decline", "1", "normal", 0.2, 0.12, "part lost by the evening"),
        Unknown("half_saturation", "mg/L", "log", 4.0, 0.5,
                "CO2 at which uptake is half (0.2-8 mg/L; Kirk, ch. 11; Van et al. 1976)"),
        Unknown("respiration", "mg/L/h", "log", 0.15, 0.9, "CO2 given off by all that lives"),
        Unknown("photosynthetic_quotient", "1", "normal", 1.1, 0.1, "O2 given per CO2 fixed"),
        Unknown("o2_exchange", "1", "log", 1.0, 0.25, "exchange of O2 against what CO2's says"),
        Unknown("o2_saturation", "1", "log", 1.0, 0.012, "air pressure and height above the sea"),
        Unknown("respiratory_quotient", "1", "normal", 0.9, 0.07, "CO2 given per O2 used"),
    ]  # fmt: skip


def _water(tank: Tank, first_kh_dkh: float | None, first_width: float) -> list[Unknown]:
    kh = first_kh_dkh or tank.water.kh_dkh or _DEFAULT_KH_DKH
    width = first_width if first_kh_dkh else 0.2 if tank.water.kh_dkh else 0.6
    gh = tank.water.gh_dgh
    return [
        Unknown("kh", "dKH", "log", kh, width, "KH as a kit would show it, without rounding"),
        Unknown("non_carbonate", "1", "log", 0.06, 1.0, "part of it that is not carbonate"),
        Unknown("acid_pka", "1", "normal", 5.8, 0.8, "pKa of that part, as of humic acids"),
        Unknown("alkalinity_trend", "1/d", "normal", 0.0, 0.004, "drift of alkalinity"),
        Unknown("gh", "dGH", "log", gh or 6.0, 0.15 if gh else 0.5, "total hardness"),
        Unknown("new_co2", "mg/L", "log", 6.0, 0.8, "CO2 of the water of a water change"),
        Unknown("start_co2", "1", "log", 1.0, 0.7, "CO2 at the diary's start, against rest"),
        Unknown("start_o2", "1", "normal", 0.95, 0.06, "O2 at the diary's start, of saturation"),
    ]


def _room() -> list[Unknown]:
    return [
        Unknown("room_excess", "ppm", "log", 260.0, 0.75,
                "CO2 of the room above the 420 ppm outdoors"),
        Unknown("room_cos", "1", "normal", 0.1, 0.35, "its daily swing, at midnight"),
        Unknown("room_sin", "1", "normal", -0.1, 0.35, "its daily swing, at six"),
    ]  # fmt: skip


def _instruments() -> list[Unknown]:
    return [
        Unknown("probe_offset", "pH", "normal", 0.0, 0.07, "offset of the electrode at pH 7"),
        Unknown("probe_slope", "1", "normal", 0.97, 0.02, "slope of the electrode"),
        Unknown("probe_drift", "pH/d", "normal", 0.0, 0.006, "drift of the electrode"),
        Unknown("hand_offset", "pH", "normal", 0.0, 0.10, "bias of the hand test's bottle"),
        Unknown("checker_lag", "h", "log", 1.1, 0.45, "lag of the drop checker"),
        Unknown("checker_kh", "dKH", "log", 4.25, 0.13, "KH of the drop checker's reference"),
        Unknown("roughness", "pH", "log", 0.018, 0.5, "how far the tank strays from the model"),
    ]


def unknowns(
    tank: Tank,
    *,
    has_air: bool,
    first_kh_dkh: float | None = None,
    first_width: float = 0.25,
    directions: int = 0,
    changes: int = 0,
) -> tuple[Unknown, ...]:
    """Return the tank's unknowns in the order of the coordinates.

    `directions` are those of the flow, `changes` the water changes: one row each.
    """
    rows = [
        *_exchange(tank, has_air),
        *_gas(tank),
        *_life(tank),
        *_water(tank, first_kh_dkh, first_width),
        *_room(),
        *_instruments(),
    ]
    rows += [
        Unknown(f"daily_{k}", "pH", "normal", 0.0, DAILY_SD / (1 + k // 2),
                "what the model gets wrong every day alike")
        for k in range(2 * DAILY_HARMONICS)
    ]  # fmt: skip
    rows += [
        Unknown(f"flow_{k}", "1", "normal", 0.0, 1.0, "bubble rate, one way it may differ")
        for k in range(directions)
    ]
    rows += [
        Unknown(f"new_kh_{k}", "1", "log", 1.0, 0.15, "KH of the new water against expected")
        for k in range(changes)
    ]
    return tuple(rows)


def room_ppm(excess_ppm: FloatArray) -> FloatArray:
    """Return the room's mean CO2 [ppm] from its excess over the outdoors."""
    return _OUTDOOR_PPM + excess_ppm
