"""What carbon dioxide in a cylinder can do to people: said wherever one is sized or handled.

Each caution has a name in TOPICS; the figures in the words are those of `gas_figures`.
"""

from __future__ import annotations

from leafgill.advise.figure import Figure, Input
from leafgill.science.air import (
    LIMITS,
    OUTDOOR_PPM,
    PPM,
    effects_at,
    room_co2_ppm_after_release,
)
from leafgill.science.co2_fluid import STANDARD_BAR
from leafgill.science.cylinder import FILLS, cylinder_pressure_bar, gas_volume_l
from leafgill.science.fills import US_FILL_KG_L

# Taken where the tank file names no room or no cylinder: a bedroom, and a kilogram to scale from.
USUAL_ROOM_M3 = 30.0
USUAL_CHARGE_KG = 1.0
# A car in the sun.
HOT_C = 50.0
TOPICS = ("room", "upright", "ventilate", "cupboard", "heat", "warm up", "leak test", "skin",
          "supplier", "local rules")  # fmt: skip
_PPM_PER_CENT = 1e4


def gas_cautions(
    charge_kg: float | None,
    room_m3: float | None,
    temperature_c: float,
    *,
    water_l: float | None = None,
) -> tuple[str, ...]:
    """Return what a person near the cylinder must know, in the order of TOPICS.

    `charge_kg` is what a full cylinder holds, `room_m3` the air of the room it stands in, each
    None where not known; `temperature_c` the room's; `water_l` the water capacity stamped on the
    cylinder. Raises ValueError as the laws of science.air and science.cylinder do.
    """
    said = by_topic(charge_kg, room_m3, temperature_c, water_l=water_l)
    return tuple(said[topic] for topic in TOPICS)


def by_topic(
    charge_kg: float | None,
    room_m3: float | None,
    temperature_c: float,
    *,
    water_l: float | None = None,
) -> dict[str, str]:
    """Return the cautions by their topic; the arguments are those of `gas_cautions`."""
    figures = {f.key: f for f in gas_figures(charge_kg, room_m3, temperature_c, water_l=water_l)}
    hot = figures["full_at_50_c_bar"]
    least, most = hot.low or hot.value, hot.high or hot.value
    stands = f"{hot.value:.0f}" if least == most else f"{least:.0f} to {most:.0f}"
    return {
        "room": _room(charge_kg, room_m3, figures),
        "upright": (
            "Stand the cylinder upright and fasten it with a strap or chain: one that falls can "
            "break its valve, one that lies feeds liquid into the regulator."
        ),
        "ventilate": (
            "Keep the room ventilated. CO2 cannot be seen or smelt; headache, quick breath or "
            "dizziness are the warning. Then leave at once, take everybody with you, air the room "
            "from outside and do not go back in to help without breathing apparatus."
        ),
        "cupboard": (
            "Never keep a cylinder in a closed cupboard, cellar or pit: CO2 is half as heavy again "
            "as air and gathers there, far above the figures for a mixed room. A cabinet needs "
            "openings at the bottom and a room behind them that is aired."
        ),
        "heat": (
            "Never leave a cylinder in a car in the sun, beside a heater or a lamp: a full one "
            f"stands at {stands} bar at {HOT_C:g} °C, and its relief disc may blow and empty it. "
            "Carry it with the windows open, upright and held fast, and take it out at once."
        ),
        "warm up": (
            "Let a freshly filled, cold cylinder come to the room's temperature before it is "
            "connected; its pressure rises while it warms."
        ),
        "leak test": (
            "Leak test every joint with soapy water at each change of cylinder, and let it hold "
            "its pressure overnight (`leafgill commission` reckons what that shows)."
        ),
        "skin": (
            "Gas that escapes as liquid or snow freezes skin and eyes: open valves slowly, with "
            "nobody's face before the outlet."
        ),
        "supplier": (
            "Only a supplier fills, inspects and repairs a cylinder; refuse one whose test date is "
            "past. Never fill one from another, never alter a valve or a relief disc."
        ),
        "local rules": (
            "Local codes, the supplier's instructions and licensed practice come before anything "
            "said here."
        ),
    }


