"""A tank being kept: nature runs up to the moment, instruments are read, the keeper acts."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import NamedTuple

import numpy as np

from . import instruments, nature, weather
from .actions import (
    Action,
    Read,
    SetGasDay,
    SetLightDay,
    SetValve,
    WaterChange,
    Window,
)
from .chemistry import CO2_G_MOL, Chemistry, FloatArray
from .world import World

START = datetime(2025, 3, 3, 8, 0)
MINUTES_DAY = 1440


class Row(NamedTuple):
    """One line of the diary."""

    time: datetime
    kind: str
    value: str
    unit: str = ""
    note: str = ""


@dataclass
class Glass:
    """A glass of tank water left in the room to lose its gas."""

    drawn: datetime
    alkalinity_meq_l: float


@dataclass
class Flow:
    """What the valve is set to, and from when."""

    written: float = 0.0
    true: float = 0.0
    since: int = 0


@dataclass
class Play:
    """One run of one tank. The clock is a minute number from START; it only goes forward."""

    world: World
    minutes: int
    has_probe: bool
    rows: list[Row] = field(default_factory=list)

    def __post_init__(self) -> None:
        w = self.world
        self.weather = weather.make(w, self.minutes, START.hour + START.minute / 60.0)
        self.chemistry = Chemistry(w.gh_dgh)
        self.kit = instruments.buy(np.random.default_rng([w.seed, 3]))
        self.checker = instruments.DropChecker(self.kit)
        self.luck = np.random.default_rng([w.seed, 4])
        self.noise = np.random.default_rng([w.seed, 5]).normal(
            0.0, self.kit.probe_noise, self.minutes
        )
        self.now = 0
        self.flow = Flow()
        self.gas: Window | None = None
        self.light: Window | None = None
        self.glass: Glass | None = None
        empty = [np.zeros(self.minutes) for _ in nature.Track._fields]
        self.track = nature.Track(*empty)
        self.budget = np.zeros(nature.BUDGET_SIZE)
        self.constants = nature.Constants(
            sheltered_share=w.sheltered_share,
            mixing_h=w.mixing_h,
            dissolved_fall=w.dissolved_fall,
            line_lag_min=w.line_lag_min,
            line_fill_min=w.line_fill_min,
            uptake_half_mg_l=w.uptake_half_mg_l,
            photosynthetic_quotient=w.photosynthetic_quotient,
            sheltered_plants=w.sheltered_plants,
            checker_lag_h=nature.CHECKER_LAG_H,
        )
        self.alkalinity = (
            w.kit_alkalinity_meq_l * (1.0 - w.organic_share) * self.weather.kit_alkalinity_ratio
        )
        self.course = nature.Course(
            self.weather.temperature_c,
            self.weather.co2_equilibrium_mg_l,
            self.weather.o2_saturation_mg_l,
            self.weather.exchange_h.copy(),
            self.alkalinity,
            np.zeros(self.minutes),
            np.full(self.minutes, -1.0),
            self.weather.gain_mg_l,
            np.zeros(self.minutes),
            self.weather.respiration_mg_l_h,
        )
        self.state = self._first_state()
        self.dissolved_g = 0.0

    def _first_state(self) -> FloatArray:
        """Water that stood without gas for long."""
        air, alkalinity, warmth = (
            float(a[0])
            for a in (
                self.weather.co2_equilibrium_mg_l,
                self.alkalinity,
                self.weather.temperature_c,
            )
        )
        co2 = air + self.world.respiration_mg_l_h / self.world.exchange_20_h
        ph = self.chemistry.ph(co2, alkalinity, warmth)
        dic = self.chemistry.dic_mmol_l(ph, alkalinity, warmth)
        state = np.zeros(nature.STATE_SIZE)
        o2 = 0.97 * self.weather.o2_saturation_mg_l[0]
        state[[nature.DIC_OPEN, nature.DIC_SHELTERED]] = dic
        state[[nature.O2_OPEN, nature.O2_SHELTERED]] = o2
        state[[nature.PH_OPEN, nature.PH_SHELTERED]] = ph
        state[nature.CHECKER] = co2
        return state

    # --- the clock -------------------------------------------------------------------------

    def time(self) -> datetime:
        """Wall time now."""
        return START + timedelta(minutes=self.now)

    def until(self, moment: datetime) -> None:
        """Let nature run to a moment (or to the end of the run)."""
        last = min(int((moment - START).total_seconds() // 60), self.minutes)
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

    def schedule(self) -> None:
        """Lay gas, light and night air over the minutes to come."""
        first = self.now
        clock = (np.arange(first, self.minutes) + 60 * START.hour + START.minute) % MINUTES_DAY
        lit_for = _minutes_into(clock, self.light)
        lit = lit_for >= 0
        length = max(_length(self.light), 1)
        # plants slow in the afternoon: full for two fifths of the day, then down to the loss
        tired = np.clip((lit_for / length - 0.4) / 0.6, 0.0, 1.0)
        dawn = np.clip(lit_for / 10.0, 0.0, 1.0)
        bright = np.where(lit, dawn * (1.0 - self.world.afternoon_loss * tired), 0.0)
        self.course.uptake_mg_l_h[first:] = self.weather.uptake_mg_l_h[first:] * bright
        self.course.gas_open_min[first:] = _minutes_into(clock, self.gas)
        night = ~lit if (self.world.night_air and self.light) else np.zeros(lit.size, bool)
        self.course.exchange_h[first:] = (
            self.weather.exchange_h[first:] + self.weather.night_air_h[first:] * night
        )
        drift = self.weather.valve_log[first:] - self.weather.valve_log[self.flow.since]
        self.course.rate[first:] = self.flow.true * np.exp(drift)

    # --- what the keeper does --------------------------------------------------------------

    def write(self, kind: str, value: str, unit: str = "", note: str = "") -> None:
        """A line in the diary, now."""
        self.rows.append(Row(self.time(), kind, value, unit, note))

    def act(self, action: Action) -> None:
        """Do one thing the keeper decided on."""
        match action:
            case SetValve(rate):
                self.flow = Flow(rate, rate * self._slip(), self.now)
                self.write("bubble_rate", number(rate, 3), "per s")
            case SetGasDay(window):
                self.gas = window
                self.write("gas_day", str(window))
            case SetLightDay(window):
                self.light = window
                self.write("light_day", str(window))
            case WaterChange(percent, written):
                self._change_water(percent)
                if written:
                    self.write("water_change", f"{percent:.0f}", "%")
            case Read(kind):
                self.read(kind)
        if isinstance(action, SetValve | SetGasDay | SetLightDay):
            self.schedule()

    def _slip(self) -> float:
        return float(np.exp(self.luck.normal(0.0, self.world.setting_error)))

    def _change_water(self, percent: float) -> None:
        part = float(np.clip(percent / 100.0 * self.luck.normal(1.0, 0.05), 0.0, 0.95))
        w = self.world
        i = min(self.now, self.minutes - 1)
        warmth, old = float(self.weather.temperature_c[i]), float(self.alkalinity[i])
        tap = w.kit_alkalinity_meq_l * (1.0 - w.organic_share) * w.tap_alkalinity_ratio
        tap_ph = self.chemistry.ph(w.tap_co2_mg_l, tap, warmth)
        tap_dic = self.chemistry.dic_mmol_l(tap_ph, tap, warmth)
        before = self._mean(nature.DIC_OPEN, nature.DIC_SHELTERED)
        tap_o2 = 0.93 * self.weather.o2_saturation_mg_l[i]
        for zone in (nature.DIC_OPEN, nature.DIC_SHELTERED):
            self.state[zone] += part * (tap_dic - self.state[zone])
        for zone in (nature.O2_OPEN, nature.O2_SHELTERED):
            self.state[zone] += part * (tap_o2 - self.state[zone])
        self.alkalinity[i:] *= (old + part * (tap - old)) / old
        after = self._mean(nature.DIC_OPEN, nature.DIC_SHELTERED)
        self.budget[nature.CHANGED] += (after - before) * CO2_G_MOL

    def _mean(self, opened: int, sheltered: int) -> float:
        s = self.world.sheltered_share
        return float((1.0 - s) * self.state[opened] + s * self.state[sheltered])

    # --- what the keeper reads -------------------------------------------------------------

    def read(self, kind: str) -> str:
        """Take a reading, write it down, and give its value as written."""
        value, unit, note = getattr(self, f"_read_{kind}")()
        self.write(kind, value, unit, note)
        return str(value)

    def _i(self) -> int:
        return min(max(self.now - 1, 0), self.minutes - 1)

    def _true_ph(self) -> float:
        return float(self.state[nature.PH_OPEN])

    def _probe_now(self, ph: float) -> float:
        days = np.array([self.now / MINUTES_DAY])
        noise = np.array([self.luck.normal(0.0, self.kit.probe_noise)])
        return float(instruments.probe(self.kit, np.array([ph]), days, noise)[0])

    def _read_ph_probe(self) -> tuple[str, str, str]:
        return number(self._probe_now(self._true_ph()), 2), "", ""

    def _read_ph(self) -> tuple[str, str, str]:
        return number(instruments.hand_ph(self.kit, self._true_ph(), self.luck), 1), "", ""

    def _read_drop_checker(self) -> tuple[str, str, str]:
        i = self._i()
        caught = float(self.state[nature.CHECKER])
        warmth = float(self.weather.temperature_c[i])
        return self.checker.colour(caught, warmth, self.luck), "", ""

    def _read_fish(self) -> tuple[str, str, str]:
        i = self._i()
        co2, o2 = self.track.co2_max[i], self.track.o2_min[i]
        luck = float(self.luck.random())
        return instruments.fish(self.kit, co2, self.world.co2_limit_mg_l, o2, luck), "", ""

    def _read_bubble_count(self) -> tuple[str, str, str]:
        rate = float(self.state[nature.BUBBLING])
        return number(instruments.bubble_count(self.kit, rate, self.luck), 1), "per s over 10 s", ""

    def _read_temperature(self) -> tuple[str, str, str]:
        truth = float(self.weather.temperature_c[self._i()])
        return number(instruments.temperature(self.kit, truth, self.luck), 1), "C", ""

    def _read_kh(self) -> tuple[str, str, str]:
        w = self.world
        kit = float(self.alkalinity[self._i()]) / (1.0 - w.organic_share)
        drop = self.kit.kh_drop_dkh
        value = instruments.kh_dkh(self.kit, kit, self.luck)
        return number(value, 1), "dKH", f"rounded up to whole {drop} dKH drops"

    def _read_cylinder_mass(self) -> tuple[str, str, str]:
        used_mg = float(np.sum(self.track.rate[: self.now])) * 60.0 * self.world.bubble_mg
        leaked = self.world.leak_g_day * self.now / MINUTES_DAY if self.gas else 0.0
        truth = self.world.cylinder_g - 1e-3 * used_mg - leaked
        note = "with regulator off" if self.gas is None else ""
        return number(instruments.weight(self.kit, truth, self.luck), 0), "g", note

    def draw_glass(self) -> None:
        """Set a glass of tank water aside for the degassed sample."""
        self.glass = Glass(self.time(), float(self.alkalinity[self._i()]))

    def _read_degassed_ph(self) -> tuple[str, str, str]:
        if self.glass is None:
            raise ValueError("no glass was drawn")
        i = self._i()
        # the glass follows the room of the last hours, and its temperature
        room = float(np.mean(self.weather.room_ppm[max(i - 180, 0) : i + 1]))
        warmth = float(self.weather.temperature_c[i]) - 2.0 + float(self.luck.normal(0.0, 1.0))
        air = float(weather.co2_equilibrium_mg_l(room, np.array([warmth]))[0])
        ph = self.chemistry.ph(air, self.glass.alkalinity_meq_l, warmth)
        if self.has_probe:
            value, with_what = number(self._probe_now(ph), 2), "same probe"
        else:
            value = number(instruments.hand_ph(self.kit, ph, self.luck), 1)
            with_what = "hand test"
        note = f"{with_what}, indoor air, glass drawn {self.glass.drawn:%Y-%m-%d %H:%M}"
        self.glass = None
        return value, "", note


def number(value: float, decimals: int) -> str:
    """A number as the diary has it: no more decimals than needed, at least one (none for 0)."""
    if decimals == 0:
        return f"{value:.0f}"
    short = f"{value:.{decimals}f}".rstrip("0")
    return short + "0" if short.endswith(".") else short


def _minutes_into(clock: FloatArray, window: Window | None) -> FloatArray:
    """Minutes since a daily window opened, -1 while it is shut."""
    if window is None:
        return np.full(clock.size, -1.0)
    into = (clock - window.on_min) % MINUTES_DAY
    return np.where(into < _length(window), into, -1.0)


def _length(window: Window | None) -> int:
    return (window.off_min - window.on_min) % MINUTES_DAY if window else 0
