"""Check valve, hose and joints: what keeps gas in and water out."""

from __future__ import annotations

from dataclasses import replace

from leafgill.advise.care.job import Job
from leafgill.advise.care.known import PRACTICE, Known, made, seen_of, usual
from leafgill.advise.care.lifetime import learn
from leafgill.advise.drawn import exactly, figure
from leafgill.advise.figure import Figure, Input
from leafgill.advise.rig.use import USUAL_BORE_MM, USUAL_HOSE, USUAL_LENGTH_M, USUAL_WALL_MM
from leafgill.advise.supply.log import read_log
from leafgill.science.cited import Range
from leafgill.science.hose import MATERIALS, permeation_g_per_day

# How long check valves serve is all but unknown: from a month to years.
CHECK_VALVE_DAYS = Range(180.0, 30.0, 900.0)
LEAK_DAYS = 90.0
# When a hose is renewed, by what it is made of: it hardens, and slips off its barbs.
HOSE_DAYS = {"silicone": 365.0, "rubber": 365.0, "pvc": 545.0}
OTHER_HOSE_DAYS = 1095.0
_USUAL_BAR = 1.5


def check_valve_job(known: Known) -> Job:
    """Return the look at the check valve."""
    seen = seen_of(known, "check_valve")
    wet = [one for one in seen if one.how == "spoiled"]
    learnt = learn(CHECK_VALVE_DAYS, seen)
    if wet:
        reason = (
            f"water was found behind it {len(wet)} times, the last after "
            f"{wet[-1].age_days:.0f} days"
        )
    else:
        reason = "half a year is usual; the diary tells of no water behind it"
    return made(
        known, "check_valve", "Look at hose and check valve",
        "A hose hardens, a check valve lets water through to the regulator.",
        learnt, reason,
        "shut the gas at the cylinder, take the hose off above the valve: nothing may run back. "
        "Water or scale on the gas side: renew the valve. Look at the counter for tank water too",
    )  # fmt: skip


def hose_job(known: Known) -> Job:
    """Return the renewal of the hose."""
    name = known.tank.rig.hose or USUAL_HOSE
    days = HOSE_DAYS.get(name, OTHER_HOSE_DAYS)
    seen = seen_of(known, "hose")
    learnt = learn(usual(days), [one for one in seen if one.how == "spoiled" or one.age_days > 90])
    return made(
        known, "hose", "Renew the hose",
        "It hardens with the years, slips off its barbs and cracks where it bends.",
        learnt,
        f"a hose of {name} is renewed after about {days / 365.0:.1f} years",
        "bend it where it sits on a barb: white, cracked or stiff there, it is due. Cut it square, "
        "and leak test every joint after",
        told=_through(known, name),
    )  # fmt: skip


def _through(known: Known, name: str) -> tuple[Figure, ...]:
    if name not in MATERIALS:
        return ()
    rig = known.tank.rig
    bar = rig.working_pressure_bar or _USUAL_BAR
    bore, wall = rig.hose_bore_mm or USUAL_BORE_MM, rig.hose_wall_mm or USUAL_WALL_MM
    length = rig.hose_length_m or USUAL_LENGTH_M
    lost = permeation_g_per_day(name, bore, wall, length, bar)
    return (
        figure(
            "hose_through_g_per_day",
            f"Gas that goes through the wall of a hose of {name}",
            Range(float(lost.value), float(lost.low), float(lost.high)),
            "g/day",
            "permeability · difference of pressure over the wall, while it is under pressure",
            (
                Input(
                    "pressure", bar, "bar", "tank file" if rig.working_pressure_bar else "assumed"
                ),
                Input("length", length, "m", "tank file" if rig.hose_length_m else "assumed"),
            ),
            str(MATERIALS[name].source),
        ),
    )


def leak_job(known: Known) -> Job:
    """Return the leak test: every quarter, and whenever a cylinder was changed."""
    log = read_log(known.diary, known.now.timestamp())
    changed = [life.since_s for life in log.lives if life.filled]
    last = known.last("leak")
    called = ""
    if changed and (last is None or last.timestamp() < changed[-1]):
        days = (known.now.timestamp() - changed[-1]) / 86400.0
        called = f"the cylinder was changed {days:.0f} days ago, and no leak test since"
    learnt = learn(usual(LEAK_DAYS), seen_of(known, "leak"))
    # never later than the usual, however long it went well
    held = replace(learnt, days=exactly(LEAK_DAYS)) if learnt.days.value > LEAK_DAYS else learnt
    return made(
        known, "leak", "Leak test with soapy water",
        "Most gas that is lost is lost at a joint.",
        held,
        "every quarter, and at every change of cylinder",
        "gas on, brush every joint from the cylinder to the diffuser with soapy water: what foams "
        "leaks. `leafgill commission` has the pressure test",
        source=PRACTICE, called=called,
    )  # fmt: skip
