"""The words around a step: what to do by hand, what to mind."""

from __future__ import annotations

from leafgill.advise.emergency import CHANGE_PART, Emergency, Relief
from leafgill.advise.instruments import PROBE, instrument_of
from leafgill.advise.rates import nearest_countable
from leafgill.advise.situation import Situation
from leafgill.advise.step import Reason, held
from leafgill.advise.words import mg_l, minutes_text, per_cent, rate_text
from leafgill.tank.schedule import Window

# Water that has to be waited for longer than this with the gas shut is changed [min]; a choice
# of ours.
SOON_MIN = 30.0
_HARD_TO_COUNT = 5.0
HAND_ON_VALVE = "this is advice: nothing here opens a valve, and your hand stays on it"


# A rate that has fallen to this part of its setting has a cause that wants to be found.
_FALLEN = 0.7
_EMPTYING = (
    ". Look at the cylinder's gauge first: where it runs empty, refill it and leave the valve, "
    "which would give far too much with a full one"
)


def to_read(situation: Situation) -> str:
    """Return what to read at the next look."""
    with_what = "electrode" if instrument_of(situation.belief) == PROBE else "hand test"
    return (
        f"pH by the {with_what}, the drop checker's colour, a bubble count, and how the animals "
        "breathe; write all of it down"
    )


def general(situation: Situation) -> list[str]:
    """Return what is to be minded whatever the step is."""
    found = []
    if situation.crept and situation.setting and situation.rate is not None:
        fallen = situation.rate < _FALLEN * situation.setting
        found.append(
            f"the valve was set to {rate_text(situation.setting)} but seems to give "
            f"{rate_text(nearest_countable(situation.rate))} now: count it"
            + (_EMPTYING if fallen else "")
        )
    found += list(situation.belief.problem.evidence.assumed)
    if not situation.tank.livestock.kinds and situation.tank.livestock.co2_limit_mg_l is None:
        found.append(
            f"no animals are named in the tank file; fish are assumed, with a limit of "
            f"{situation.limits.co2_mg_l:g} mg/L"
        )
    found.append(HAND_ON_VALVE)
    return found


def setting(situation: Situation, rate: float) -> list[str]:
    """Return how to set a rate."""
    found = []
    if situation.is_raise(rate):
        found.append(WATCH)
    if not situation.gas_on:
        found.append("a rate can only be counted while the gas runs: set it then")
    if rate > _HARD_TO_COUNT:
        found.append("so many bubbles are hard to count: film ten seconds and count them slowly")
    elif rate < 1.0:
        found.append("count a whole minute, turn a hair at a time, wait a minute and count again")
    return found


WATCH = "stay for a quarter of an hour and look at the animals again within the hour"
FIRST = (
    "before the first gas: the cylinder upright and held fast, the room aired, a check valve in "
    "the hose, every joint brushed with soapy water",
)


OXYGEN_TEST = (
    "oxygen test just before the lights go on, when there is least: fill the bottle under water "
    'without a bubble in it, add the reagents at once, write it as a test and note "oxygen"'
)


def oxygen(chance: float, least_mg_l: float) -> str:
    """Return what helps where oxygen may fall short even without gas."""
    return (
        f"oxygen may fall below {least_mg_l:g} mg/L before morning whatever the gas does (chance "
        f"{per_cent(chance)}): let the filter's outlet break the surface, or run an air stone from "
        "lights-off to lights-on"
    )


def only_with_air(chance: float, least_mg_l: float, air: Window) -> str:
    """Return the condition of a rate that is safe with air at night and not without."""
    return (
        f"only with an air stone or a broken surface from {air}, every night: without it oxygen "
        f"may fall below {least_mg_l:g} mg/L before morning (chance {per_cent(chance)}). If it "
        "cannot be done, leave the gas as it is. Write it into the tank file as air_on and air_off"
    )


def ways_out(figures: Emergency) -> list[str]:
    """Return what to do when animals are in distress, with how long each takes."""
    limit = f"{figures.limit_mg_l:.3g} mg/L"
    below = figures.co2_mg_l.high < figures.limit_mg_l
    found = [
        f"shut the gas now; CO2 is believed at {mg_l(figures.co2_mg_l)}"
        + ("" if below else f", and below {limit} {_after(figures.gas_shut)} with the gas shut"),
        "move the surface: air stone on, filter outlet up"
        + ("" if below else f"; CO2 is then below {limit} {_after(figures.with_air)}"),
        f"change {CHANGE_PART:.0%} of the water for water of the same warmth, KH and without "
        f"chlorine: CO2 is then {mg_l(figures.with_change.co2_mg_l)} a quarter of an hour on"
        + ("" if below else f", and below {limit} {_after(figures.with_change)}"),
    ]
    if below:
        found.append(
            "CO2 alone hardly explains this: test oxygen, ammonia and nitrite, feel the water's "
            "warmth, think of sprays and medicines; the water change helps against all of them"
        )
    return found


def relief_rows(figures: Emergency) -> tuple[Reason, ...]:
    """Return how long each way takes, held against how long one may wait."""
    rows = (
        ("with the gas shut", figures.gas_shut),
        ("with the gas shut and the surface moved", figures.with_air),
        (f"after {CHANGE_PART:.0%} of the water is changed as well", figures.with_change),
    )
    return tuple(
        held(
            f"{name} CO2 is below {figures.limit_mg_l:.3g} mg/L {_after(relief)}; "
            f"more than {SOON_MIN:.0f} min is too long",
            relief.minutes.mean,
            "<=",
            SOON_MIN,
            5,
            "relief",
        )
        for name, relief in rows
    )


def _after(relief: Relief) -> str:
    minutes = relief.minutes
    if minutes.high < 1.0:
        return "at once"
    if minutes.mean >= 700.0:
        return "only after more than 12 h"
    span = f"{minutes_text(minutes.low)} to {minutes_text(minutes.high)}"
    return f"after {minutes_text(minutes.mean)} ({span})"
