"""Perfect knowledge, the ceiling: a keeper who can try a rate on the tank itself beforehand."""

import copy
from collections.abc import Sequence
from datetime import datetime, timedelta

from .actions import Action, SetGasDay, SetValve, Window
from .diary import MINUTES_DAY, START
from .senses import Senses

RISEN_MIN = 120
TRIES = 12
MOST = 60.0


class KnowingKeeper:
    """Sets the valve once a day before the gas, so that the day's lit CO2 is at the target.

    Every try runs the true tank, with all that will befall it that day, and nothing of it is kept.
    What is left is the valve itself: it gives a little more or less than is counted.
    """

    def __init__(self, light: Window) -> None:
        self.light = light

    def next_look(self, now: datetime) -> datetime | None:
        """Once a day, two hours before the light."""
        day = now.replace(hour=0, minute=0)
        looks = (day + timedelta(days=d, minutes=self.light.on_min - 120) for d in range(3))
        return next(t for t in looks if t > now)

    def look(self, now: datetime, senses: Senses) -> Sequence[Action]:
        """Search the rate by halving, then set it."""
        if now == START:
            return [SetGasDay(Window(self.light.on_min - 90, self.light.off_min))]
        low, high = 0.0, MOST
        for _ in range(TRIES):
            rate = 0.5 * (low + high)
            if self._level(senses, rate) > senses.target_co2_mg_l:
                high = rate
            else:
                low = rate
        return [SetValve(round(low, 2))]

    def _level(self, senses: Senses, rate: float) -> float:
        """Mean CO2 of the lit hours from two hours after lights-on, with a rate [mg/L]."""
        play = copy.deepcopy(senses._play)
        play.flow = type(play.flow)(rate, play.now)
        play.lay_out()
        first = play.now + 120 + RISEN_MIN
        last = play.now + 120 + (self.light.off_min - self.light.on_min) % MINUTES_DAY
        play.until(START + timedelta(minutes=last))
        level = play.track.co2_mean[first : min(last, play.minutes)]
        return float(level.mean()) if level.size else 0.0
