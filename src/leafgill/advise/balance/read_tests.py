"""What the diary's water tests allow: each reading as the range the truth may lie in."""

from __future__ import annotations

import re
from typing import NamedTuple

from leafgill.advise.balance.nutrients import NUTRIENTS, Nutrient
from leafgill.diary import Diary, Entry, Kind

# A meter or a counted drop reads closer than a colour card.
_METER_FACTOR = 1.1
_METER = re.compile(r"\b(?:photometer|spectrometer|meter|laboratory|lab|icp|report)\b", re.I)
_DROPS = re.compile(r"\b(?:titrat\w*|counted|drops? counted)\b", re.I)
# "8 mg/L, NO3-N": the element's mass alone.
_AS_ELEMENT = re.compile(
    r"(?:no3|nitrate|po4|phosphate)[\s-]*(?:as[\s-]*)?[np]\b|\bas\s+(?:n|p|nitrogen|phosphorus)\b",
    re.I,
)


class KitReading(NamedTuple):
    """One reading: its moment, what it showed, and between which two the truth may lie [mg/L]."""

    time_s: float
    key: str
    shown: str
    value_mg_l: float
    low_mg_l: float
    high_mg_l: float


def kit_readings(diary: Diary) -> list[KitReading]:
    """Return the diary's tests of nutrients, in order of time."""
    return [read(entry) for entry in diary.of(Kind.TEST) if entry.substance in NUTRIENTS]


def read(entry: Entry) -> KitReading:
    """Return what a test of a nutrient allows.

    Colours are read to the nearest step of a card, whose steps are about a factor of two apart
    (common practice, no source): the truth is within half a step, `Nutrient.kit_step`. A note of
    "between 5 and 10" says more, and so does a meter.
    """
    nutrient = NUTRIENTS[entry.substance]
    factor = nutrient.ion_per_element if _AS_ELEMENT.search(entry.note) else 1.0
    value = entry.number * factor
    low, high = _ends(entry, nutrient, value, factor)
    shown = f"{entry.number:g} mg/L"
    if entry.between is not None and entry.between[0] == 0.0:
        shown = f"below {entry.between[1]:g} mg/L"
    return KitReading(entry.time.timestamp(), nutrient.key, shown, value, low, high)


def _ends(entry: Entry, nutrient: Nutrient, value: float, factor: float) -> tuple[float, float]:
    if entry.between is not None:
        return entry.between[0] * factor, entry.between[1] * factor
    closer = _METER.search(entry.note) or _DROPS.search(entry.note)
    least = nutrient.kit_least_mg_l
    if value <= 0.0:
        return 0.0, least / 3.0 if closer else least
    step = _METER_FACTOR if closer else nutrient.kit_step
    low, high = value / step, value * step
    # near its least step a kit tells little: the reading may be one step off towards nothing
    if value < least:
        low = 0.0
        high = max(high, least)
    return low, high
