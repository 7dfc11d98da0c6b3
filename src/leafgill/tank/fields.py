"""The keys of a tank file: what each holds, its unit, what is accepted, and what it is for."""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.tank.animals import GROUPS, group_words
from leafgill.units import shown_unit


@dataclass(frozen=True, slots=True)
class Field:
    """One key of the tank file.

    `sort` is "number", "whole", "word" (one of `words`), "words" (a list of them), "text", "zone",
    "truth" or "time". A number in `unit` is refused outside `accepted` and doubted outside
    `usual`; `slips` are units to try when a bare number is refused or doubted. `default` is what
    holds when the key is missing. `words` maps every spelling to the word it means, and `choices`
    are the words themselves.
    """

    sort: str
    meaning: str
    default: str
    example: str
    unit: str = ""
    accepted: tuple[float, float] | None = None
    usual: tuple[float, float] | None = None
    slips: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    words: tuple[tuple[str, str], ...] = ()

    @property
    def told(self) -> str:
        """What is accepted, in words."""
        if self.accepted is not None:
            low, high = self.accepted
            whole = "a whole number, " if self.sort == "whole" else ""
            return f"{whole}{low:g} to {high:g} {shown_unit(self.unit)}".rstrip()
        if self.choices:
            several = "a list of " if self.sort == "words" else ""
            return several + ", ".join(self.choices)
        return _TOLD[self.sort]


_TOLD = {
    "text": "text in quotes, one line of at most 80 letters",
    "zone": "a time zone's name, as Europe/Berlin or UTC",
    "truth": "true or false",
    "time": '00:00 to 24:00, as "08:30"',
}


def _length(meaning: str, low: float, high: float) -> Field:
    return Field("number", meaning, "unknown", "60", "cm", (low, high), slips=("mm", "in"))


def _hours(what: str, example: str) -> Field:
    return Field("time", what, "unknown", f'"{example}"')


def _word(meaning: str, default: str, spellings: dict[str, str]) -> Field:
    """Return a field of one word; `spellings` maps each word to its other spellings."""
    words = tuple((s, word) for word, also in spellings.items() for s in (word, *also.split()))
    example = f'"{next(iter(spellings))}"'
    return Field("word", meaning, default, example, choices=tuple(spellings), words=words)


_SOURCE = {
    "cylinder": "bottle gas-cylinder",
    "cartridge": "cartridges disposable capsule capsules",
    "acid-bicarbonate": "acid citric-acid citric acid-carbonate bicarbonate",
    "yeast": "fermentation sugar sugar-yeast",
}
_REGULATOR = {
    "single-stage": "single one-stage 1-stage",
    "two-stage": "two double double-stage dual dual-stage 2-stage",
}
_HOSE = {
    "silicone": "silicon",
    "rubber": "natural-rubber",
    "epdm": "",
    "pvc": "vinyl",
    "polyurethane": "pu pur",
    "polyethylene": "pe ldpe hdpe",
    "polypropylene": "pp",
    "ptfe": "",
    "polyamide": "nylon pa",
}
_DIFFUSER = {
    "disc": "disk ceramic-disc ceramic glass-diffuser ceramic-disk",
    "inline": "in-line inline-diffuser in-line-diffuser",
    "reactor": "external-reactor",
    "airstone": "air-stone wooden-airstone limewood",
    "ladder": "bubble-ladder",
    "bell": "diffusion-bell",
}
_DENSITY = {"low": "sparse few", "medium": "middle moderate", "high": "dense heavy"}

FIELDS: dict[str, dict[str, Field]] = {
    "tank": {
        "name": Field("text", "what the keeper calls it", "must be given", '"Living room"'),
        "length_cm": _length("inner length", 5, 1000),
        "width_cm": _length("inner width, front to back", 5, 500),
        "height_cm": _length("inner height", 5, 300),
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
        "lights_on": _hours("lights go on", "10:00"),
        "lights_off": _hours("lights go off", "18:30"),
        "gas_on": _hours("the gas goes on", "08:30"),
        "gas_off": _hours("the gas goes off", "17:30"),
        "air_on": _hours("extra aeration goes on", "22:00"),
        "air_off": _hours("extra aeration goes off", "06:00"),
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
    "rig": {
        "source": _word("where the gas comes from", "cylinder", _SOURCE),
        "cylinder_kg": Field(
            "number",
            "CO2 in a full cylinder or cartridge",
            "unknown",
            '"5 lb"',
            "kg",
            (0.005, 60),
            (0.012, 30),
            ("g", "lb"),
        ),
        "night_air": Field("truth", "extra aeration after lights-out", "false", "true"),
        "regulator": _word("kind of regulator", "unknown", _REGULATOR),
        "working_pressure_bar": Field(
            "number",
            "pressure before the needle valve, by the gauge",
            "unknown",
            '"29 psi"',
            "bar",
            (0.1, 10),
            (0.5, 4),
            ("psi", "kPa"),
        ),
        "hose": _word("what the gas hose is made of", "unknown", _HOSE),
        "diffuser": _word("how the gas enters the water", "unknown", _DIFFUSER),
        "count": Field("whole", "how many diffusers", "1", "1", "", (1, 20), (1, 6)),
    },
    "plants": {
        "density": _word("how densely it is planted", "unknown", _DENSITY),
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
}
