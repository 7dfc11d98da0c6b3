"""The pressure regulator as a cylinder empties, and the needle valve behind it.

A regulator holds its outlet by balancing a spring against outlet and inlet pressure; the inlet
pushes on the small poppet, so as the cylinder's pressure falls the outlet rises: the
supply-pressure effect. While liquid remains the cylinder's pressure is steady and nothing moves.
Pressures: `_bar` absolute, `gauge_bar` above the air. Numbers or arrays, which broadcast; NaN stays
NaN.
"""

from typing import Literal, NamedTuple

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.co2_fluid import STANDARD_BAR
from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.refuse import inside, not_negative

# cp/cv of thin CO2 at 25 °C, from cp = 37.1 J/(mol·K) (tests hold it to the equation of state).
CO2_HEAT_RATIO = 1.29
# What the first of two stages is set to by its maker, above the air; cited from memory.
BETWEEN_STAGES_GAUGE_BAR = 10.0

Passage = Literal["nozzle", "capillary"]
PASSAGES: tuple[Passage, ...] = ("nozzle", "capillary")


class Effect(NamedTuple):
    """A regulator's supply-pressure effect: bar of outlet gained per bar of inlet lost."""

    size: Range
    stages: int
    source: Source


EFFECTS: dict[str, Effect] = {
    "single-stage": Effect(
        Range(0.01, 0.005, 0.02),
        1,
        Source("usual data of single-stage regulators, 0.5 to 2 %", Mark.MEMORY),
    ),
    "two-stage": Effect(
        Range(0.01, 0.005, 0.02),
        2,
        Source("each stage as a single-stage regulator, 0.5 to 2 %", Mark.MEMORY),
    ),
}


@everyday
def critical_pressure_ratio(heat_ratio: Numeric = CO2_HEAT_RATIO) -> Same:
    """Ratio of absolute pressures before and behind, above which the flow is choked [1].

    ((γ+1)/2)^(γ/(γ-1)), 1.83 for CO2: one-dimensional isentropic flow of an ideal gas (any text on
    gas dynamics).
    """
    return (0.5 * (heat_ratio + 1.0)) ** (heat_ratio / (heat_ratio - 1.0))


_CHOKED_FROM = critical_pressure_ratio()


@everyday
def _outlet(set_gauge_bar: Numeric, inlet: Numeric, at_setting: Numeric, effect: Numeric) -> Same:
    wanted = set_gauge_bar + effect * (at_setting - inlet)
    return np.maximum(np.minimum(wanted, inlet - STANDARD_BAR), 0.0)


def outlet_gauge_bar(
    set_gauge_bar: Numeric, inlet_bar: Numeric, inlet_at_setting_bar: Numeric, effect: Numeric
) -> Same:
    """Working pressure [bar gauge] of one stage whose inlet has fallen since it was set.

    set + effect·(inlet at setting - inlet), never above the inlet itself and never below the air.
    Linear supply-pressure effect as makers of regulators quote it (1 % = 1 bar more for 100 bar
    less). `effect` as a part of 1, see EFFECTS; inlets absolute. Raises ValueError for a set
    pressure below 0 or an effect outside 0 to 0.2.
    """
    not_negative("a set pressure", "bar", set_gauge_bar)
    inside("a supply-pressure effect", "", effect, 0.0, 0.2)
    return _outlet(set_gauge_bar, inlet_bar, inlet_at_setting_bar, effect)


def two_stage_outlet_gauge_bar(
    set_gauge_bar: Numeric,
    inlet_bar: Numeric,
    inlet_at_setting_bar: Numeric,
    effect: Numeric,
    between_gauge_bar: Numeric = BETWEEN_STAGES_GAUGE_BAR,
) -> Same:
    """Working pressure [bar gauge] behind two stages in a row, each with the same effect.

    As the cylinder falls the first stage's outlet rises, and so does the second's inlet: its
    outlet falls by the square of the effect. Only when the cylinder is below what stands between
    the stages does the outlet rise, by at most effect·between. Raises ValueError as
    `outlet_gauge_bar` does.
    """
    between = outlet_gauge_bar(between_gauge_bar, inlet_bar, inlet_at_setting_bar, effect)
    return outlet_gauge_bar(
        set_gauge_bar,
        _above(between),
        _above(between_gauge_bar),
        effect,
    )


@everyday
def _above(gauge_bar: Numeric) -> Same:
    return gauge_bar + STANDARD_BAR


@everyday
def _nozzle(before_bar: Numeric, behind_bar: Numeric) -> Same:
    """Mass flow of a nozzle, to one factor of its own; choked or not, 0 against the stream."""
    ratio = np.clip(behind_bar / before_bar, 1.0 / _CHOKED_FROM, 1.0)
    return before_bar * np.sqrt(
        ratio ** (2.0 / CO2_HEAT_RATIO) - ratio ** (1.0 + 1.0 / CO2_HEAT_RATIO)
    )


@everyday
def _capillary(before_bar: Numeric, behind_bar: Numeric) -> Same:
    """Mass flow of a long narrow gap, to one factor of its own; 0 against the stream."""
    return np.maximum(before_bar - behind_bar, 0.0) * (before_bar + behind_bar)


_LAWS = {"nozzle": _nozzle, "capillary": _capillary}


def needle_flow_ratio(
    gauge_before_bar: Numeric,
    gauge_set_bar: Numeric,
    back_gauge_bar: Numeric,
    *,
    passage: Passage = "nozzle",
) -> Same:
    """Flow through an untouched needle valve, against its flow at the pressure it was set at [1].

    `back_gauge_bar` is what stands behind it: counter, hose, diffuser and water. "nozzle": the
    isentropic flow of an ideal gas through an orifice, choked when the absolute pressures stand at
    more than ((γ+1)/2)^(γ/(γ-1)) to 1, γ = 1.29 (any text on gas dynamics). "capillary": the slow
    viscous flow through a long gap, as p² before less p² behind (Poiseuille, isothermal ideal gas);
    at the few bubbles a second of an aquarium a needle valve lies between the two, nearer to this
    one. Nothing flows back. inf where nothing flowed at the setting but does now, NaN where it
    flows at neither. Raises ValueError for another `passage` and for pressures below the air.
    """
    if passage not in _LAWS:
        raise ValueError(f'a passage "{passage}"; accepted: {", ".join(PASSAGES)}')
    for what, values in (
        ("a pressure before the valve", gauge_before_bar),
        ("a set pressure", gauge_set_bar),
        ("a pressure behind the valve", back_gauge_bar),
    ):
        not_negative(what, "bar", values)
    law, behind = _LAWS[passage], _above(back_gauge_bar)
    return _ratio(law(_above(gauge_before_bar), behind), law(_above(gauge_set_bar), behind))


@everyday
def _ratio(now: Numeric, then: Numeric) -> Same:
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.divide(now, then)
