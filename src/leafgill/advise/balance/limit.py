"""What growth stands by: the least of light, carbon and each nutrient, draw by draw.

Each lets growth go so far of what it would be with that one in plenty (Liebig's law of the
minimum; von Liebig 1840, cited from memory): light by the plants' answer to it, carbon and
nutrients by their half-saturation. Where roots help out, a nutrient missing in the water holds
back only the leaves' part.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.advise.balance.light_now import light_draws, ppfd_of
from leafgill.advise.balance.nutrients import HALF_SOURCE, NUTRIENTS
from leafgill.advise.balance.result import LimitShare
from leafgill.advise.balance.season import Season
from leafgill.advise.drawn import drawn, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.science.compiled import FloatArray
from leafgill.science.light_response import SUBMERGED_SOURCE, tanh_share
from leafgill.tank.clock import DAY_S

# CO2 of the lit hours is that of the last so many days [d].
_LATELY_DAYS = 3.0
_SOURCE = (
    "least of all factors: von Liebig 1840 (cited from memory, not checked against the source)"
)
_NAMES = {"light": "light", "carbon": "carbon dioxide"}


@dataclass(frozen=True)
class Fullness:
    """How far each lets growth go, parts of 1, draws [m] by key; CO2 of the lit hours [mg/L]."""

    parts: dict[str, FloatArray]
    lit_co2: FloatArray

    @property
    def least(self) -> FloatArray:
        """The least of all, [m]."""
        least: FloatArray = np.min(np.stack(list(self.parts.values())), axis=0)
        return least

    def without(self, key: str) -> FloatArray:
        """The least with one of them in plenty, [m]."""
        others = [part for name, part in self.parts.items() if name != key]
        least: FloatArray = np.min(np.stack(others), axis=0)
        return np.minimum(least, 1.0)


def fullness_of(season: Season) -> Fullness:
    """Return how far light, carbon and each nutrient let growth go now."""
    belief, rows = season.belief, season.joint.shared.row
    count = rows.size
    ppfd, knee = light_draws(season.tank, count)
    lit = lit_co2(season)
    half = belief.draws.half_saturation_mg_l[rows]
    parts = {"light": np.asarray(tanh_share(ppfd, knee)), "carbon": lit / (half + lit)}
    for key, q in season.joint.parts.items():
        leaves = np.minimum(drawn(NUTRIENTS[key].water_share, count, f"{key} leaves"), 1.0)
        now = season.now_mg_l(key)
        parts[key] = 1.0 - leaves * q.half_mg_l / (q.half_mg_l + now)
    return Fullness(parts, lit)


def lit_co2(season: Season) -> FloatArray:
    """Return the mean CO2 of the lit hours lately [mg/L], by the joint draws [m].

    Of all hours where no light is known.
    """
    belief = season.belief
    edges = belief.edges_s
    light = belief.problem.evidence.timeline.forcing(edges).light
    recent = (edges[1:] > season.now_s - _LATELY_DAYS * DAY_S) & (edges[:-1] < season.now_s)
    weight = np.diff(edges) * light * recent
    if weight.sum() <= 0.0:
        weight = np.diff(edges) * recent
    if weight.sum() <= 0.0:
        weight = np.diff(edges)
    middle = 0.5 * (belief.days.co2[:, 1:] + belief.days.co2[:, :-1])
    mean: FloatArray = (middle @ weight / weight.sum())[season.joint.shared.row]
    return mean


def limits_now(season: Season, full: Fullness) -> tuple[LimitShare, ...]:
    """Return the limits of growth, the likeliest first.

    Nutrients that nothing of this tank speaks of stand behind: each has the chance that it would
    be the least if it were as is usual, and none of them takes a chance away from another.
    """
    contend = [key for key in full.parts if key in _NAMES or spoken_of(season, key)]
    some = Fullness({key: full.parts[key] for key in contend}, full.lit_co2)
    found = []
    for key, part in full.parts.items():
        others = Fullness({**some.parts, key: part}, full.lit_co2)
        least = float(np.mean(part <= others.without(key)))
        found.append(_share(season, others, key, least))
    behind = {key for key in full.parts if key not in contend}
    return tuple(
        sorted(found, key=lambda one: (one.key in behind, -one.chance.value, one.fullness.value))
    )


def _share(season: Season, full: Fullness, key: str, chance: float) -> LimitShare:
    name = _NAMES.get(key) or NUTRIENTS[key].name
    inputs, formula, source = _inputs(season, full, key)
    part = full.parts[key]
    gain = full.without(key) / np.maximum(full.least, 1e-6) - 1.0
    known = _known(season, key)
    return LimitShare(
        key=key,
        name=name,
        fullness=figure(
            f"{key}_fullness_percent", f"how far {name} lets growth go", 100.0 * part, "%",
            formula, inputs, source,
        ),
        chance=figure(
            f"{key}_limits_percent", f"chance that {name} is the least of all", 100.0 * chance, "%",
            "part of the joint draws in which it is the least", inputs, _SOURCE,
        ),
        gain=figure(
            f"{key}_gain_percent", f"growth gained with {name} alone in plenty", 100.0 * gain, "%",
            "least of the others / least of all - 1", inputs, _SOURCE,
        ),
        known=known,
        reason=_reason(name, part, known),
    )  # fmt: skip


def _reason(name: str, part: FloatArray, known: bool) -> str:
    middle, low, high = (100.0 * x for x in range_of(part))
    text = f"{name} lets growth go to {middle:.0f} % of its most ({low:.0f} to {high:.0f})"
    return text if known else f"{text}, by what is usual: nothing of this tank tells"


def _known(season: Season, key: str) -> bool:
    if key == "light":
        return ppfd_of(season.tank)[1] is not None
    if key == "carbon":
        return bool(season.belief.problem.evidence.readings)
    return spoken_of(season, key)


def spoken_of(season: Season, key: str) -> bool:
    """Return whether a test or a dose of this tank speaks of a nutrient."""
    return any(test.key == key for test in season.tests) or any(
        dose.adds_mg_l.get(key, 0.0) > 0.0 for dose in season.doses
    )


def _inputs(season: Season, full: Fullness, key: str) -> tuple[tuple[Input, ...], str, str]:
    if key == "light":
        ppfd, measured = ppfd_of(season.tank)
        knee = light_draws(season.tank, season.joint.shared.count)[1]
        origin = {True: "tank file", False: "from the lamp", None: "usual, nothing told"}[measured]
        return (
            (given("PPFD at the plants", ppfd, "µmol/m²/s", origin),
             given("Ik of submerged leaves", range_of(knee), "µmol/m²/s", str(SUBMERGED_SOURCE))),
            "tanh(PPFD / Ik)",
            "Jassby & Platt 1976 (cited from memory, not checked against the paper)",
        )  # fmt: skip
    if key == "carbon":
        half = season.belief.draws.half_saturation_mg_l[season.joint.shared.row]
        return (
            (given("CO2 of the lit hours", range_of(full.lit_co2), "mg/L", "belief"),
             given("CO2 at which uptake is half", range_of(half), "mg/L", "belief")),
            "CO2 / (K + CO2)",
            "Van, Haller & Bowes 1976; Kirk, Light and Photosynthesis in Aquatic Ecosystems, "
            "ch. 11",
        )  # fmt: skip
    one, q = NUTRIENTS[key], season.joint.parts[key]
    return (
        (given(f"{one.symbol} in the water", range_of(season.now_mg_l(key)), "mg/L",
               "diary and belief"),
         given("concentration at which uptake is half", range_of(q.half_mg_l), "mg/L",
               str(HALF_SOURCE)),
         given("part taken by the leaves", one.water_share, "1", "a choice of ours, no source")),
        "1 - leaves · K / (K + concentration)",
        str(HALF_SOURCE),
    )  # fmt: skip


def growth_figures(season: Season) -> tuple[Figure, Figure]:
    """Return (carbon fixed a day [g], new dry plant a week [g])."""
    from leafgill.advise.balance.nutrients import (
        CARBON_PERCENT,
        CARBON_SOURCE,
        NET_SHARE,
        NET_SOURCE,
    )

    belief, joint = season.belief, season.joint
    rows = joint.shared.row
    volume = belief.problem.value(belief.z, "volume")[rows]
    fixed_g = joint.carbon.now_mg_l[rows] * volume * 1e-3
    content = drawn(CARBON_PERCENT, rows.size, "carbon of plants")
    dry_g = 7.0 * fixed_g * joint.shared.net_share * 100.0 / content
    uptake = belief.draws.uptake_mg_l_h[rows]
    inputs = (
        given("CO2 fixed at full light and ample CO2", range_of(uptake), "mg/L/h", "belief"),
        given("water", range_of(volume), "L", "tank file and belief"),
    )
    carbon = figure(
        "carbon_fixed_g_day", "carbon the plants fix in a day", fixed_g, "g",
        "uptake · light · CO2 / (K + CO2) over the coming day · 12.011 / 44.010 · water",
        inputs, "the belief's own days",
    )  # fmt: skip
    growth = figure(
        "growth_g_week", "new dry plant in a week", dry_g, "g",
        "7 · carbon · part kept / carbon content",
        (given("carbon a day", range_of(fixed_g), "g", "above"),
         given("part not breathed away", NET_SHARE, "1", str(NET_SOURCE)),
         given("carbon in dry plant", CARBON_PERCENT, "%", str(CARBON_SOURCE))),
        str(CARBON_SOURCE),
    )  # fmt: skip
    return carbon, growth