def gas_figures(
    charge_kg: float | None,
    room_m3: float | None,
    temperature_c: float,
    *,
    water_l: float | None = None,
) -> tuple[Figure, ...]:
    """Return the figures behind the cautions: room air, smallest room, pressure in the heat.

    The arguments are those of `gas_cautions`.
    """
    charge = USUAL_CHARGE_KG if charge_kg is None else charge_kg
    room = USUAL_ROOM_M3 if room_m3 is None else room_m3
    gas = Input("CO2", charge, "kg", "assumed" if charge_kg is None else "tank file")
    place = Input("room", room, "m³", "assumed" if room_m3 is None else "tank file")
    warmth = Input("temperature", temperature_c, "°C", "room")
    danger, short = LIMITS["idlh"], LIMITS["niosh-stel"]
    limits = tuple(
        Input(limit.what, limit.ppm, "ppm", str(limit.source))
        for limit in (LIMITS["osha-pel"], LIMITS["uk-stel"], short, danger)
    )
    litres = float(gas_volume_l(charge, temperature_c))
    day = LIMITS["osha-pel"].ppm

    def room_for(ppm: float) -> float:
        return litres * 1e-3 * (PPM - OUTDOOR_PPM) / (ppm - OUTDOOR_PPM)

    return (
        Figure(
            "room_co2_ppm",
            "CO2 of the room's air if the whole cylinder escapes",
            float(room_co2_ppm_after_release(charge, room, temperature_c)),
            "ppm",
            "outdoor air + gas volume / room volume, closed and well mixed",
            (gas, place, warmth, Input("gas volume", litres, "L", "Span & Wagner 1996"), *limits),
            "balance of volumes; gas volume by Span & Wagner 1996",
        ),
        Figure(
            "smallest_room_m3",
            f"room in which the whole cylinder stays below {danger.ppm:g} ppm",
            room_for(danger.ppm),
            "m³",
            f"gas volume / ({danger.ppm:g} ppm - outdoor air), closed and well mixed",
            (gas, warmth, limits[-1]),
            str(danger.source),
        ),
        Figure(
            "all_day_room_m3",
            f"room in which the whole cylinder stays below {day:g} ppm",
            room_for(day),
            "m³",
            f"gas volume / ({day:g} ppm - outdoor air), closed and well mixed",
            (gas, warmth, limits[0]),
            str(LIMITS["osha-pel"].source),
        ),
        _hot(charge, gas, water_l),
    )


def _hot(charge_kg: float, gas: Input, water_l: float | None) -> Figure:
    """Pressure of a full cylinder in the heat, by its own capacity or by the filling rules."""
    fills = [US_FILL_KG_L, *(fill.kg_per_l for fill in FILLS.values())]
    if water_l is not None:
        fills = [charge_kg / water_l]
        size = Input("water capacity", water_l, "L", "tank file")
    else:
        size = Input("filling", f"{min(fills):g} to {max(fills):g}", "kg/L", "filling rules")
    value, low, high = (
        float(cylinder_pressure_bar(fill, 1.0, HOT_C)) - STANDARD_BAR
        for fill in (fills[0], min(fills), max(fills))
    )
    certain = water_l is not None
    return Figure(
        "full_at_50_c_bar",
        f"pressure of a full cylinder at {HOT_C:g} °C",
        value,
        "bar",
        "pressure of CO2 at its mean density, gauge",
        (gas, size, Input("temperature", HOT_C, "°C", "a car in the sun")),
        "Span & Wagner 1996; filling by 49 CFR 173.304a and the rules of science.fills",
        None if certain else low,
        None if certain else high,
    )


def _room(charge_kg: float | None, room_m3: float | None, figures: dict[str, Figure]) -> str:
    ppm = figures["room_co2_ppm"].value
    room = USUAL_ROOM_M3 if room_m3 is None else room_m3
    what = (
        "For each kilogram of gas that escapes into"
        if charge_kg is None
        else f"If all {charge_kg:.3g} kg escape into"
    )
    assumed = " (assumed; write it into the tank file)" if room_m3 is None else ""
    danger, quarter = LIMITS["idlh"].ppm, LIMITS["niosh-stel"].ppm
    eight, uk = LIMITS["osha-pel"].ppm, LIMITS["uk-stel"].ppm
    text = (
        f"{what} a closed room of {room:.3g} m³{assumed}, its air holds {_share(ppm)} CO2. "
        f"At {_share(danger)} air is immediately dangerous to life (NIOSH 1994); the limits are "
        f"{_share(eight)} for a working day (OSHA, NIOSH), {_share(uk)} (UK) to "
        f"{_share(quarter)} (NIOSH) for 15 minutes."
    )
    if ppm >= danger:
        text += f" This is above the danger line: {_effect(ppm)}."
    elif ppm >= uk:
        text += " This is above a limit of 15 minutes."
    elif ppm >= eight:
        text += " This is above the limit of a working day."
    else:
        text += " This is below them, in air that has mixed; near the leak there is more."
    if charge_kg is not None:
        least = figures["smallest_room_m3"].value
        text += (
            f" It takes a room of {least:.{0 if least >= 9.95 else 1}f} m³ to stay below the "
            "danger line."
        )
    return text


def _effect(ppm: float) -> str:
    """Return the gravest known effect of breathing this much."""
    effects = effects_at(min(ppm, 1e6))
    worst = effects[-1]
    return f"{worst.effect} after {worst.after}"


def _share(ppm: float) -> str:
    return f"{ppm / _PPM_PER_CENT:.2g} %"
