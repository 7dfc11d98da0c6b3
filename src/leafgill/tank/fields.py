"""The keys of a tank file: what each holds, its unit, what is accepted, and what it is for."""

from __future__ import annotations

from leafgill.tank.animals import GROUPS, group_words
from leafgill.tank.field import Field, hours_field, length_field, word_field
from leafgill.tank.fields_balance import FEEDING, LAMP, SALTS, TAP, WATER_CHANGE
from leafgill.tank.fields_rig import CABINET, PRICES, RIG, ROOM

__all__ = ["FIELDS", "Field"]

_DENSITY = {"low": "sparse few", "medium": "middle moderate", "high": "dense heavy"}

FIELDS: dict[str, dict[str, Field]] = {
    "tank": {
        "name": Field("text", "what the keeper calls it", "must be given", '"Living room"'),
        "length_cm": length_field("inner length", 5, 1000),
        "width_cm": length_field("inner width, front to back", 5, 500),
        "height_cm": length_field("inner height", 5, 300),
        "volume_l": Field(
            "number",
            "water in it, without substrate and stones",
            "the box less 10 %",
            '"40 gal"',
            "L",
            (1, 50_000),
            slips=("mL", "gal"),
        ),
        "temperature_c": Field(
            "number",
            "usual temperature of the water",
            "25 °C",
            '"77 °F"',
            "degC",
            (10, 36),
            (18, 31),
            ("degF", "K"),
        ),
        "timezone": Field("zone", "whose clock the hours follow", "UTC", '"Europe/Berlin"'),
    },
    "water": {
        "kh_dkh": Field(
            "number",
            "carbonate hardness",
            "unknown",
            '"71 ppm"',
            "dKH",
            (0, 30),
            (0.5, 15),
            ("ppm",),
        ),
        "gh_dgh": Field(
            "number", "total hardness", "unknown", "6", "dGH", (0, 60), (0, 25), ("ppm",)
        ),
    },
    "day": {
        "lights_on": hours_field("lights go on", "10:00"),
        "lights_off": hours_field("lights go off", "18:30"),
        "gas_on": hours_field("the gas goes on", "08:30"),
        "gas_off": hours_field("the gas goes off", "17:30"),
        "air_on": hours_field("extra aeration goes on", "22:00"),
        "air_off": hours_field("extra aeration goes off", "06:00"),
    },
    "livestock": {
        "co2_limit_mg_l": Field(
            "number",
            "most CO2 the animals shall meet; wins over `kinds`",
            "from `kinds`",
            "30",
            "mg/L",
            (5, 60),
            (10, 40),
        ),
        "kinds": Field(
            "words",
            "the animals kept",
            "fish",
            '["fish", "shrimp"]',
            choices=tuple(GROUPS),
            words=tuple(group_words().items()),
        ),
    },
    "target": {
        "co2_mg_l": Field(
            "number",
            "CO2 to aim at while the lights are on",
            "80 % of the limit, at most 30 mg/L",
            "24",
            "mg/L",
            (3, 60),
            (5, 40),
        ),
    },
    "rig": RIG,
    "plants": {
        "density": word_field("how densely it is planted", "unknown", _DENSITY),
        "light_ppfd": Field(
            "number",
            "light at the plants (PPFD)",
            "unknown",
            "60",
            "µmol/m²/s",
            (1, 2000),
            (10, 400),
        ),
    },
    "lamp": LAMP,
    "tap": TAP,
    "feeding": FEEDING,
    "water_change": WATER_CHANGE,
    "salts": SALTS,
    "cabinet": CABINET,
    "room": ROOM,
    "prices": PRICES,
}
