"""A tank being kept: nature runs up to the moment, and the keeper's actions take hold."""

import zlib
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np

from . import faults, instruments, nature, weather
from .actions import Window
from .chemistry import CO2_G_MOL, Chemistry, FloatArray
from .diary import MINUTES_DAY, START, Row
from .schedule import daylight, minutes_into
from .world import World

KIT_END_PH = 4.5


@dataclass
class Flow:
    """What the valve truly gave when it was set, and at which minute that was."""

    true: float = 0.0
    since: int = 0


@dataclass
class Glass:
    """A glass of tank water left in the room to lose its gas."""

    drawn: datetime
    alkalinity_meq_l: float
    organic_meq_l: float
    outdoors: bool = False


@dataclass
class Play:
    """One run of one tank. The clock is a minute number from START; it only goes forward."""

    world: World
    minutes: int
    has_probe: bool
    rows: list[Row] = field(default_factory=list)
    now: int = 0
    flow: Flow = field(default_factory=Flow)
    gas: Window | None = None
    light: Window | None = None
    air: Window | None = None  # None: in the dark, where the tank has night air
    glass: Glass | None = None
    fault: faults.Fault | None = None
    struck: int | None = None  # the minute from which the fault shows, once it is known
    held_ph: float = 7.0  # what the probe showed last before it died

    def __post_init__(self) -> None:
        w = self.world
        self.weather = weather.make(w, self.minutes, START.hour + START.minute / 60.0)
        self.chemistry = Chemistry(w.gh_dgh)
        self.kit = instruments.buy(np.random.default_rng([w.seed, 3]))
        self.probe_noise = np.random.default_rng([w.seed, 5]).normal(
            0.0, self.kit.probe_noise, self.minutes
        )
        self.track = nature.Track(*(np.zeros(self.minutes) for _ in nature.Track._fields))
        self.budget = np.zeros(nature.BUDGET_SIZE)
        self.constants = _constants(w, self.kit)
        # the kit stops at pH 4.5 and so misses the anion that is left there
        missed = w.organic_meq_l * nature.anion_share(KIT_END_PH, w.organic_pka)
        ratio = self.weather.alkalinity_ratio
        self.course = nature.Course(
            temperature_c=self.weather.temperature_c,
            co2_equilibrium_mg_l=self.weather.co2_equilibrium_mg_l,
            o2_saturation_mg_l=self.weather.o2_saturation_mg_l,
            exchange_h=self.weather.exchange_h.copy(),
            alkalinity_meq_l=(w.kit_alkalinity_meq_l + missed) * ratio,
            organic_meq_l=w.organic_meq_l * ratio,
            rate=np.zeros(self.minutes),
            gas_open_min=np.full(self.minutes, -1.0),
            gain_mg_l=self.weather.gain_mg_l.copy(),
            uptake_mg_l_h=np.zeros(self.minutes),
            respiration_mg_l_h=self.weather.respiration_mg_l_h,
        )
        self.timer_min = self.course.gas_open_min.copy()  # as the timer has it, whatever is stuck
        self.state = self._first_state()

    def _first_state(self) -> FloatArray:
        """Water that stood without gas for long."""
        w, c = self.world, self.course
        warmth = float(c.temperature_c[0])
        co2 = float(c.co2_equilibrium_mg_l[0]) + w.respiration_mg_l_h / w.exchange_20_h
        ph, alkalinity = self.settled(
            co2, float(c.alkalinity_meq_l[0]), float(c.organic_meq_l[0]), warmth
        )
        state = np.zeros(nature.STATE_SIZE)
        state[[nature.DIC_OPEN, nature.DIC_SHELTERED]] = self.chemistry.dic_mmol_l(
            ph, alkalinity, warmth
        )
        state[[nature.O2_OPEN, nature.O2_SHELTERED]] = 0.97 * c.o2_saturation_mg_l[0]
        state[[nature.PH_OPEN, nature.PH_SHELTERED]] = ph
        state[nature.CHECKER] = co2
        return state

    def settled(
        self, co2_mg_l: float, alkalinity_meq_l: float, organic_meq_l: float, temperature_c: float
    ) -> tuple[float, float]:
        """(pH, carbonate alkalinity) at a CO2, where the organic anion gives way with pH."""
        ph, carbonate = 7.5, alkalinity_meq_l
        for _ in range(20):
            carbonate = float(
                nature.carbonate_meq_l(alkalinity_meq_l, organic_meq_l, self.world.organic_pka, ph)
            )
            ph = self.chemistry.ph(co2_mg_l, carbonate, temperature_c)
        return ph, carbonate

    # --- the clock -------------------------------------------------------------------------

    def time(self) -> datetime:
        """Wall time now."""
        return START + timedelta(minutes=self.now)

    def minute(self) -> int:
        """The minute that has just passed (the first, at the start)."""
        return max(self.now - 1, 0)

    def until(self, moment: datetime) -> None:
        """Let nature run to a moment (or to the end of the run), meeting a fault on its way."""
        last = min(int((moment - START).total_seconds() // 60), self.minutes)
        if self.fault is not None and self.now <= self.fault.at < last:
            self._run(self.fault.at)
            faults.strike(self, self.fault)
        self._run(last)

    def _run(self, last: int) -> None:
        """Let the minutes up to `last` pass, if it is ahead."""
        if last > self.now:
            nature.advance(
                self.now,
                last,
                self.chemistry.table,
                self.constants,
                self.course,
                self.state,
                self.budget,
                self.track,
            )
            self.now = last

    def luck(self, what: str) -> np.random.Generator:
        """The luck of one act or reading, the same whatever else was done before it."""
        same = sum(r.kind == what and r.time == self.time() for r in self.rows)
        return np.random.default_rng(
            [self.world.seed, 4, zlib.crc32(what.encode()), self.now, same]
        )

    # --- what the keeper does --------------------------------------------------------------

    def write(self, kind: str, value: str, unit: str = "", note: str = "") -> None:
        """A line in the diary, now."""
        self.rows.append(Row(self.time(), kind, value, unit, note))

    def set_valve(self, rate: float) -> None:
        """Set the valve by counting: what it gives is somewhat off what is written."""
        slip = float(np.exp(self.luck("bubble_rate").normal(0.0, self.world.setting_error)))
        self.flow = Flow(rate * slip, self.now)
        self.lay_out()

    def lay_out(self) -> None:
        """Lay gas, light and night air over the minutes to come."""
        rest = slice(self.now, self.minutes)
        clock = np.arange(self.now, self.minutes) + 60 * START.hour + START.minute
        lit = minutes_into(clock, self.light) >= 0.0
        bright = daylight(clock, self.light, self.world.afternoon_loss)
        self.course.uptake_mg_l_h[rest] = self.weather.uptake_mg_l_h[rest] * bright
        self.course.gas_open_min[rest] = minutes_into(clock, self.gas)
        if self.air is None:
            stones = ~lit * (self.world.night_air and self.light is not None)
        else:
            stones = minutes_into(clock, self.air) >= 0.0
        self.course.exchange_h[rest] = (
            self.weather.exchange_h[rest] + self.weather.night_air_h[rest] * stones
        )
        if self.now < self.minutes:
            drift = self.weather.valve_log[rest] - self.weather.valve_log[self.flow.since]
            self.course.rate[rest] = self.flow.true * np.exp(drift)
        self.timer_min[rest] = self.course.gas_open_min[rest]
        if self.fault is not None and self.now >= self.fault.at:
            faults.bend(self, self.fault)

    def change_water(self, percent: float, tap_meq_l: float | None = None) -> None:
        """Tap water for tank water: its carbon, oxygen and alkalinity, and no organic acid."""
        w, c, s = self.world, self.course, self.state
        i = min(self.now, self.minutes - 1)
        slip = self.luck("water_change").normal(1.0, 0.05)
        part = float(np.clip(percent / 100.0 * slip, 0.0, 0.95))
        warmth = float(c.temperature_c[i])
        tap = w.kit_alkalinity_meq_l * w.tap_alkalinity_ratio if tap_meq_l is None else tap_meq_l
        tap_ph = self.chemistry.ph(w.tap_co2_mg_l, tap, warmth)
        tap_dic = self.chemistry.dic_mmol_l(tap_ph, tap, warmth)
        before = self.mean(nature.DIC_OPEN), self.mean(nature.O2_OPEN)
        for z in range(2):
            s[nature.DIC_OPEN + z] += part * (tap_dic - s[nature.DIC_OPEN + z])
            tap_o2 = w.tap_o2_share * c.o2_saturation_mg_l[i]
            s[nature.O2_OPEN + z] += part * (tap_o2 - s[nature.O2_OPEN + z])
        self.budget[nature.CHANGED] += (self.mean(nature.DIC_OPEN) - before[0]) * CO2_G_MOL
        self.budget[nature.O2_CHANGED] += self.mean(nature.O2_OPEN) - before[1]
        old = float(c.alkalinity_meq_l[i])
        c.alkalinity_meq_l[i:] *= (old + part * (tap - old)) / old
        c.organic_meq_l[i:] *= 1.0 - part

    def mean(self, opened: int) -> float:
        """Mean over the tank of a state that the two zones have side by side."""
        s = self.world.sheltered_share
        return float((1.0 - s) * self.state[opened] + s * self.state[opened + 1])

    def draw_glass(self, outdoors: bool = False) -> None:
        """Set a glass of tank water aside for the degassed sample, in the room or outdoors."""
        i = self.minute()
        c = self.course
        self.glass = Glass(
            self.time(), float(c.alkalinity_meq_l[i]), float(c.organic_meq_l[i]), outdoors
        )

    def probe_log(self, first: int = 0) -> FloatArray:
        """Probe readings at the ends of minutes first .. up to now."""
        span = slice(first, self.now)
        days = np.arange(first + 1, self.now + 1) / MINUTES_DAY
        log = instruments.probe(self.kit, self.track.ph[span], days, self.probe_noise[span])
        if self.fault is None:
            return log
        return faults.seen_by_probe(self.fault, log, np.arange(first, self.now), self.held_ph)

    def leaked_g(self) -> float:
        """CO2 [g] that left the cylinder without passing the counter: a leak begins with the gas.

        One day of START goes by before the cylinder is opened.
        """
        days = max(self.now / MINUTES_DAY - 1.0, 0.0) if self.gas is not None else 0.0
        lost = self.world.leak_g_day * days
        if self.fault is not None and self.fault.kind == "leak":
            lost += self.fault.size * max(self.now - self.fault.at, 0) / MINUTES_DAY
        return lost


def _constants(w: World, kit: instruments.Kit) -> nature.Constants:
    return nature.Constants(
        sheltered_share=w.sheltered_share,
        sheltered_surface=w.sheltered_surface,
        mixing_h=w.mixing_h,
        organic_pka=w.organic_pka,
        dissolved_fall=w.dissolved_fall,
        line_lag_min=w.line_lag_min,
        line_fill_min=w.line_fill_min,
        bubble_g=1e-3 * w.bubble_mg,
        content_g=w.content_g,
        uptake_half_mg_l=w.uptake_half_mg_l,
        photosynthetic_quotient=w.photosynthetic_quotient,
        sheltered_plants=w.sheltered_plants,
        checker_lag_h=kit.checker_lag_h,
        checker_sheltered=kit.checker_sheltered,
    )
