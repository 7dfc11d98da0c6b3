"""What has to hold before anything beside the valve is moved, or all of it is left alone."""

from __future__ import annotations

from leafgill.advise.case import Case
from leafgill.advise.rules import changes_shown, passes, readings_fit
from leafgill.advise.situation import Situation
from leafgill.advise.step import Reason, held

# CO2 of the lit hours within this of the target is a target met.
MET_WITHIN = 0.10


def target_met(hold: Case) -> Reason:
    """Return whether CO2 in the lit hours is within 10 % of the target, as things are set."""
    target = hold.situation.limits.target_mg_l
    off = abs(hold.lit_co2.mean / target - 1.0)
    text = (
        f"CO2 while the plants have light is {100.0 * off:.0f} % off the {target:.3g} mg/L aimed "
        f"at; within {MET_WITHIN:.0%} it is met"
    )
    return held(text, off, "<=", MET_WITHIN, 0, "met")


def known_well(situation: Situation) -> tuple[Reason, ...]:
    """Return whether the last change has shown and the newest readings are fresh and fit."""
    return (*changes_shown(situation), *readings_fit(situation))


def clear_to_move(hold: Case) -> bool:
    """Whether hours may be moved at all: target met, all shown and read, animals well."""
    situation = hold.situation
    well = situation.fish is None or situation.fish.word == "normal"
    return well and target_met(hold).passed and passes(known_well(situation))
