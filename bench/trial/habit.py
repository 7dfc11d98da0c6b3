"""The keeper of ordinary habits: three looks a day, small raises, and now and then a test."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import log10

from .actions import Action, SetGasDay, SetLightDay, SetValve, WaterChange, Window
from .play import START
from .senses import Senses

LOOKS_AFTER_LIGHT_H = (1.0, 4.0, 6.5)
GAS_AHEAD_MIN = 60
FIRST_RATE = 1.0
WATER_CHANGE_DAY, WATER_CHANGE_HOUR = 7, 10
SECOND_GLASS_LOOK = 18
COLOUR_CO2_MG_L = {"blue": 6.0, "blue-green": 15.0, "green": 28.0, "yellow-green": 48.0, "yellow": 70.0}


class HabitKeeper:
    """Raises the gas by half a bubble (later a fifth) until pH and colour say it is enough."""

    def __init__(self, light: Window, writes_water_change: bool = True) -> None:
        self.light = light
        self.writes_water_change = writes_water_change
        self.looks = 0
        self.rate = 0.0
        self.kh_dkh = 4.0
        self.glass_due: datetime | None = None

    # --- when ------------------------------------------------------------------------------

    def next_look(self, now: datetime) -> datetime | None:
        """The next of: setting up, the three looks a day while the light is on, water change."""
        day = now.replace(hour=0, minute=0)
        times = [START, START + timedelta(days=1), self._change_time()]
        for ahead in range(3):
            lit = day + timedelta(days=ahead, minutes=self.light.on_min)
            dark = day + timedelta(days=ahead, minutes=self.light.off_min)
            times += [
                lit + timedelta(hours=h)
                for h in LOOKS_AFTER_LIGHT_H
                if lit + timedelta(hours=h) < dark and lit > START + timedelta(days=1)
            ]
        return min(t for t in times if t > now) if any(t > now for t in times) else None

    @staticmethod
    def _change_time() -> datetime:
        return START.replace(hour=WATER_CHANGE_HOUR) + timedelta(days=WATER_CHANGE_DAY)

    # --- what ------------------------------------------------------------------------------

    def look(self, now: datetime, senses: Senses) -> Sequence[Action]:
        """One visit to the tank."""
        if now == START:
            return self._set_up(senses)
        if now == START + timedelta(days=1):
            return self._first_gas(senses)
        actions: list[Action] = []
        if now == self._change_time():
            actions.append(WaterChange(40.0, self.writes_water_change))
            minutes = (now.hour * 60 + now.minute) - self.light.on_min
            if minutes not in {int(60 * h) for h in LOOKS_AFTER_LIGHT_H}:
                return actions
        return actions + self._ordinary(now, senses)

    def _set_up(self, senses: Senses) -> Sequence[Action]:
        senses.draw_glass()
        return []

    def _first_gas(self, senses: Senses) -> Sequence[Action]:
        senses.read("degassed_ph")
        gas = Window(self.light.on_min - GAS_AHEAD_MIN, self.light.off_min)
        self.rate = FIRST_RATE
        return [SetGasDay(gas), SetValve(FIRST_RATE)]

    def _ordinary(self, now: datetime, senses: Senses) -> list[Action]:
        n = self.looks
        self.looks += 1
        if self.glass_due and now >= self.glass_due:
            senses.read("degassed_ph")
            self.glass_due = None
        if n == SECOND_GLASS_LOOK:
            senses.draw_glass()
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
            self.kh_dkh = float(senses.read("kh"))
            senses.read("cylinder_mass")
        return self._valve(now, senses, ph, colour, fish)

    def _valve(
        self, now: datetime, senses: Senses, ph: float, colour: str, fish: str
    ) -> list[Action]:
        """Down when fish gasp, or pH and colour say too much; up when both say too little."""
        by_ph = 3.0 * self.kh_dkh * 10.0 ** (7.0 - ph)
        guess = 10.0 ** (0.5 * (log10(by_ph) + log10(COLOUR_CO2_MG_L[colour])))
        target = senses.target_co2_mg_l
        since_light = (now.hour * 60 + now.minute - self.light.on_min) / 60.0
        if fish == "gasping":
            new = 0.7 * self.rate
        elif guess > 1.15 * target:
            new = 0.8 * self.rate
        elif guess < (0.4 if since_light < 2.0 else 0.75) * target:
            new = self.rate + 0.5 if self.rate < 2.5 else 1.2 * self.rate
        else:
            return []
        self.rate = round(new, 3)
        return [SetValve(self.rate)]
