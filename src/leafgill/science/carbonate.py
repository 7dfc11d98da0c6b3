"""Carbonate equilibrium of fresh water: from any two of pH, KH, DIC and CO2 the rest.

pH is -log10 of the hydrogen ion's activity (NBS buffers), alkalinity is carbonate alkalinity
(1 dKH = 0.35665 meq/L), CO2 is dissolved CO2(aq). Every argument may be a number or an array;
they broadcast. Numbers in, a Python float out; NaN passes through, and a combination that no
water can have gives NaN.

Arguments shared by all: `temperature_c`; `gh_dgh`, total hardness (Ca : Mg 3 : 1), which pairs
with bicarbonate and adds ionic strength; `extra_salt_mmol_l`, a neutral 1:1 salt;
`bicarbonate_share`, the part of the hardness that came as bicarbonate rather than as chloride
and sulfate (0 remineralised water, 1 limestone water), which matters to about 2 % at GH = KH.

Source: Plummer & Busenberg 1982 constants, Davies activities, Ca and Mg pairs; see
`carbonate_kernel`. Within 0.5 % of PHREEQC's CO2 in bicarbonate water and 1 % with GH up to 15,
at pH 6-8, 18-30 °C, KH 0.5-15.
"""

from typing import NamedTuple

import numpy as np

from leafgill.science import carbonate_directions as directions
from leafgill.science.compiled import FloatArray, Numeric, Same, flat, like


class Water(NamedTuple):
    """One equilibrium state: pH, alkalinity [meq/L], DIC [mmol/L], CO2 [mg/L]."""

    ph: Same
    alkalinity_meq_l: Same
    dic_mmol_l: Same
    co2_mg_l: Same


def _states(pair: int, *arguments: Numeric) -> tuple[tuple[int, ...], FloatArray]:
    shape, arrays = flat(*arguments)
    out = np.empty((4, int(np.prod(shape))))
    directions.states(out, pair, *arrays)
    return shape, out


def equilibrium(
    *,
    temperature_c: Numeric,
    ph: Numeric | None = None,
    alkalinity_meq_l: Numeric | None = None,
    dic_mmol_l: Numeric | None = None,
    co2_mg_l: Numeric | None = None,
    gh_dgh: Numeric = 0.0,
    extra_salt_mmol_l: Numeric = 0.0,
    bicarbonate_share: Numeric = 0.0,
) -> Water:
    """Whole state of the water from exactly two of pH, alkalinity, DIC and CO2.

    Raises TypeError when not exactly two are given.
    """
    given = {
        name: value
        for name, value in (
            ("ph", ph),
            ("alkalinity_meq_l", alkalinity_meq_l),
            ("dic_mmol_l", dic_mmol_l),
            ("co2_mg_l", co2_mg_l),
        )
        if value is not None
    }
    if len(given) != 2:
        wanted = "ph, alkalinity_meq_l, dic_mmol_l, co2_mg_l"
        raise TypeError(f"exactly two of {wanted} are needed, got {', '.join(given) or 'none'}")
    pair = {
        ("ph", "alkalinity_meq_l"): directions.PH_ALKALINITY,
        ("ph", "dic_mmol_l"): directions.PH_DIC,
        ("ph", "co2_mg_l"): directions.PH_CO2,
        ("alkalinity_meq_l", "dic_mmol_l"): directions.ALKALINITY_DIC,
        ("alkalinity_meq_l", "co2_mg_l"): directions.ALKALINITY_CO2,
        ("dic_mmol_l", "co2_mg_l"): directions.DIC_CO2,
    }[tuple(given)]  # type: ignore[index]
    shape, out = _states(
        pair, *given.values(), temperature_c, gh_dgh, extra_salt_mmol_l, bicarbonate_share
    )
    return Water(*(like(row, shape) for row in out))


def co2_mg_l(
    ph: Numeric,
    alkalinity_meq_l: Numeric,
    temperature_c: Numeric,
    *,
    gh_dgh: Numeric = 0.0,
    extra_salt_mmol_l: Numeric = 0.0,
    bicarbonate_share: Numeric = 0.0,
) -> Same:
    """CO2 [mg/L] from pH and alkalinity [meq/L]."""
    shape, arrays = flat(
        ph, alkalinity_meq_l, temperature_c, gh_dgh, extra_salt_mmol_l, bicarbonate_share
    )
    out = np.empty(int(np.prod(shape)))
    directions.co2_of_ph(out, *arrays)
    return like(out, shape)


