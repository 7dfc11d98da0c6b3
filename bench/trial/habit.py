"""The keeper of ordinary habits: three looks a day, small raises, and now and then a test."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from .actions import Action, DrawGlass, SetGasDay, SetValve, WaterChange, Window
from .diary import START
from .senses import Senses
from .world import Ways

LOOKS_AFTER_LIGHT_H = (1.0, 4.0, 6.5)
GAS_AHEAD_MIN = 60
FIRST_GAS = START + timedelta(days=1)
FIRST_RATE = 1.0
WATER_CHANGE = START.replace(hour=10) + timedelta(days=7)
SECOND_GLASS_LOOK = 18
CONTENT_PH = 0.1  # on either side of the pH aimed at, nothing is done
UNCOUNTABLE = 20.0  # bubbles a second; nobody opens further
MORNING_PH = 0.4  # an hour into the light, only so much above the aim calls for more


class HabitKeeper:
    """Raises the gas by half a bubble (later a fifth) until pH has dropped as far as wished."""

    def __init__(self, light: Window, ways: Ways) -> None:
        self.light = light
        self.ways = ways
        self.looks = 0
        self.rate = 0.0
        self.aim_ph = 0.0
        self.glass_due: datetime | None = None

    # --- when ------------------------------------------------------------------------------

    def next_look(self, now: datetime) -> datetime | None:
        """The next of: first gas, water change, and the looks of a day while the light is on."""
        times = [FIRST_GAS, WATER_CHANGE]
        for ahead in range(3):
            day = now.replace(hour=0, minute=0) + timedelta(days=ahead)
            times += [t for t in self._looks(day) if t > FIRST_GAS]
        return min((t for t in times if t > now), default=None)

    def _looks(self, day: datetime) -> list[datetime]:
        lit = day + timedelta(minutes=self.light.on_min)
        dark = lit + timedelta(minutes=(self.light.off_min - self.light.on_min) % 1440)
        looks = [lit + timedelta(hours=h) for h in LOOKS_AFTER_LIGHT_H]
        return [t for t in looks if t < dark]

    # --- what ------------------------------------------------------------------------------

    def look(self, now: datetime, senses: Senses) -> Sequence[Action]:
        """One visit to the tank."""
        if now == START:
            return [DrawGlass()]
        if now == FIRST_GAS:
            return self._first_gas(senses)
        if now == WATER_CHANGE:
            senses.do(WaterChange(40.0, self.ways.writes_water_change))
        if now in self._looks(now.replace(hour=0, minute=0)):
            return self._ordinary(now, senses)
        return []

    def _first_gas(self, senses: Senses) -> Sequence[Action]:
        self.aim_ph = float(senses.read("degassed_ph")) - self.ways.aim_drop_ph
        self.rate = FIRST_RATE
        gas = Window(self.light.on_min - GAS_AHEAD_MIN, self.light.off_min)
        return [SetGasDay(gas), SetValve(FIRST_RATE)]

    def _ordinary(self, now: datetime, senses: Senses) -> list[Action]:
        n = self.looks
        self.looks += 1
        if self.glass_due is not None and now >= self.glass_due:
            senses.read("degassed_ph")
            self.glass_due = None
        if n == SECOND_GLASS_LOOK:
            senses.do(DrawGlass())
            self.glass_due = now + timedelta(days=1)
        ph = float(senses.read("ph_probe" if senses.has_probe else "ph"))
        colour = senses.read("drop_checker")
        fish = senses.read("fish")
        senses.read("bubble_count")
        if n % 5 == 3:
            if senses.has_probe:
                senses.read("ph")
            senses.read("temperature")
        if n % 12 == 10:
            senses.read("kh")
            senses.read("cylinder_mass")
        return self._valve(now, ph, colour, fish)

    def _valve(self, now: datetime, ph: float, colour: str, fish: str) -> list[Action]:
        """Well down when fish gasp or the checker is yellow; otherwise by pH against the aim."""
        morning = now == self._looks(now.replace(hour=0, minute=0))[0]
        if fish == "gasping" or colour == "yellow":
            new = 0.7 * self.rate
        elif ph < self.aim_ph - CONTENT_PH:
            new = 0.8 * self.rate
        elif ph > self.aim_ph + (MORNING_PH if morning else CONTENT_PH):
            if self.rate > UNCOUNTABLE:
                return []
            new = self.rate + 0.5 if self.rate < 2.5 else 1.2 * self.rate
        else:
            return []
        self.rate = round(new, 3)
        return [SetValve(self.rate)]
