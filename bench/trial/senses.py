"""All a keeper can see and reach: the tank file, the diary so far, the probe, readings to take."""

from collections.abc import Sequence
from datetime import datetime, timedelta

import numpy as np

from . import instruments
from .actions import Window
from .chemistry import FloatArray
from .play import MINUTES_DAY, START, Play, Row


class Senses:
    """The keeper's side of a Play."""

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

    def read(self, kind: str) -> str:
        """Take a reading now; it is written into the diary, and given back as written."""
        return self._play.read(kind)

    def draw_glass(self) -> None:
        """Set a glass of tank water aside; read "degassed_ph" a day later."""
        self._play.draw_glass()

    def probe(self, since: datetime = START) -> tuple[list[datetime], FloatArray]:
        """The logging electrode's readings after `since`, one a minute; empty without one."""
        if not self.has_probe:
            return [], np.empty(0)
        first = max(int((since - START).total_seconds() // 60), 0)
        minutes = range(first, self._play.now)
        return [START + timedelta(minutes=i + 1) for i in minutes], logged(self._play, first)


def logged(play: Play, first: int = 0) -> FloatArray:
    """Probe readings at the ends of minutes first.. up to now."""
    span = slice(first, play.now)
    days = np.arange(first + 1, play.now + 1) / MINUTES_DAY
    return instruments.probe(play.kit, play.track.ph[span], days, play.noise[span])
