"""All a keeper can see and do: the tank file, the diary so far, readings to take, the valve."""

from collections.abc import Sequence
from datetime import datetime, timedelta

import numpy as np

from . import readings
from .actions import (
    Action,
    DrawGlass,
    Read,
    SetAirDay,
    SetGasDay,
    SetLightDay,
    SetValve,
    WaterChange,
    Window,
)
from .chemistry import FloatArray
from .diary import START, Row, number
from .play import Play


class Senses:
    """The keeper's side of a play. Nothing here shows what only nature knows."""

    def __init__(self, play: Play, tank_toml: str, light: Window) -> None:
        self._play = play
        self.tank_toml = tank_toml
        self.light = light  # the lamp's hours, which the tank file has too
        self.co2_limit_mg_l = play.world.co2_limit_mg_l
        self.target_co2_mg_l = play.world.target_co2_mg_l
        self.has_probe = play.has_probe

    @property
    def rows(self) -> Sequence[Row]:
        """The diary so far."""
        return tuple(self._play.rows)

    @property
    def gas_on(self) -> bool:
        """Whether the timer has the gas on, as the solenoid's lamp shows."""
        i = min(self._play.now, self._play.minutes - 1)
        return bool(self._play.timer_min[i] >= 0.0)

    def probe(self, since: datetime = START) -> tuple[list[datetime], FloatArray]:
        """The logging electrode's readings after `since`, one a minute; empty without one.

        What can be no pH is no reading.
        """
        if not self.has_probe:
            return [], np.empty(0)
        first = max(int((since - START).total_seconds() // 60), 0)
        log = self._play.probe_log(first)
        shown = np.flatnonzero((log >= 3.0) & (log <= 11.0))
        return [START + timedelta(minutes=first + int(i) + 1) for i in shown], log[shown]

    def read(self, kind: str, how: str = "") -> str:
        """Take a reading now; it is written into the diary, and given back as written."""
        return readings.take(self._play, kind, how)

    def do(self, action: Action) -> None:
        """Do one thing now; whatever a diary would have of it is written."""
        play = self._play
        match action:
            case SetValve(rate):
                play.set_valve(rate)
                play.write("bubble_rate", number(rate, 3), "per s")
            case SetGasDay(window):
                play.gas = window
                play.lay_out()
                play.write("gas_day", str(window))
            case SetLightDay(window):
                play.light = window
                play.lay_out()
                play.write("light_day", str(window))
            case SetAirDay(window):
                play.air = window
                play.lay_out()
                play.write("air_day", str(window))
            case WaterChange(percent, written):
                play.change_water(percent)
                if written:
                    play.write("water_change", f"{percent:.0f}", "%")
            case Read(kind, how):
                self.read(kind, how)
            case DrawGlass(outdoors):
                play.draw_glass(outdoors)
