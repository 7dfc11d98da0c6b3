"""From coordinates to draws to how well they explain the diary: what the sampler sees."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from leafgill.estimate.evidence import Evidence
from leafgill.estimate.likelihood import score, weigh
from leafgill.estimate.prior import Unknown, room_ppm, unknowns
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import DKH_MEQ_L
from leafgill.science.gases import co2_equilibrium_mg_l, o2_saturation_mg_l
from leafgill.tank.forcing import Course, Draws, Forcing
from leafgill.tank.model import THETA, simulate

# Salt that is neither hardness nor alkalinity: a few hundred µS/cm less the rest; it moves CO2
# by 2 % per 2 mmol/L, so it is held.
EXTRA_SALT_MMOL_L = 1.5
# A coordinate beyond this is no tank; the cap keeps trial steps of the search finite.
_FARTHEST = 6.0


class Traits(NamedTuple):
    """What of a draw belongs to the instruments and the likelihood, each [m]."""

    offset: FloatArray  # [m, epochs] of the electrode, one a calibration
    slope: FloatArray
    drift: FloatArray
    hand: FloatArray
    checker_lag: FloatArray
    checker_kh: FloatArray
    roughness: FloatArray
    room_ppm: FloatArray
    non_carbonate: FloatArray
    acid_pka: FloatArray
    gh: FloatArray
    salt: FloatArray
    daily: FloatArray  # [m, 2·harmonics] cosine and sine parts of the daily straying [pH]


@dataclass(frozen=True)
class Problem:
    """The evidence with the unknowns it speaks of."""

    evidence: Evidence
    rows: tuple[Unknown, ...]
    index: dict[str, int] = field(default_factory=dict)

    @classmethod
    def of(cls, evidence: Evidence) -> Problem:
        """Return the problem an evidence poses."""
        rows = list(
            unknowns(
                evidence.tank,
                has_air=evidence.has_air,
                first_kh_dkh=evidence.first_kh_dkh,
                first_width=evidence.first_kh_width,
                directions=evidence.flow.directions.shape[0],
                changes=len(evidence.timeline.changes),
            )
        )
        rows += [
            Unknown(f"recalibrated_{k}", "pH", "normal", 0.0, 0.05, "offset after a calibration")
            for k in range(1, evidence.epochs)
        ]
        return cls(evidence, tuple(rows), {row.name: k for k, row in enumerate(rows)})

    @property
    def size(self) -> int:
        """Number of unknowns."""
        return len(self.rows)

    def value(self, z: FloatArray, name: str) -> FloatArray:
        """Return the quantity called `name` for coordinates z [m, size]."""
        k = self.index[name]
        return self.rows[k].of(np.clip(z[:, k], -_FARTHEST, _FARTHEST))

    def values(self, z: FloatArray) -> dict[str, FloatArray]:
        """Return every quantity by its name for coordinates z [m, size]."""
        return {row.name: self.value(z, row.name) for row in self.rows}

    def several(self, z: FloatArray, prefix: str) -> FloatArray:
        """Return the numbered quantities prefix0, prefix1, ... side by side, [m, count]."""
        names = [row.name for row in self.rows if row.name.startswith(prefix)]
        if not names:
            return np.zeros((z.shape[0], 0))
        return np.stack([self.value(z, name) for name in names], axis=1)

    def rates(self, z: FloatArray, *, bent: bool) -> FloatArray:
        """Return gas a second in bubbles of 1/s, [m, stretches]; `bent`: what dissolves of it.

        Bubbles grow with the rate, and the larger dissolve a smaller part.
        """
        bend = -self.value(z, "swell") + (self.value(z, "bend") if bent else 0.0)
        return self.evidence.flow.rates(self.several(z, "flow_"), bend)

    def draws(self, z: FloatArray) -> Draws:
        """Return the tanks that coordinates z [m, size] stand for."""
        v = self.values(z)
        temperature = self.evidence.tank.temperature_c
        alkalinity = v["kh"] * DKH_MEQ_L
        pull = v["exchange"] * THETA ** (temperature - 20.0)
        room = room_ppm(v["room_excess"])
        rest = co2_equilibrium_mg_l(room, temperature) + v["respiration"] / pull
        start = rest * v["start_co2"]
        new_kh = self.several(z, "new_kh_")
        noted = [change.new_kh_dkh for change in self.evidence.timeline.changes]
        for k, kh in enumerate(noted):
            new_kh[:, k] *= alkalinity if kh is None else kh * DKH_MEQ_L
        flow = self.rates(z, bent=True) * self.evidence.pressure_factor
        ones = np.ones(z.shape[0])
        return Draws(
            exchange_per_h=v["exchange"],
            exchange_air_per_h=v["exchange_air"],
            exchange_trend_per_day=v["exchange_trend"],
            gain_mg_l=v["bubble_mass"] * v["dissolved"] / v["volume"],
            gain_trend_per_day=v["gain_trend"],
            line_lag_h=v["line_lag"],
            uptake_mg_l_h=v["uptake"],
            uptake_trend_per_day=v["uptake_trend"],
            uptake_decline=np.clip(v["uptake_decline"], 0.0, 1.0),
            half_saturation_mg_l=v["half_saturation"],
            respiration_mg_l_h=v["respiration"],
            room_co2_ppm=room,
            room_cos=v["room_cos"],
            room_sin=v["room_sin"],
            alkalinity_meq_l=alkalinity,
            acid_meq_l=np.minimum(v["non_carbonate"], 0.9) * alkalinity,
            acid_pka=v["acid_pka"],
            alkalinity_trend_per_day=v["alkalinity_trend"],
            gh_dgh=v["gh"],
            extra_salt_mmol_l=EXTRA_SALT_MMOL_L * ones,
            new_co2_mg_l=v["new_co2"],
            photosynthetic_quotient=np.maximum(v["photosynthetic_quotient"], 0.7),
            respiratory_quotient=np.maximum(v["respiratory_quotient"], 0.6),
            o2_exchange=v["o2_exchange"],
            o2_saturation=v["o2_saturation"],
            shelter_share=v["shelter_share"],
            mixing_per_h=v["mixing"],
            co2_start_mg_l=start,
            co2_far_start_mg_l=start,
            o2_start_mg_l=np.maximum(v["start_o2"], 0.1) * o2_saturation_mg_l(temperature),
            flow=flow if flow.shape[1] else np.zeros((z.shape[0], 1)),
            new_alkalinity_meq_l=new_kh if new_kh.shape[1] else np.ones((z.shape[0], 1)),
        )

    def traits(self, z: FloatArray) -> Traits:
        """Return the instruments of coordinates z."""
        v = self.values(z)
        offset = np.concatenate(
            [v["probe_offset"][:, None], self.several(z, "recalibrated_")], axis=1
        )
        return Traits(
            offset=np.ascontiguousarray(offset),
            slope=v["probe_slope"],
            drift=v["probe_drift"],
            hand=v["hand_offset"],
            checker_lag=v["checker_lag"],
            checker_kh=v["checker_kh"],
            roughness=v["roughness"],
            room_ppm=room_ppm(v["room_excess"]),
            non_carbonate=np.minimum(v["non_carbonate"], 0.9),
            acid_pka=v["acid_pka"],
            gh=v["gh"],
            salt=np.full(z.shape[0], EXTRA_SALT_MMOL_L),
            daily=np.ascontiguousarray(self.several(z, "daily_")),
        )

    def course(self, z: FloatArray, forcing: Forcing | None = None) -> Course:
        """Return how the tanks of coordinates z went."""
        return simulate(forcing or self.evidence.forcing, self.draws(z))

    def score(self, z: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return (standardised errors [m, n], minus log likelihood [m])."""
        z = np.atleast_2d(z)
        evidence = self.evidence
        course = self.course(z)
        errors, loss = score(course, evidence.forcing.dt_h, evidence.tank.temperature_c,
                             evidence.observations, self.traits(z))  # fmt: skip
        if evidence.weighings.mass_g.size > 1 and evidence.weighings.gas_s.shape[1]:
            rates = self.rates(z, bent=False) * evidence.pressure_factor
            more, weight_loss = weigh(evidence.weighings, self.value(z, "bubble_mass"), rates)
            errors, loss = np.concatenate([errors, more], axis=1), loss + weight_loss
        return errors, np.where(np.isfinite(loss), loss, 1e12)
