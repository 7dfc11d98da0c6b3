"""Light, carbon and nutrients in step: what holds growth back, and what to give."""

from leafgill.advise.balance.balance import balance_of
from leafgill.advise.balance.result import (
    Balance,
    DayTrial,
    Dose,
    DosePlan,
    LightNow,
    LightStep,
    LimitShare,
    NutrientOutlook,
    SeenTest,
    Target,
)

__all__ = [
    "Balance",
    "DayTrial",
    "Dose",
    "DosePlan",
    "LightNow",
    "LightStep",
    "LimitShare",
    "NutrientOutlook",
    "SeenTest",
    "Target",
    "balance_of",
]