def dic_mmol_l(
    ph: Numeric,
    alkalinity_meq_l: Numeric,
    temperature_c: Numeric,
    *,
    gh_dgh: Numeric = 0.0,
    extra_salt_mmol_l: Numeric = 0.0,
    bicarbonate_share: Numeric = 0.0,
) -> Same:
    """Dissolved inorganic carbon [mmol/L] from pH and alkalinity [meq/L]."""
    return equilibrium(
        ph=ph,
        alkalinity_meq_l=alkalinity_meq_l,
        temperature_c=temperature_c,
        gh_dgh=gh_dgh,
        extra_salt_mmol_l=extra_salt_mmol_l,
        bicarbonate_share=bicarbonate_share,
    ).dic_mmol_l


def ph(
    co2_mg_l: Numeric,
    alkalinity_meq_l: Numeric,
    temperature_c: Numeric,
    *,
    gh_dgh: Numeric = 0.0,
    extra_salt_mmol_l: Numeric = 0.0,
    bicarbonate_share: Numeric = 0.0,
) -> Same:
    """pH from CO2 [mg/L] and alkalinity [meq/L]."""
    return equilibrium(
        co2_mg_l=co2_mg_l,
        alkalinity_meq_l=alkalinity_meq_l,
        temperature_c=temperature_c,
        gh_dgh=gh_dgh,
        extra_salt_mmol_l=extra_salt_mmol_l,
        bicarbonate_share=bicarbonate_share,
    ).ph


def alkalinity_meq_l(
    ph: Numeric,
    co2_mg_l: Numeric,
    temperature_c: Numeric,
    *,
    gh_dgh: Numeric = 0.0,
    extra_salt_mmol_l: Numeric = 0.0,
    bicarbonate_share: Numeric = 0.0,
) -> Same:
    """Carbonate alkalinity [meq/L] from pH and CO2 [mg/L]."""
    return equilibrium(
        ph=ph,
        co2_mg_l=co2_mg_l,
        temperature_c=temperature_c,
        gh_dgh=gh_dgh,
        extra_salt_mmol_l=extra_salt_mmol_l,
        bicarbonate_share=bicarbonate_share,
    ).alkalinity_meq_l


def co2_from_dic(
    dic_mmol_l: Numeric,
    alkalinity_meq_l: Numeric,
    temperature_c: Numeric,
    *,
    gh_dgh: Numeric = 0.0,
    extra_salt_mmol_l: Numeric = 0.0,
    bicarbonate_share: Numeric = 0.0,
) -> Same:
    """CO2 [mg/L] from dissolved inorganic carbon [mmol/L] and alkalinity [meq/L]."""
    return equilibrium(
        dic_mmol_l=dic_mmol_l,
        alkalinity_meq_l=alkalinity_meq_l,
        temperature_c=temperature_c,
        gh_dgh=gh_dgh,
        extra_salt_mmol_l=extra_salt_mmol_l,
        bicarbonate_share=bicarbonate_share,
    ).co2_mg_l


def ph_from_dic(
    dic_mmol_l: Numeric,
    alkalinity_meq_l: Numeric,
    temperature_c: Numeric,
    *,
    gh_dgh: Numeric = 0.0,
    extra_salt_mmol_l: Numeric = 0.0,
    bicarbonate_share: Numeric = 0.0,
) -> Same:
    """pH from dissolved inorganic carbon [mmol/L] and alkalinity [meq/L]."""
    return equilibrium(
        dic_mmol_l=dic_mmol_l,
        alkalinity_meq_l=alkalinity_meq_l,
        temperature_c=temperature_c,
        gh_dgh=gh_dgh,
        extra_salt_mmol_l=extra_salt_mmol_l,
        bicarbonate_share=bicarbonate_share,
    ).ph


def rule_co2_mg_l(ph: Numeric, kh_dkh: Numeric) -> Same:
    """CO2 [mg/L] by the trade's rule 3·KH·10^(7-pH), for comparison only.

    The rule fixes pK1 near 6.42 and leaves out temperature and activity, so it reads low:
    in bicarbonate water of KH 1-12 by 15-19 % at 20 °C, 8-13 % at 25 °C and 5-10 % at 28 °C;
    with GH 6 by 12-14 %, 6-8 % and 2-5 % (against PHREEQC, phreeqc.dat). No figure of ours is
    made with it. The rule itself is common practice, without a source.
    """
    shape, (ph_, kh) = flat(ph, kh_dkh)
    return like(3.0 * kh * 10.0 ** (7.0 - ph_), shape)
