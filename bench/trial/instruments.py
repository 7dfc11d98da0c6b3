"""The keeper's crude instruments: what each shows when the truth is so and so."""

from dataclasses import dataclass

import numpy as np

from .chemistry import DKH_MEQ_L, Chemistry, FloatArray

COLOURS = ("blue", "blue-green", "green", "yellow-green", "yellow")
CARD_CO2_MG_L = (10.0, 20.0, 38.0, 60.0)  # where the card's colours meet, by the trade's rule
REFERENCE_DKH = 4.0
COUNT_SECONDS = 10
ROUGH_FROM = 5.0  # bubbles a second


@dataclass(frozen=True)
class Kit:
    """The errors of one keeper's instruments, drawn once for the fortnight."""

    probe_offset: float
    probe_slope: float
    probe_drift_day: float
    probe_noise: float
    hand_resolution: float
    hand_bias: float
    hand_noise: float
    kh_drop_dkh: float
    kh_bias: float
    kh_noise: float
    checker_dkh: float
    checker_eye_ph: float
    checker_slip: float
    checker_lag_h: float
    checker_sheltered: bool
    thermometer_offset_c: float
    thermometer_noise_c: float
    scale_noise_g: float
    count_noise: float
    count_rough: float
    false_alarm: float


def buy(rng: np.random.Generator) -> Kit:
    """One keeper's instruments."""
    return Kit(
        probe_offset=float(rng.normal(0.0, 0.07)),
        probe_slope=float(rng.normal(0.97, 0.02)),
        probe_drift_day=float(rng.normal(0.0, 0.005)),
        probe_noise=0.008,
        hand_resolution=float(rng.choice([0.1, 0.2])),
        hand_bias=float(rng.normal(0.0, 0.08)),
        hand_noise=0.08,
        kh_drop_dkh=float(rng.choice([0.5, 1.0])),
        kh_bias=float(rng.normal(1.0, 0.03)),
        kh_noise=0.03,
        checker_dkh=REFERENCE_DKH * float(rng.normal(1.0, 0.04)),
        checker_eye_ph=float(rng.normal(0.0, 0.03)),
        checker_slip=0.1,
        checker_lag_h=float(rng.lognormal(np.log(1.0), 0.3)),
        checker_sheltered=bool(rng.random() < 0.25),
        thermometer_offset_c=float(rng.normal(0.0, 0.22)),
        thermometer_noise_c=0.15,
        scale_noise_g=5.0,
        count_noise=0.025,
        count_rough=0.11,
        false_alarm=0.002,
    )


def probe(kit: Kit, ph: FloatArray, days: FloatArray, noise: FloatArray) -> FloatArray:
    """What the electrode logs for true pH: offset, slope about pH 7, drift, noise, two decimals."""
    seen = 7.0 + kit.probe_slope * (ph - 7.0) + kit.probe_offset + kit.probe_drift_day * days
    return np.asarray(np.round(seen + noise, 2))


def hand_ph(kit: Kit, ph: float, rng: np.random.Generator) -> float:
    """A colour test: the bottle's bias, an unsure eye, and the steps of its card."""
    seen = ph + kit.hand_bias + rng.normal(0.0, kit.hand_noise)
    return round(round(seen / kit.hand_resolution) * kit.hand_resolution, 1)


def kh_dkh(kit: Kit, alkalinity_meq_l: float, rng: np.random.Generator) -> float:
    """Drops until the colour turns: always a whole drop at or above what is there."""
    seen = alkalinity_meq_l / DKH_MEQ_L * kit.kh_bias * rng.normal(1.0, kit.kh_noise)
    return float(max(np.ceil(seen / kit.kh_drop_dkh), 1.0) * kit.kh_drop_dkh)


class DropChecker:
    """A reference solution that follows the tank's CO2, and a keeper's glance at its colour.

    The card was drawn by the trade's rule CO2 = 3 KH 10^(7 - pH), so a colour stands for some
    12 % more CO2 than the card says.
    """

    def __init__(self, kit: Kit) -> None:
        self.chemistry = Chemistry(0.0)
        self.kit = kit
        self.card_ph = [7.0 - np.log10(co2 / (3.0 * REFERENCE_DKH)) for co2 in CARD_CO2_MG_L]

    def colour(self, co2_mg_l: float, temperature_c: float, rng: np.random.Generator) -> str:
        """The colour read for the CO2 that the solution has caught up with."""
        alkalinity = self.kit.checker_dkh * DKH_MEQ_L
        ph = self.chemistry.ph(co2_mg_l, alkalinity, temperature_c) + self.kit.checker_eye_ph
        place = sum(ph < limit for limit in self.card_ph)
        if rng.random() < self.kit.checker_slip:
            place += int(rng.choice([-1, 1]))
        return COLOURS[int(np.clip(place, 0, len(COLOURS) - 1))]


def bubble_count(kit: Kit, rate: float, rng: np.random.Generator) -> float:
    """Bubbles counted in ten seconds, divided by ten; rough above 5 a second."""
    noise = kit.count_rough if rate > ROUGH_FROM else kit.count_noise
    seen = rate * COUNT_SECONDS * float(np.exp(rng.normal(0.0, noise)))
    return float(np.floor(seen + rng.random())) / COUNT_SECONDS


def temperature(kit: Kit, truth_c: float, rng: np.random.Generator) -> float:
    """A thermometer of its own offset, read to a tenth."""
    return round(
        truth_c + kit.thermometer_offset_c + float(rng.normal(0.0, kit.thermometer_noise_c)), 1
    )


def weight(kit: Kit, truth_g: float, rng: np.random.Generator) -> float:
    """A kitchen scale, to the gram."""
    return float(round(truth_g + rng.normal(0.0, kit.scale_noise_g)))


def distress(kit: Kit, co2_mg_l: float, limit_mg_l: float, o2_mg_l: float) -> float:
    """Chance that fish are seen gasping.

    Animals bear a good deal more than the limit their keeper respects before they show it: even
    odds at 1.8 times the limit, few below 1.4; or O2 under 4 mg/L.
    """
    over = 1.0 / (1.0 + np.exp(-(co2_mg_l / limit_mg_l - 1.8) / 0.1))
    under = 1.0 / (1.0 + np.exp(-(4.0 - o2_mg_l) / 0.4))
    return float(1.0 - (1.0 - over) * (1.0 - under) * (1.0 - kit.false_alarm))
