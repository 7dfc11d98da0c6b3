"""The keys of a tank file: what each holds, its unit, what is accepted, and what it is for."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Field:
    """One key of the tank file.

    `sort` is "number", "whole", "words" (one of `choices`), "text", "truth", "time" or "list".
    `accepted` is the closed range of a number in `unit`.
    """

    sort: str
    meaning: str
    unit: str = ""
    accepted: tuple[float, float] | None = None
    choices: tuple[str, ...] = ()


SOURCES = ("cylinder", "cartridge", "acid-bicarbonate", "yeast")
REGULATORS = ("single-stage", "two-stage")
DIFFUSERS = ("disc", "inline", "reactor", "airstone", "bell")
HOSES = ("silicone", "pvc", "polyurethane", "polyethylene", "polypropylene", "rubber", "ptfe")
DENSITIES = ("low", "medium", "high")
ANIMALS = ("fish", "hardy-fish", "sensitive-fish", "labyrinth-fish", "shrimp", "snails")


def _number(meaning: str, unit: str, low: float, high: float) -> Field:
    return Field("number", meaning, unit, (low, high))


FIELDS: dict[str, dict[str, Field]] = {
    "tank": {
        "name": Field("text", "what the keeper calls it"),
        "length_cm": _number("inner length", "cm", 10, 1000),
        "width_cm": _number("inner width, front to back", "cm", 5, 500),
        "height_cm": _number("height of the water", "cm", 5, 300),
        "volume_l": _number("water in it, without substrate and stones", "L", 3, 50_000),
        "temperature_c": _number("usual water temperature", "degC", 10, 36),
        "timezone": Field("text", "time zone of the diary, as in Europe/Berlin"),
    },
    "water": {
        "kh_dkh": _number("carbonate hardness", "dKH", 0, 30),
        "gh_dgh": _number("total hardness", "dGH", 0, 60),
    },
    "day": {
        "lights_on": Field("time", "lights on"),
        "lights_off": Field("time", "lights off"),
        "gas_on": Field("time", "solenoid opens"),
        "gas_off": Field("time", "solenoid closes"),
        "air_on": Field("time", "extra aeration starts"),
        "air_off": Field("time", "extra aeration stops"),
    },
    "livestock": {
        "co2_limit_mg_l": _number("most CO2 the animals shall meet", "mg/L", 5, 80),
        "kinds": Field("list", "animals kept", choices=ANIMALS),
    },
    "target": {"co2_mg_l": _number("CO2 aimed at while the lights are on", "mg/L", 1, 60)},
    "rig": {
        "source": Field("words", "where the gas comes from", choices=SOURCES),
        "cylinder_kg": _number("CO2 in a full cylinder", "kg", 0.01, 60),
        "night_air": Field("truth", "extra aeration after lights-out"),
        "regulator": Field("words", "kind of regulator", choices=REGULATORS),
        "working_pressure_bar": _number("gauge pressure before the needle valve", "bar", 0, 10),
        "hose": Field("words", "material of the hose", choices=HOSES),
        "diffuser": Field("words", "how the gas enters the water", choices=DIFFUSERS),
        "count": Field("whole", "how many diffusers", "", (1, 8)),
    },
    "plants": {
        "density": Field("words", "how densely planted", choices=DENSITIES),
        "light_ppfd": _number("light at plant depth", "µmol/m²/s", 1, 1500),
    },
}
