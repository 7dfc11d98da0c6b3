"""Leaf & Gill: from an aquarium diary to what CO2 the fish and plants have, and the next step.

The names below are the whole of the public Python interface. They are loaded when first used, so
that importing the package costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from leafgill.advise.forecast import Forecast, Plan, forecast
    from leafgill.advise.measure import rank_readings
    from leafgill.advise.tune import Step, next_step
    from leafgill.diary import Diary, Entry, Kind
    from leafgill.errors import InputError
    from leafgill.estimate import Belief, Interval, believe
    from leafgill.estimate.watch import Alert, Tracker, watch
    from leafgill.tank.schedule import Window
    from leafgill.tank.spec import Tank

__version__ = "0.1.0"

_HOMES = {
    "Alert": "leafgill.estimate.watch",
    "Belief": "leafgill.estimate",
    "Diary": "leafgill.diary",
    "Entry": "leafgill.diary",
    "Forecast": "leafgill.advise.forecast",
    "InputError": "leafgill.errors",
    "Interval": "leafgill.estimate",
    "Kind": "leafgill.diary",
    "Plan": "leafgill.advise.forecast",
    "Step": "leafgill.advise.tune",
    "Tank": "leafgill.tank.spec",
    "Tracker": "leafgill.estimate.watch",
    "Window": "leafgill.tank.schedule",
    "believe": "leafgill.estimate",
    "forecast": "leafgill.advise.forecast",
    "next_step": "leafgill.advise.tune",
    "rank_readings": "leafgill.advise.measure",
    "watch": "leafgill.estimate.watch",
}

__all__ = [
    "Alert",
    "Belief",
    "Diary",
    "Entry",
    "Forecast",
    "InputError",
    "Interval",
    "Kind",
    "Plan",
    "Step",
    "Tank",
    "Tracker",
    "Window",
    "believe",
    "forecast",
    "next_step",
    "rank_readings",
    "watch",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'leafgill' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
