"""The keys of a tank file that tell of the gas equipment, where it stands and what it costs."""

from __future__ import annotations

from leafgill.tank.field import Field, length_field, price_field, size_field, word_field

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
# The outlets of CO2 cylinders, by the standard that describes each.
_OUTLET = {
    "cga-320": "cga cga320",
    "din-477-6": "din din-477 din477 din477-6 w21.8 w-21.8 w-21.8-x-1-14 w21.8x1-14",
    "bs-341-8": "bs bs-341 bs341 bs341-8",
    "jis-b-8246": "jis w22 w22-14 jis-b8246",
    "nf-e29-650-c": "nf nf-e29-650 nf-c",
    "as-2473-30": "as as-2473 as2473 type-30",
    "tr21-4": "tr21 tr-21 tr21x4 tr-21x4 tr21-x-4 home-carbonation",
}
_LIQUID = {"water": "", "glycerol": "glycerin glycerine"}

RIG: dict[str, Field] = {
    "source": word_field("where the gas comes from", "cylinder", _SOURCE),
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
    "regulator": word_field("kind of regulator", "unknown", _REGULATOR),
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
    "hose": word_field("what the gas hose is made of", "unknown", _HOSE),
    "diffuser": word_field("how the gas enters the water", "unknown", _DIFFUSER),
    "count": Field("whole", "how many diffusers", "1", "1", "", (1, 20), (1, 6)),
    "cylinder_tare_kg": size_field(
        "empty cylinder with its valve, as stamped or weighed", "kg", "4.1", (0.005, 200), "g", "lb"
    ),
    "cylinder_water_l": size_field(
        "water the cylinder would hold, as stamped on it", "L", "2.67", (0.005, 100), "mL"
    ),
    "cylinder_height_cm": size_field(
        "height of the cylinder to the top of its valve", "cm", "48", (4, 200), "mm", "in"
    ),
    "cylinder_diameter_cm": size_field(
        "width of the cylinder at its widest", "cm", "11.5", (1, 50), "mm", "in"
    ),
    "outlet": word_field("thread of the cylinder's outlet, by its standard", "unknown", _OUTLET),
    "solenoid": Field(
        "truth", "a valve that a timer shuts, so that the gas can stop at night", "unknown", "true"
    ),
    "solenoid_w": size_field("power it draws while open", "W", "2.5", (0, 100)),
    "hose_length_m": size_field(
        "gas hose, from regulator to diffuser", "m", "1.5", (0.05, 50), "cm"
    ),
    "hose_bore_mm": size_field("inner width of the hose", "mm", "4", (1, 20), "in"),
    "hose_wall_mm": size_field("thickness of the hose's wall", "mm", "1", (0.2, 6), "in"),
    "counter_tip_mm": size_field(
        "width of the opening bubbles leave in the counter", "mm", "2", (0.2, 10), "in"
    ),
    "counter_liquid": word_field("what the bubble counter is filled with", "unknown", _LIQUID),
    "diffuser_depth_cm": size_field("water above the diffuser", "cm", "35", (1, 300), "mm", "in"),
    "diffuser_bar": size_field(
        "pressure the diffuser itself needs before it gives bubbles", "bar", "0.8", (0.01, 8), "psi"
    ),
    "filter_flow_l_h": size_field(
        "what the filter really moves, measured, not the pump's label",
        "L/h",
        "600",
        (10, 100_000),
        "gal/h",
    ),
}

CABINET: dict[str, Field] = {
    "width_cm": length_field("inner width, left to right, where a cylinder could stand", 5, 500),
    "depth_cm": length_field("inner depth, front to back", 5, 300),
    "height_cm": length_field("clear height inside", 5, 300),
}

ROOM: dict[str, Field] = {
    "volume_m3": size_field("air in the room", "m³", "30", (2, 5000), "L"),
    "air_changes_per_h": Field(
        "number",
        "how many times an hour the room's air is changed",
        "unknown",
        "0.5",
        accepted=(0, 30),
        usual=(0.1, 6),
    ),
}

PRICES: dict[str, Field] = {
    "currency": Field("text", "the money of the prices below", "unknown", '"EUR"'),
    "refill": price_field("one filling of a cylinder of `cylinder_kg`", "18.50"),
    "cylinder": price_field("the cylinder, empty or with its first filling", "75"),
    "regulator": price_field("the regulator with its needle valve", "80"),
    "solenoid": price_field("the solenoid valve, where it is not part of the regulator", "25"),
    "counter": price_field("the bubble counter", "9"),
    "check_valve": price_field("one check valve", "4"),
    "hose": price_field("one metre of gas hose", "1.50"),
    "diffuser": price_field("one diffuser or reactor", "20"),
    "drop_checker": price_field("the drop checker", "12"),
    "generator": price_field("the bottles and fittings of a yeast or acid generator", "30"),
    "cartridge": price_field("one disposable cartridge of the size in `cartridge_g`", "6"),
    "cartridge_g": size_field("CO2 in such a cartridge", "g", "95", (4, 2000), "kg", "oz"),
    "citric_acid_kg": price_field("1 kg of citric acid", "7"),
    "bicarbonate_kg": price_field("1 kg of baking soda (sodium bicarbonate)", "4"),
    "sugar_kg": price_field("1 kg of sugar", "1.20"),
    "yeast": price_field("the yeast for one bottle", "0.40"),
    "electricity_kwh": price_field("1 kWh of electricity", "0.35"),
}
