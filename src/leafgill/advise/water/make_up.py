"""Waters that are mixed: what each holds as draws, and what comes of two of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from leafgill.advise.drawn import drawn
from leafgill.estimate.problem import EXTRA_SALT_MMOL_L
from leafgill.science import carbonate
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import DKH_MEQ_L

# No law takes the logarithm of nothing: the least alkalinity of a "pure" water [meq/L].
_LEAST_MEQ_L = 1e-4


@dataclass(frozen=True)
class MakeUp:
    """A water as kits and a thermometer tell it; each figure with the ends that hold nine in ten.

    `levels` are mg/L of what tests are of ("nitrate" ...); what is not named there is not known.
    `origins` says where each figure comes from, by its field's name or the level's.
    """

    name: str
    kh_dkh: Range
    gh_dgh: Range
    co2_mg_l: Range
    temperature_c: Range
    levels: Mapping[str, Range] = field(default_factory=dict)
    origins: Mapping[str, str] = field(default_factory=dict)

    def origin(self, what: str) -> str:
        """Return where a figure comes from."""
        return self.origins.get(what, "given")


@dataclass(frozen=True)
class WaterDraws:
    """Draws of a water, each [m]: what keeps its amount when waters are mixed.

    Alkalinity [meq/L], dissolved inorganic carbon [mmol/L], GH [dGH], warmth [°C], levels [mg/L].
    """

    alkalinity_meq_l: FloatArray
    dic_mmol_l: FloatArray
    gh_dgh: FloatArray
    temperature_c: FloatArray
    levels: Mapping[str, FloatArray] = field(default_factory=dict)

    @property
    def kh_dkh(self) -> FloatArray:
        """Carbonate hardness [dKH]."""
        kh: FloatArray = self.alkalinity_meq_l / DKH_MEQ_L
        return kh

    def state(self) -> carbonate.Water:
        """pH, alkalinity, DIC and CO2 [mg/L] by the carbonate equilibrium."""
        return carbonate.equilibrium(
            alkalinity_meq_l=np.maximum(self.alkalinity_meq_l, _LEAST_MEQ_L),
            dic_mmol_l=self.dic_mmol_l,
            temperature_c=self.temperature_c,
            gh_dgh=self.gh_dgh,
            extra_salt_mmol_l=EXTRA_SALT_MMOL_L,
        )

    @property
    def co2_mg_l(self) -> FloatArray:
        """Dissolved CO2 [mg/L]."""
        return np.asarray(self.state().co2_mg_l)

    @property
    def ph(self) -> FloatArray:
        """PH."""
        return np.asarray(self.state().ph)


def draws_of(water: MakeUp, count: int) -> WaterDraws:
    """Return `count` draws of a water; its CO2 is turned into the carbon that mixing keeps."""

    def draw(what: str, known: Range) -> FloatArray:
        return drawn(known, count, f"{water.name}: {what}")

    kh, gh = draw("kh", water.kh_dkh), draw("gh", water.gh_dgh)
    alkalinity = np.maximum(kh * DKH_MEQ_L, 0.0)
    temperature = draw("temperature", water.temperature_c)
    state = carbonate.equilibrium(
        alkalinity_meq_l=np.maximum(alkalinity, _LEAST_MEQ_L),
        co2_mg_l=draw("co2", water.co2_mg_l),
        temperature_c=temperature,
        gh_dgh=np.maximum(gh, 0.0),
        extra_salt_mmol_l=EXTRA_SALT_MMOL_L,
    )
    levels = {name: np.maximum(draw(name, known), 0.0) for name, known in water.levels.items()}
    return WaterDraws(
        alkalinity, np.asarray(state.dic_mmol_l), np.maximum(gh, 0.0), temperature, levels
    )


def mixed(first: WaterDraws, second: WaterDraws, part: FloatArray | float) -> WaterDraws:
    """Return what a `part` of the second water in the first makes, [m].

    Alkalinity, carbon, hardness, heat and every level that both know go by their parts; pH and
    CO2 follow from the first two, and do not: they are no amounts.
    """

    def both(one: FloatArray, other: FloatArray) -> FloatArray:
        result: FloatArray = one + part * (other - one)
        return result

    return WaterDraws(
        both(first.alkalinity_meq_l, second.alkalinity_meq_l),
        both(first.dic_mmol_l, second.dic_mmol_l),
        both(first.gh_dgh, second.gh_dgh),
        both(first.temperature_c, second.temperature_c),
        {
            name: both(first.levels[name], second.levels[name])
            for name in first.levels
            if name in second.levels
        },
    )
