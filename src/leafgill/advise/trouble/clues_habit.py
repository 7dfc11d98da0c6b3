"""Clues from hours, habits and words of the diary."""

from __future__ import annotations

import re
from collections.abc import Iterator

from leafgill.advise.care.deeds import done_at, wanting_at, words_of
from leafgill.advise.figure import Input
from leafgill.advise.trouble.clue import Clue
from leafgill.advise.trouble.made import plain_clue, unknown
from leafgill.advise.trouble.record import Record
from leafgill.diary import Kind
from leafgill.tank.clock import seconds_of

# Bounds (choices of ours, no source).
LONG_LIGHT_H, STRONG_PPFD, WARM_C, SLOW_TURNOVER = 10.0, 100.0, 27.5, 3.0
GAS_IN_DARK_H, YOUNG_DAYS, OLD_DAYS, RARE_DAYS = 3.0, 60.0, 90.0, 21.0
FILTER_DAYS, LATELY_DAYS = 56.0, 14.0
_CHOICE = "a choice of ours, no source"
_YOUNG = re.compile(r"\b(?:set up|first filled|new tank|tank is new|planted today|first day)\b")
_NEW_PLANTS = re.compile(r"\b(?:new plants?|bought plants?|planted|plants? arrived|replanted)\b")
_TREATED = re.compile(
    r"\b(?:medicine|medicated|medication|treated|treatment|copper|algicide|bleach dip|spray\w*)\b"
)
_NEW_ANIMALS = re.compile(r"\b(?:new fish|new animals?|new shrimps?|bought fish|added fish)\b")


def habit_clues(record: Record) -> Iterator[Clue]:
    """Yield what hours, water changes, care and notes tell."""
    yield from _hours(record)
    yield from _place(record)
    yield from _work(record)
    yield from _words(record)


def _hours(record: Record) -> Iterator[Clue]:
    light, gas, air = record.light, record.gas, record.air
    long = ("light_long", f"the light is on for more than {LONG_LIGHT_H:g} h")
    if light is None:
        yield unknown(*long, "write the hours of the light down")
    else:
        yield plain_clue(*long, "", light.hours > LONG_LIGHT_H, "Hours of light", light.hours, "h",
                         (Input("held against", LONG_LIGHT_H, "h", _CHOICE),))  # fmt: skip
    dark = ("gas_at_night", "the gas runs in the dark")
    if gas is None or light is None:
        yield unknown(*dark, "write the hours of gas and light down")
    else:
        hours = _dark_hours(record)
        yield plain_clue(*dark, "", hours > GAS_IN_DARK_H, "Hours of gas in the dark", hours, "h",
                         (Input("held against", GAS_IN_DARK_H, "h", _CHOICE),))  # fmt: skip
    yield plain_clue("no_air_at_night", "no extra air runs at night", "",
                     air is None and not record.tank.rig.night_air)  # fmt: skip
    changed = record.diary.of(Kind.LIGHT_DAY)[1:]
    late = [e for e in changed if record.days_since(e.time) <= LATELY_DAYS]
    yield plain_clue("light_moved", "the hours of the light were changed within two weeks", "",
                     bool(late), "Changes of the light's hours", float(len(late)))  # fmt: skip


def _dark_hours(record: Record) -> float:
    """Return the hours of gas outside the light, counted in quarters of an hour."""
    light, gas = record.light, record.gas
    assert light is not None and gas is not None, "both are known"
    quarters = 0
    for k in range(96):
        at = k * 900.0 + 450.0
        quarters += _inside(gas, at) and not _inside(light, at)
    return 0.25 * quarters


def _inside(window: object, at_s: float) -> bool:
    on, off = seconds_of(window.on), seconds_of(window.off)  # type: ignore[attr-defined]
    return on <= at_s < off if on < off else at_s >= on or at_s < off


