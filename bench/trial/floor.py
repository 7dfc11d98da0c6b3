"""Common practice, the floor: by a drop of pH from the degassed sample, or by the checker alone.

Nothing here was published as a rule; it is common practice, no source. Looks, raises and the
keeper's readings are those of the keeper of ordinary habits.
"""

from dataclasses import replace
from datetime import datetime

from .actions import Action, SetValve, Window
from .habit import HabitKeeper
from .world import Ways


def by_drop(light: Window, ways: Ways, drop_ph: float) -> HabitKeeper:
    """A keeper who raises the gas until pH has fallen so far below the degassed sample's."""
    return HabitKeeper(light, replace(ways, aim_drop_ph=drop_ph))


class ColourKeeper(HabitKeeper):
    """Raises until the drop checker is green in the afternoon; closes back when it yellows."""

    def _valve(self, now: datetime, ph: float, colour: str, fish: str) -> list[Action]:
        del ph
        morning = now == self._looks(now.replace(hour=0, minute=0))[0]
        if fish == "gasping" or colour == "yellow":
            new = 0.7 * self.rate
        elif colour == "yellow-green":
            new = 0.85 * self.rate
        elif colour in ("blue", "blue-green") and not morning:
            new = self.rate + 0.5 if self.rate < 2.5 else 1.2 * self.rate
        else:
            return []
        self.rate = round(new, 3)
        return [SetValve(self.rate)]
