"""Whether a tank's values go together: what cannot be, and what is doubtful."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from leafgill.tank.animals import DEFAULT_GROUP, GROUPS
from leafgill.tank.clock import hours_text
from leafgill.tank.plausible_rig import rig_doubts
from leafgill.tank.reading import Place
from leafgill.tank.window import Window

Sections = dict[str, dict[str, Any]]

# A glass box filled to the mark holds this much of its inside: the rest is substrate, stones, gap.
FILLED_SHARE = 0.9
# Outside the first, volume and box cannot be of one tank; outside the second it is doubtful (a
# sump adds water, a deep substrate takes room).
_VOLUME_TO_BOX = (0.3, 3.0)
_USUAL_VOLUME_TO_BOX = (0.55, 1.05)
_LITRES_PER_GALLON = 3.785411784
_PAIRS = (("lights_on", "lights_off"), ("gas_on", "gas_off"), ("air_on", "air_off"))


def sized(sections: Sections, file: str) -> list[str]:
    """Fill in the volume and whether it was given; return what is doubtful about the size.

    Raises InputError when there is no name or no size, or when volume and box contradict.
    """
    tank = sections["tank"]
    if "name" not in tank:
        raise Place(file, "tank", "name").refuse('is missing; write name = "Living room"')
    missing = [key for key in ("length_cm", "width_cm", "height_cm") if key not in tank]
    tank["volume_known"] = "volume_l" in tank
    if not missing:
        box_l = tank["length_cm"] * tank["width_cm"] * tank["height_cm"] * 1e-3
        if tank["volume_known"]:
            return _volume_in_box(tank, box_l, file)
        tank["volume_l"] = FILLED_SHARE * box_l
        if tank["volume_l"] < 1.0:
            raise Place(file, "tank", "length_cm").refuse(
                f"the box holds {box_l:.2g} L; accepted: 1 L or more. Are the lengths in cm?"
            )
    elif not tank["volume_known"]:
        lacks = " and ".join(missing) if len(missing) < 3 else "any size"
        raise Place(file, "tank", "volume_l").refuse(
            f"is missing, and so is {lacks}; write volume_l, or length_cm, width_cm and height_cm"
        )
    return []


def _volume_in_box(tank: dict[str, Any], box_l: float, file: str) -> list[str]:
    volume, place = tank["volume_l"], Place(file, "tank", "volume_l")
    low, high = _USUAL_VOLUME_TO_BOX
    ratio = volume / box_l
    if low <= ratio <= high:
        return []
    hint = ""
    if low <= ratio * _LITRES_PER_GALLON <= high:
        hint = f' (did you mean "{volume:g} gal", {volume * _LITRES_PER_GALLON:.0f} L?)'
    elif low <= ratio / 2.54**3 <= high:
        hint = ' (are the lengths in inches? write them as text, as "24 in")'
    box = f"the box of length_cm, width_cm and height_cm, {box_l:.4g} L"
    if not _VOLUME_TO_BOX[0] <= ratio <= _VOLUME_TO_BOX[1]:
        least, most = (share * box_l for share in _VOLUME_TO_BOX)
        raise place.refuse(
            f"{volume:.4g} L contradicts {box}; accepted: {least:.3g} to {most:.3g} L{hint}"
        )
    if ratio > high:
        return [f"{place}: {volume:.4g} L is more than {box}; right only with a sump{hint}"]
    return [f"{place}: {volume:.4g} L is only {ratio:.0%} of {box}{hint}"]


def paired(sections: Sections, file: str) -> None:
    """Check that hours come in pairs. Raises InputError naming the missing one."""
    day = sections["day"]
    for pair in _PAIRS:
        for here, there in (pair, pair[::-1]):
            if here in day and there not in day:
                raise Place(file, "day", here).refuse(
                    f'{quoted_hour(day[here])} stands alone; accepted: with {there}, as "20:00", '
                    "or neither"
                )


def quoted_hour(moment: Any) -> str:
    """Return a time of day as a tank file has it."""
    return f'"{hours_text(moment)}"'


def doubts(sections: Sections, file: str) -> Iterator[str]:
    """Yield what is doubtful about values that are each possible.

    Raises InputError when `kinds` names animals and none.
    """
    yield from _of_hours(sections, file)
    yield from _of_animals(sections, file)
    yield from rig_doubts(sections, file)
    if sections["water"].get("kh_dkh") == 0.0:
        place = Place(file, "water", "kh_dkh")
        yield f"{place}: without carbonate hardness pH tells nothing about CO2"


def _of_hours(sections: Sections, file: str) -> Iterator[str]:
    day, windows = sections["day"], {}
    for on, off in _PAIRS:
        if on not in day:
            continue
        window = windows[on] = Window(day[on], day[off])
        if window.never:
            yield (
                f"{Place(file, 'day', on)}: {quoted_hour(day[on])} is also {off}: never on. Around "
                'the clock is "00:00" to "24:00"'
            )
    light, gas, air = (windows.get(on) for on, _ in _PAIRS)
    if light and light.hours > 14.0:
        yield f"{Place(file, 'day', 'lights_on')}: {light.hours:g} h of light a day feeds algae"
    if light and gas and not (light.never or gas.never):
        yield from _of_gas_and_light(gas, light, file)
    if gas and air and (both := gas.overlap_h(air)) > 1.0:
        yield (
            f"{Place(file, 'day', 'air_on')}: extra aeration runs {both:.3g} h while the gas is "
            "on, and drives it out"
        )
    if sections["rig"].get("night_air"):
        place = Place(file, "rig", "night_air")
        if air:
            yield f"{place}: air_on and air_off are given too, and hold instead"
        elif not light:
            yield f"{place}: true, but lights_off is not given: the diary must say when it is dark"


def _of_gas_and_light(gas: Window, light: Window, file: str) -> Iterator[str]:
    place = Place(file, "day", "gas_on")
    both = gas.overlap_h(light)
    if both < 0.5:
        yield f"{place}: the gas is on {both:.2g} h of the {light.hours:g} h of light"
    elif gas.hours - both > 4.0:
        yield (
            f"{place}: the gas is on {gas.hours - both:.3g} h in the dark, when plants take none "
            "and the animals breathe it"
        )


def _of_animals(sections: Sections, file: str) -> Iterator[str]:
    livestock = sections["livestock"]
    kinds = livestock.get("kinds", ())
    place = Place(file, "livestock", "kinds")
    if "none" in kinds and len(kinds) > 1:
        others = ", ".join(kind for kind in kinds if kind != "none")
        raise place.refuse(f'"none" stands beside {others}; accepted: animals, or none alone')
    groups = {kind: GROUPS[kind].co2_limit_mg_l for kind in kinds or (DEFAULT_GROUP,)}
    delicate = min(groups, key=lambda kind: groups[kind])
    given = livestock.get("co2_limit_mg_l")
    if kinds and given is not None and given > groups[delicate]:
        yield (
            f"{Place(file, 'livestock', 'co2_limit_mg_l')}: {given:g} mg/L is above the "
            f"{groups[delicate]:g} mg/L for {delicate}; your figure holds"
        )
    limit = groups[delicate] if given is None else given
    target = sections["target"].get("co2_mg_l")
    if target is not None and target > limit:
        yield (
            f"{Place(file, 'target', 'co2_mg_l')}: {target:g} mg/L is above the animals' limit of "
            f"{limit:g} mg/L, and is held to it"
        )