def _place(record: Record) -> Iterator[Clue]:
    tank = record.tank
    light = None if record.balance is None else record.balance.light.ppfd
    ppfd = tank.plants.light_ppfd
    if ppfd is None and light is not None:
        ppfd = light.value
    strong = ("light_strong", f"the light at the plants is over {STRONG_PPFD:g} µmol/m²/s")
    if ppfd is None:
        yield unknown(*strong, "measure the light at the plants")
    else:
        yield plain_clue(*strong, "", ppfd > STRONG_PPFD, "Light at the plants", ppfd, "µmol/m²/s",
                         (Input("held against", STRONG_PPFD, "µmol/m²/s", _CHOICE),),
                         "tank file")  # fmt: skip
    read = record.newest(Kind.TEMPERATURE, LATELY_DAYS)
    warm = tank.temperature_c if read is None else read.number
    yield plain_clue("warm", f"the water is warmer than {WARM_C:g} °C", "", warm > WARM_C,
                     "Warmth of the water", warm, "°C",
                     source="tank file" if read is None else "diary")  # fmt: skip
    slow = ("flow_weak", "the filter turns the water over less than three times an hour")
    flow = tank.rig.filter_flow_l_h
    if wanting_at(record.diary, "filter") and not _cleaned_since(record):
        yield plain_clue(*slow, "", True)
    elif flow is None:
        yield unknown(*slow, "fill a bucket at the filter's outlet and time it")
    else:
        turns = flow / tank.volume_l
        yield plain_clue(*slow, "", turns < SLOW_TURNOVER, "Turnover by the filter", turns, "1/h",
                         source="tank file")  # fmt: skip


def _cleaned_since(record: Record) -> bool:
    slow = wanting_at(record.diary, "filter")
    return any(at > slow[-1] for at in done_at(record.diary, "filter"))


def _work(record: Record) -> Iterator[Clue]:
    span = record.days_since(record.diary.entries[0].time) if len(record.diary) else 0.0
    changes = record.diary.of(Kind.WATER_CHANGE)
    since = record.days_since(changes[-1].time) if changes else 0.0
    write = "write water changes down"
    yield plain_clue("changed_lately", "water was changed within a day", write,
                     since <= 1.0 if changes else None)  # fmt: skip
    rare = ("changes_rare", "no water was changed for three weeks")
    if not changes:
        yield unknown(*rare, write)
    else:
        yield plain_clue(*rare, "", since > RARE_DAYS, "Days since a water change", since, "days")
    cleaned = done_at(record.diary, "filter")
    old = ("filter_old", "the filter was not cleaned for eight weeks")
    if cleaned:
        days = record.days_since(cleaned[-1])
        yield plain_clue(*old, "", days > FILTER_DAYS, "Days since the filter was cleaned", days,
                         "days")  # fmt: skip
    else:
        yield unknown(*old, "write down when the filter is cleaned")
    young = ("young", "the tank is younger than two months")
    begun = [e for e in record.diary.of(Kind.NOTE, Kind.CARE) if _YOUNG.search(words_of(e))]
    if begun:
        days = record.days_since(begun[-1].time)
        yield plain_clue(*young, "", days < YOUNG_DAYS, "Days since it was set up", days, "days")
    elif span > OLD_DAYS:
        yield plain_clue(*young, "", False, "Days the diary reaches back", span, "days")
    else:
        yield unknown(*young, "note when the tank was set up")


def _words(record: Record) -> Iterator[Clue]:
    told = (
        ("new_plants", "plants were set in or moved within a month", _NEW_PLANTS, 30.0,
         "note when plants are set in"),
        ("treated", "a medicine or a treatment was given within two weeks", _TREATED, 14.0,
         "note every medicine and treatment"),
        ("new_animals", "animals were added within a week", _NEW_ANIMALS, 7.0,
         "note when animals come in"),
    )  # fmt: skip
    for key, says, pattern, days, ask in told:
        seen = any(
            pattern.search(words_of(entry)) and record.days_since(entry.time) <= days
            for entry in record.diary.of(Kind.NOTE, Kind.CARE, Kind.DOSE)
        )
        # that nothing is noted does not mean that nothing was done
        yield plain_clue(key, says, ask, True if seen else None)
