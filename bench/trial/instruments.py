"""The keeper's crude instruments: what each shows when the truth is so and so."""

from dataclasses import dataclass

import numba
import numpy as np

from .chemistry import DKH_MEQ_L, Chemistry, FloatArray

COLOURS = ("blue", "blue-green", "green", "yellow-green", "yellow")
CARD_CO2_MG_L = (10.0, 20.0, 38.0, 60.0)  # where the card's colours meet, 4 dKH at 25 °C
REFERENCE_DKH = 4.0
COUNT_SECONDS = 10


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
    checker_dkh: float
    checker_slip: float
    thermometer_offset_c: float
    scale_noise_g: float
    count_rough: float
    misjudged_distress: float


def buy(rng: np.random.Generator) -> Kit:
    """One keeper's instruments."""
    return Kit(
        probe_offset=float(rng.normal(0.0, 0.07)),
        probe_slope=float(rng.normal(0.97, 0.02)),
        probe_drift_day=float(rng.normal(0.0, 0.004)),
        probe_noise=0.008,
        hand_resolution=float(rng.choice([0.1, 0.2])),
        hand_bias=float(rng.normal(0.0, 0.1)),
        hand_noise=0.08,
        kh_drop_dkh=float(rng.choice([0.5, 1.0])),
        kh_bias=float(rng.normal(1.0, 0.03)),
        checker_dkh=REFERENCE_DKH * float(rng.normal(1.0, 0.04)),
        checker_slip=0.1,
        thermometer_offset_c=float(rng.normal(0.0, 0.3)),
        scale_noise_g=5.0,
        count_rough=0.12,
        misjudged_distress=0.003,
    )


@numba.njit(cache=True)
def probe_readings(
    ph: FloatArray,
    days: FloatArray,
    noise: FloatArray,
    offset: float,
    slope: float,
    drift_day: float,
) -> FloatArray:
    """What the electrode logs: pivot at pH 7, offset, short slope, drift, noise, two decimals."""
    out = np.empty(ph.size)
    for i in range(ph.size):
        out[i] = 7.0 + slope * (ph[i] - 7.0) + offset + drift_day * days[i] + noise[i]
        out[i] = np.round(out[i] * 100.0) / 100.0
    return out


def probe(kit: Kit, ph: FloatArray, days: FloatArray, noise: FloatArray) -> FloatArray:
    """Electrode readings of a kit for true pH at days since calibration."""
    return np.asarray(
        probe_readings(ph, days, noise, kit.probe_offset, kit.probe_slope, kit.probe_drift_day)
    )


def hand_ph(kit: Kit, ph: float, rng: np.random.Generator) -> float:
    """A colour test: the bottle's bias, an unsure eye, and the steps of its card."""
    seen = ph + kit.hand_bias + rng.normal(0.0, kit.hand_noise)
    return round(round(seen / kit.hand_resolution) * kit.hand_resolution, 1)


def kh_dkh(kit: Kit, alkalinity_meq_l: float, rng: np.random.Generator) -> float:
    """Drops until the colour turns: always a whole drop more than or equal to what is there."""
    true_dkh = alkalinity_meq_l / DKH_MEQ_L
    drops = true_dkh * kit.kh_bias * rng.normal(1.0, 0.02) / kit.kh_drop_dkh
    return float(max(np.ceil(drops), 1.0) * kit.kh_drop_dkh)


class DropChecker:
    """The card's colours as pH of the reference solution, and a keeper's glance at it."""

    def __init__(self, kit: Kit) -> None:
        self.chemistry = Chemistry(0.0)
        self.kit = kit
        nominal = REFERENCE_DKH * DKH_MEQ_L
        self.card_ph = [self.chemistry.ph(co2, nominal, 25.0) for co2 in CARD_CO2_MG_L]

    def colour(self, co2_mg_l: float, temperature_c: float, rng: np.random.Generator) -> str:
        """The colour read for the CO2 that the solution has caught up with."""
        ph = self.chemistry.ph(co2_mg_l, self.kit.checker_dkh * DKH_MEQ_L, temperature_c)
        place = sum(ph < limit for limit in self.card_ph)
        if rng.random() < self.kit.checker_slip:
            place += int(rng.choice([-1, 1]))
        return COLOURS[int(np.clip(place, 0, len(COLOURS) - 1))]


def bubble_count(kit: Kit, rate: float, rng: np.random.Generator) -> float:
    """Bubbles counted in ten seconds, divided by ten; rough above 5 a second."""
    rough = kit.count_rough if rate > 5.0 else 0.03
    return float(max(np.floor(rate * rng.normal(1.0, rough) * COUNT_SECONDS + rng.random()), 0.0)) / 10


def temperature(kit: Kit, truth_c: float, rng: np.random.Generator) -> float:
    """A thermometer of its own offset, read to a tenth."""
    return round(truth_c + kit.thermometer_offset_c + rng.normal(0.0, 0.1), 1)


def weight(kit: Kit, truth_g: float, rng: np.random.Generator) -> float:
    """A kitchen scale, to the gram."""
    return float(round(truth_g + rng.normal(0.0, kit.scale_noise_g)))


def fish(kit: Kit, co2_mg_l: float, limit_mg_l: float, o2_mg_l: float, luck: float) -> str:
    """Normal or gasping: likelier the further CO2 stands over the limit, or O2 under 4 mg/L."""
    over = (co2_mg_l / limit_mg_l - 1.15) / 0.08
    under = (4.0 - o2_mg_l) / 0.5
    chance = 1.0 / (1.0 + np.exp(-over)) + 1.0 / (1.0 + np.exp(-under))
    return "gasping" if luck < chance + kit.misjudged_distress else "normal"
