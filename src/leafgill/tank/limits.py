"""What the animals stand: CO2 they shall not pass, oxygen they shall not miss."""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.tank.animals import DEFAULT_GROUP, GROUPS, Group
from leafgill.tank.spec import Tank

# What must practically never be met, as a part of the limit.
DANGER = 1.25
# Where to aim below the limit when the keeper named no target: room for a day's swing and for
# crude instruments (a choice of ours).
TARGET_SHARE = 0.8
# Plants gain little above this: 81 % of their maximum at a half-saturation of 7 mg/L (Van, Haller
# & Bowes 1976 give 6.6-7.5 mg/L for three submersed plants at pH 4).
MOST_TARGET_MG_L = 30.0


@dataclass(frozen=True, slots=True)
class Limits:
    """The figures advice is held against [mg/L], with the reasons for each in plain words."""

    co2_mg_l: float
    o2_min_mg_l: float
    target_mg_l: float
    reasons: tuple[str, ...]

    @property
    def co2_danger_mg_l(self) -> float:
        """CO2 that must practically never be met: 1.25 times the limit [mg/L]."""
        return DANGER * self.co2_mg_l


def limits_of(tank: Tank) -> Limits:
    """Return the limits of a tank's animals, and the CO2 to aim at.

    A CO2 limit given by the keeper wins; without one the most delicate group's holds. The oxygen
    minimum is always that of the group that needs most. A target given by the keeper is held to
    the limit; without one it is 80 % of the limit, at most 30 mg/L.
    """
    kinds = tank.livestock.kinds or (DEFAULT_GROUP,)
    groups = {kind: GROUPS[kind] for kind in kinds}
    limit, limit_reason = _co2_limit(tank.livestock.co2_limit_mg_l, groups)
    o2_min, o2_reason = _o2_min(groups)
    target, target_reason = _target(tank.target_co2_mg_l, limit)
    reasons = [limit_reason, o2_reason, target_reason]
    if not tank.livestock.kinds:
        reasons.append("the tank file names no animals; fish are assumed")
    return Limits(limit, o2_min, target, tuple(reasons))


def _co2_limit(given: float | None, groups: dict[str, Group]) -> tuple[float, str]:
    if given is not None:
        return given, f"the keeper sets the CO2 limit at {given:g} mg/L"
    kind = min(groups, key=lambda kind: groups[kind].co2_limit_mg_l)
    group = groups[kind]
    limit = group.co2_limit_mg_l
    return limit, f"CO2 at most {limit:g} mg/L for {kind}: {group.reason} ({group.basis})"


def _o2_min(groups: dict[str, Group]) -> tuple[float, str]:
    kind = max(groups, key=lambda kind: groups[kind].o2_min_mg_l)
    least = groups[kind].o2_min_mg_l
    return least, f"oxygen at least {least:g} mg/L for {kind}: {groups[kind].o2_basis}"


def _target(given: float | None, limit: float) -> tuple[float, str]:
    if given is None:
        target = min(TARGET_SHARE * limit, MOST_TARGET_MG_L)
        if target < TARGET_SHARE * limit:
            return target, f"no target given: {target:g} mg/L, above which plants gain little"
        return target, f"no target given: {TARGET_SHARE:.0%} of the limit, {target:g} mg/L"
    if given > limit:
        return limit, f"the target of {given:g} mg/L is above the limit and is held to {limit:g}"
    return given, f"the keeper aims at {given:g} mg/L"
