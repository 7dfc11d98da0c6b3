"""How long the gas lasts, when to order, whether some leaks, and how the cylinder ends."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from leafgill.advise.drawn import range_of
from leafgill.advise.gas_need import gas_need
from leafgill.advise.gas_safety import gas_cautions
from leafgill.advise.supply.course import MassCourse, mass_course
from leafgill.advise.supply.doubts import (
    Contradiction,
    LeakSign,
    Oddity,
    contradictions,
    leak_sign,
    oddities,
)
from leafgill.advise.supply.guard import USUAL_WORKING_BAR, Guard, SurgeRisk, guard_of
from leafgill.advise.supply.helps import Help, rank_helps
from leafgill.advise.supply.log import read_log
from leafgill.advise.supply.readings import Given, Stocktaking
from leafgill.advise.supply.stock import SOURCES, Stock, days_until, stock_of
from leafgill.advise.supply.tip import tip_says
from leafgill.advise.supply.unknowns import USUAL_ROOM_C, Grounds, Unknowns
from leafgill.advise.supply.use import AHEAD_SD, use_of
from leafgill.diary import Diary, Kind
from leafgill.errors import InputError
from leafgill.estimate.belief import Belief
from leafgill.estimate.believe import believe
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray
from leafgill.tank.spec import Tank

Progress = Callable[[str, float], None]

# Sources of gas that are weighed and have a gauge.
WEIGHED = ("cylinder", "cartridge")
# Where no bubble rate is written, what the tank wants stands in for what it gets, within this.
_UNKNOWN_USE_WIDTH = 0.5
# A picture reaches no further ahead than this.
_SHOWN_DAYS = 800.0


@dataclass(frozen=True)
class Supply:
    """What the readings leave of a cylinder at `now`.

    `stocks` are by source: "scale" and "gauge" where they were read in this filling, "bubbles"
    (what was counted alone) and "all". `left_g`, `use_g_day`, `days` and `change_days` (until the
    cylinder is better changed: at the end, or before a single-stage regulator surges) are medians
    with 90 % intervals; where sources contradict each other, from the lowest to the highest end
    of any of them. `from_prior` says that no reading of this filling is known.
    """

    tank: Tank
    now: datetime
    belief: Belief
    taking: Stocktaking
    stocks: dict[str, Stock]
    left_g: Range
    use_g_day: Range
    days: Range
    change_days: Range
    change_g: Range | None
    room_c: float
    room_known: bool
    guard: Guard
    leak: LeakSign
    contradictions: tuple[Contradiction, ...]
    oddities: tuple[Oddity, ...]
    helps: tuple[Help, ...]
    course: MassCourse
    assumed: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def every(self) -> Stock:
        """What all readings together leave."""
        return self.stocks["all"]

    @property
    def from_prior(self) -> bool:
        """Whether nothing of this filling was weighed or read."""
        life = self.taking.log.now
        return not life.weighings and not life.gauges

    @property
    def surge(self) -> SurgeRisk:
        """The end with the regulator of the tank file; where it names none, a single-stage one."""
        return self.guard.kinds[self.tank.rig.regulator or "single-stage"]


def supply(
    tank: Tank,
    diary: Diary,
    now: datetime,
    *,
    room_c: float | None = None,
    progress: Progress | None = None,
    seed: int = 0,
) -> Supply:
    """Return the supply of a tank at `now` (aware, or naive by the tank's clock).

    `room_c` is the warmth of the room the cylinder stands in, where known. The same seed gives
    the same answer. Raises InputError for a source of gas that is neither cylinder nor cartridge,
    TooFewDrawsError as `believe` does.
    """
    source = tank.rig.source
    if source not in WEIGHED:
        raise InputError(
            f'[rig] source = "{source}": supply counts gas in a cylinder or a cartridge; for a '
            "generator see `leafgill rig`"
        )
    tell = progress or _silent
    now = now.replace(tzinfo=ZoneInfo(tank.timezone)) if now.tzinfo is None else now
    known = (diary if diary.timezone is not None else diary.localised(tank.timezone)).until(now)
    tell("estimating the tank", 0.05)
    # the weights are put in below, once: what is believed here must not know them yet
    belief = believe(tank, _without_weights(known), now, seed=seed)
    log = read_log(known, now.timestamp())
    use = use_of(tank, known, log.lives[0].since_s, now.timestamp())
    tell("weighing the readings", 0.4)
    grounds = _grounds(tank, belief, room_c, counted=use.stretches > 0)
    unknowns = Unknowns(grounds, log.now.filled, len(log.lives), use.directions, AHEAD_SD)
    warmth = USUAL_ROOM_C if room_c is None else room_c
    taking = Stocktaking.of(log, use, unknowns, now.timestamp(), tip_says(tank, warmth))
    stocks = _stocks(taking, tank, seed)
    tell("running the cylinder to its end", 0.8)
    return _answer(tank, now, belief, taking, stocks, warmth, room_c is not None)


def _silent(_what: str, _part: float) -> None:
    return


def _without_weights(diary: Diary) -> Diary:
    entries = [e for e in diary.entries if e.kind is not Kind.CYLINDER_MASS]
    return Diary(entries, diary.streams, diary.findings, timezone=diary.timezone)


def _grounds(tank: Tank, belief: Belief, room_c: float | None, *, counted: bool) -> Grounds:
    rig = tank.rig
    mass = np.log(belief.problem.value(belief.z, "bubble_mass"))
    pair = np.column_stack([mass, belief.problem.value(belief.z, "swell")])
    use_g_day, width = 5.0, 1.0
    if not counted:
        wanted = np.maximum(gas_need(tank, belief).gas_g, 1e-2)
        use_g_day = float(np.exp(np.mean(np.log(wanted))))
        width = float(np.hypot(np.std(np.log(wanted)), _UNKNOWN_USE_WIDTH))
    return Grounds(
        source=rig.source,
        charge_g=None if rig.cylinder_kg is None else 1e3 * rig.cylinder_kg,
        tare_g=None if rig.cylinder_tare_kg is None else 1e3 * rig.cylinder_tare_kg,
        water_l=rig.cylinder_water_l,
        room_c=room_c,
        bubble_mean=pair.mean(axis=0),
        bubble_covariance=np.cov(pair.T),
        use_g_day=use_g_day,
        use_width=width,
    )


def _stocks(taking: Stocktaking, tank: Tank, seed: int) -> dict[str, Stock]:
    life = taking.log.now
    read = Given(any(one.weighings for one in taking.log.lives), bool(life.gauges))
    found: dict[str, Stock] = {}
    for name, asked in SOURCES.items():
        given = Given(asked.scale and read.scale, asked.gauge and read.gauge)
        if name in ("scale", "gauge") and given != asked:
            continue
        # what was read with one instrument alone is the same as all that was read
        same = [other for other in found if SOURCES[other] == given]
        found[name] = (
            found[same[0]] if same else stock_of(taking, tank, given, np.random.default_rng(seed))
        )
    return found


def _answer(
    tank: Tank,
    now: datetime,
    belief: Belief,
    taking: Stocktaking,
    stocks: dict[str, Stock],
    room_c: float,
    room_known: bool,
) -> Supply:
    every = stocks["all"]
    guard = guard_of(tank, belief, every)
    surge = guard.kinds[tank.rig.regulator or "single-stage"]
    against = contradictions(stocks)
    parties = sorted({name for pair in against for name in pair[:2]})
    heard = [stocks[name] for name in parties] or [every]
    days = _widest([stock.days for stock in heard])
    change_days = days
    if surge.change_part is not None:
        part = surge.change_part
        change_days = _widest(
            [days_until(s.left_g, part * s.last_liquid_g, s.use_g_day) for s in heard]
        )
    room = tank.room.volume_m3
    return Supply(
        tank=tank,
        now=now,
        belief=belief,
        taking=taking,
        stocks=stocks,
        left_g=_widest([stock.left_g for stock in heard]),
        use_g_day=_widest([stock.use_g_day for stock in heard]),
        days=days,
        change_days=change_days,
        change_g=surge.change_g,
        room_c=room_c,
        room_known=room_known,
        guard=guard,
        leak=leak_sign(taking, every, stocks["bubbles"]),
        contradictions=against,
        oddities=oddities(taking, every),
        helps=rank_helps(taking, every, now),
        course=mass_course(taking, every, min(1.05 * days.high, _SHOWN_DAYS)),
        assumed=(*_assumed(tank, taking, room_known), *taking.log.notes, *taking.use.assumed),
        cautions=gas_cautions(
            tank.rig.cylinder_kg, room, room_c, water_l=tank.rig.cylinder_water_l
        ),
    )


def _widest(draws: list[FloatArray]) -> Range:
    """Return the median and interval of one set of draws; of several, what holds all of them."""
    ranges = [range_of(values) for values in draws]
    return Range(
        min(r.value for r in ranges), min(r.low for r in ranges), max(r.high for r in ranges)
    )


def _assumed(tank: Tank, taking: Stocktaking, room_known: bool) -> list[str]:
    """Say what had to be taken for granted, a sentence each without its capital."""
    rig, log, use = tank.rig, taking.log, taking.use
    new = "cylinder refilled" if rig.source == "cylinder" else "new cartridge"
    found = []
    if rig.cylinder_kg is None:
        found.append("the tank file does not say what a full cylinder holds (cylinder_kg)")
    weighed = bool(log.now.weighings) and rig.cylinder_tare_kg is not None
    if not log.now.filled and not weighed:
        found.append(
            f"no filling of this {rig.source} is written down, so that it may have been anything "
            f'from full to nearly empty; write "{new}" as care at the next one'
        )
    if log.now.weighings and rig.cylinder_tare_kg is None:
        found.append(
            f"the {rig.source}'s empty weight (cylinder_tare_kg) is not known: a weight alone "
            "tells what goes, hardly what is left"
        )
    if not use.stretches:
        found.append(
            "no bubble rate is written down; the use is what such a tank wants for its target"
        )
    elif use.shut or not use.hours_a_day:
        found.append("the gas is shut off; the days are counted at its last setting and hours")
    if not room_known:
        found.append(
            f"the room is taken as {USUAL_ROOM_C:g} °C: while there is liquid a degree moves the "
            "gauge by 1.4 bar; give --room-temperature, or note it beside a reading of the gauge"
        )
    if rig.working_pressure_bar is None:
        low, high = USUAL_WORKING_BAR.low, USUAL_WORKING_BAR.high
        found.append(f"the working pressure is taken as {low:g} to {high:g} bar")
    if rig.regulator is None:
        found.append("the regulator is taken as a single-stage one, the kind that surges")
    return found
