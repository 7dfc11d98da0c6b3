"""What the animals stand: CO2 they shall not pass, oxygen they shall not miss.

There is no published limit for most kept species. The groups below are common practice among
keepers, no source, save where a sentence names one; the oxygen minimum is a working target of
fish keeping (5 to 6 mg/L, cited from memory, not checked).
"""

from dataclasses import dataclass

from leafgill.tank.spec import Tank


@dataclass(frozen=True, slots=True)
class Group:
    """CO2 limit [mg/L] and oxygen minimum [mg/L] of one group of animals, and where from."""

    co2_limit_mg_l: float
    o2_min_mg_l: float
    reason: str


GROUPS = {
    "fish": Group(30.0, 5.0, "community fish: 30 mg/L is the keepers' usual ceiling, no source"),
    "hardy-fish": Group(
        35.0,
        4.5,
        "hardy fish: largemouth bass swam unhindered up to 40 mg/L at 25 °C (Dahlberg 1963, "
        "thesis, abstract), kept 5 below it",
    ),
    "sensitive-fish": Group(
        20.0,
        5.5,
        "sensitive fish: below 20 mg/L is the usual advice for kept fish (Clinical Guide to Fish "
        "Medicine, Wiley)",
    ),
    "labyrinth-fish": Group(
        25.0, 4.0, "labyrinth fish breathe air: oxygen matters less; CO2 limit common practice"
    ),
    "shrimp": Group(25.0, 5.0, "shrimp: no published limit found; keepers stay at 20-30 mg/L"),
    "snails": Group(30.0, 4.0, "snails: common practice, no source"),
}
_DEFAULT = GROUPS["fish"]
# Aim below the limit by this much when the keeper named no target: what a day's swing and a
# crude instrument ask for (a choice of ours).
TARGET_SHARE = 0.8
DANGER = 1.25


@dataclass(frozen=True, slots=True)
class Limits:
    """The figures advice is held against, with their reasons."""

    co2_mg_l: float
    o2_min_mg_l: float
    target_mg_l: float
    reasons: tuple[str, ...]

    @property
    def co2_danger_mg_l(self) -> float:
        """CO2 that must practically never be met: 1.25 times the limit [mg/L]."""
        return DANGER * self.co2_mg_l


def limits_of(tank: Tank) -> Limits:
    """Return the limits of the tank's animals; a limit given by the keeper wins.

    The target is the keeper's, never above the limit; without one, 80 % of the limit.
    """
    groups = [GROUPS[kind] for kind in tank.livestock.kinds] or [_DEFAULT]
    reasons = [group.reason for group in groups]
    given = tank.livestock.co2_limit_mg_l
    limit = min(group.co2_limit_mg_l for group in groups) if given is None else given
    if given is not None:
        reasons.insert(0, f"the tank file sets the CO2 limit at {given:g} mg/L")
    target = tank.target_co2_mg_l
    if target is None:
        target = TARGET_SHARE * limit
        reasons.append(f"no target given: {TARGET_SHARE:.0%} of the limit")
    elif target > limit:
        reasons.append(f"the target of {target:g} mg/L is above the limit and is held to it")
        target = limit
    return Limits(limit, max(group.o2_min_mg_l for group in groups), target, tuple(reasons))
