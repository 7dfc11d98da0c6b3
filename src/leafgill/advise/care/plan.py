"""All the work on a tank, how often by its own record, the most pressing first."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from leafgill.advise.care.checker import checker_job
from leafgill.advise.care.counter import counter_job
from leafgill.advise.care.diffuser import diffuser_job
from leafgill.advise.care.electrode import electrode_job, has_electrode
from leafgill.advise.care.hardness import hardness_job
from leafgill.advise.care.job import CarePlan, Job, in_order
from leafgill.advise.care.known import Known, habit
from leafgill.advise.care.line import check_valve_job, hose_job, leak_job
from leafgill.advise.care.stamp import stamp_job
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.tank.spec import Tank


def care_of(tank: Tank, diary: Diary, belief: Belief, now: datetime) -> CarePlan:
    """Return the work on a tank at `now` (aware, or naive by the tank's clock).

    Intervals come from the tank's own record as far as it tells, else from a law of the rig, else
    from the habits of the trade; each says which.
    """
    zone = ZoneInfo(tank.timezone)
    now = now.replace(tzinfo=zone) if now.tzinfo is None else now.astimezone(zone)
    local = diary if diary.timezone is not None else diary.localised(tank.timezone)
    known = Known(tank, local.until(now), belief, now)
    return CarePlan(now, in_order([*_water(known), *_gas(known), *_instruments(known)], now))


def _water(known: Known) -> list[Job]:
    return [
        habit(known, "water_change", "Change part of the water", 7.0,
              "Takes out what gathers, brings hardness back.",
              "a third, as warm as the tank, its chlorine bound; write the new water's KH down"),
        hardness_job(known),
        habit(known, "filter", "Clean the filter", 42.0,
              "A slow filter spreads gas badly and takes up oxygen.",
              "in tank water, half of the material at a time; look that the flow is back"),
        habit(known, "trim", "Trim the plants", 14.0,
              "Dense growth shades itself and stops the water.",
              "what shades others first; take out what was cut, it rots and takes up oxygen"),
    ]  # fmt: skip


def _gas(known: Known) -> list[Job]:
    source = known.tank.rig.source
    found = [diffuser_job(known), counter_job(known), check_valve_job(known), hose_job(known)]
    if source != "yeast":
        found.append(leak_job(known))
    if source == "cylinder":
        found.append(stamp_job(known))
        found.append(
            habit(known, "weigh", "Weigh the cylinder", 7.0,
                  "The gauge says nothing until the liquid is gone; the scale does.",
                  "always with the regulator on, or always without; write which")
        )  # fmt: skip
    return found


def _instruments(known: Known) -> list[Job]:
    found = [checker_job(known)]
    if has_electrode(known):
        found.append(electrode_job(known))
    return found
