"""The keys of a tank file that tell of light, tap water, food, water changes and fertiliser."""

from __future__ import annotations

from leafgill.tank.field import Field, size_field, word_field

# The kinds of lamp whose efficacy is known, as `science.light` has them.
_LAMP = {
    "led": "leds diode diodes",
    "fluorescent": "tube tubes t5 t8 compact-fluorescent",
    "metal-halide": "hqi halide metal-halides",
}


def _holds(what: str, example: str, ends: tuple[float, float]) -> Field:
    return Field(
        "number",
        f"{what} in the tap water, as tested or in the water report",
        "unknown",
        example,
        "mg/L",
        ends,
        slips=("µg/L",),
    )


LAMP: dict[str, Field] = {
    "kind": word_field("kind of lamp", "unknown", _LAMP),
    "power_w": size_field("power the lamp draws, as measured or stated", "W", "38", (0.5, 5000)),
    "efficacy_umol_j": Field(
        "number",
        "light it gives for its power, as its maker states it",
        "unknown",
        "2.1",
        "µmol/J",
        (0.2, 4),
        (0.8, 3.2),
    ),
    "height_cm": size_field("lamp above the water", "cm", "12", (0, 300), "mm", "in"),
    "beam_deg": size_field("full angle of its beam", "°", "120", (10, 180)),
    "length_cm": size_field("length of the part that shines", "cm", "55", (0.5, 1000), "mm", "in"),
    "dimmed_percent": Field(
        "number", "how far it is turned up, of its full power", "unknown", "80", "%", (1, 100)
    ),
}

TAP: dict[str, Field] = {
    "kh_dkh": Field(
        "number",
        "carbonate hardness of the tap water",
        "unknown",
        "6",
        "dKH",
        (0, 30),
        (0, 18),
        ("ppm",),
    ),
    "gh_dgh": Field(
        "number",
        "total hardness of the tap water",
        "unknown",
        "9",
        "dGH",
        (0, 60),
        (0, 30),
        ("ppm",),
    ),
    "nitrate_mg_l": _holds("nitrate (as NO3)", "12", (0, 300)),
    "phosphate_mg_l": _holds("phosphate (as PO4)", "0.3", (0, 30)),
    "potassium_mg_l": _holds("potassium", "2.5", (0, 200)),
    "calcium_mg_l": _holds("calcium", "48", (0, 600)),
    "magnesium_mg_l": _holds("magnesium", "8", (0, 300)),
    "iron_mg_l": _holds("iron", "0.02", (0, 5)),
    "ph": Field("number", "pH of the tap water", "unknown", "7.6", "", (4, 10.5), (6, 9.5)),
    "co2_mg_l": Field(
        "number",
        "CO2 in the tap water as it goes into the tank",
        "unknown",
        "5",
        "mg/L",
        (0, 150),
        (0, 60),
    ),
}

FEEDING: dict[str, Field] = {
    "food_g_day": Field(
        "number", "dry food a day", "unknown", "0.4", "g", (0, 1000), slips=("mg",)
    ),
    "nitrogen_percent": Field(
        "number", "nitrogen in the food: protein / 6.25", "unknown", "7", "%", (1, 16), (4, 11)
    ),
    "phosphorus_percent": Field(
        "number", "phosphorus in the food", "unknown", "1.2", "%", (0.1, 6), (0.5, 3)
    ),
}

WATER_CHANGE: dict[str, Field] = {
    "percent": Field(
        "number", "part of the water changed each time", "unknown", "40", "%", (0, 100), (5, 90)
    ),
    "every_days": Field(
        "number", "days from one change to the next", "unknown", "7", "", (0.5, 365), (1, 60)
    ),
    "tap_percent": Field(
        "number", "tap water in the new water; the rest is pure water", "unknown", "100", "%",
        (0, 100),
    ),
}  # fmt: skip

SALTS: dict[str, Field] = {
    "kept": Field(
        "salts",
        "fertiliser salts at home, by formula or name",
        "none",
        '["KNO3", "KH2PO4"]',
    ),
    "bottles": Field(
        "bottles",
        "solutions at home: what each holds, by weight of salts or by its label",
        "none",
        '["macro: 500 mL, KNO3 30 g, KH2PO4 4 g", "iron: iron 5 g/L"]',
    ),
}
