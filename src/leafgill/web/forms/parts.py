"""The description of a tank in parts, each one page of a form: at the set-up, and later."""

from __future__ import annotations

from dataclasses import dataclass

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Part:
    """One page of the description: what it asks for, in order.

    `keys` are (section, key) of the tank file. `setup` tells whether a new tank's keeper is led
    through it; the others are reached from the rig page and the tank's own pages.
    """

    slug: str
    title: str
    lead: str
    keys: tuple[Key, ...]
    setup: bool = True


def _in(section: str, *keys: str) -> tuple[Key, ...]:
    return tuple((section, key) for key in keys)


PARTS: tuple[Part, ...] = (
    Part(
        "size",
        "Size and place",
        "A name and a size are enough to begin with. Give the inner lengths, or the water in it, "
        "or both.",
        _in("tank", "name", "length_cm", "width_cm", "height_cm", "volume_l", "timezone"),
    ),
    Part(
        "water",
        "Water",
        "Carbonate hardness ties pH to CO2. Leave empty what you have not tested; the first step "
        "will ask for it where it matters.",
        (*_in("tank", "temperature_c"), *_in("water", "kh_dkh", "gh_dgh")),
    ),
    Part(
        "day",
        "The day",
        "The hours that timers hold today, by the tank's clock. Where they change later, the diary "
        "says so.",
        _in("day", "lights_on", "lights_off", "gas_on", "gas_off", "air_on", "air_off"),
    ),
    Part(
        "animals",
        "Animals and aim",
        "The animals set the most CO2 that is ever advised and the least oxygen; the most delicate "
        "kind decides. In brackets stands the most CO2 each is held to.",
        (*_in("livestock", "kinds", "co2_limit_mg_l"), *_in("target", "co2_mg_l")),
    ),
    Part(
        "gas",
        "Gas and plants",
        "Whatever you know of the equipment and the plants narrows the first guess. All of it may "
        "stay empty.",
        (
            *_in("rig", "source", "cylinder_kg", "regulator", "working_pressure_bar", "solenoid"),
            *_in("rig", "diffuser", "count", "hose", "filter_flow_l_h", "night_air"),
            *_in("plants", "density", "light_ppfd"),
        ),
    ),
    Part(
        "cylinder",
        "The cylinder",
        "What is stamped on the cylinder tells how much is left in it, and whether it fits the "
        "cabinet.",
        _in(
            "rig",
            "cylinder_tare_kg",
            "cylinder_water_l",
            "cylinder_height_cm",
            "cylinder_diameter_cm",
            "outlet",
        ),
        setup=False,
    ),
    Part(
        "line",
        "From valve to water",
        "Hose, counter and diffuser decide how much gas a bubble is, how long the first one takes, "
        "and how much gets lost on the way.",
        _in(
            "rig",
            "hose_length_m",
            "hose_bore_mm",
            "hose_wall_mm",
            "counter_tip_mm",
            "counter_liquid",
            "diffuser_depth_cm",
            "diffuser_bar",
            "solenoid_w",
        ),
        setup=False,
    ),
    Part(
        "place",
        "Cabinet and room",
        "Where the cylinder stands, and the air people breathe there.",
        (
            *_in("cabinet", "width_cm", "depth_cm", "height_cm"),
            *_in("room", "volume_m3", "air_changes_per_h"),
        ),
        setup=False,
    ),
    Part(
        "lamp",
        "The lamp",
        "Light at the plants, where it was measured, stands under Gas and plants and wins over all "
        "of this.",
        _in(
            "lamp",
            "kind",
            "power_w",
            "efficacy_umol_j",
            "height_cm",
            "beam_deg",
            "length_cm",
            "dimmed_percent",
        ),
        setup=False,
    ),
    Part(
        "tap",
        "Tap water and water changes",
        "What comes in with new water counts among the nutrients. The waterworks' report has most "
        "of it.",
        (
            *_in("tap", "kh_dkh", "gh_dgh", "nitrate_mg_l", "phosphate_mg_l", "potassium_mg_l"),
            *_in("tap", "calcium_mg_l", "magnesium_mg_l", "iron_mg_l", "ph", "co2_mg_l"),
            *_in("water_change", "percent", "every_days", "tap_percent"),
        ),
        setup=False,
    ),
    Part(
        "fertiliser",
        "Food and fertiliser",
        "What the animals eat ends up with the plants. Salts and bottles at home are what doses "
        "are made from.",
        (
            *_in("feeding", "food_g_day", "nitrogen_percent", "phosphorus_percent"),
            *_in("salts", "kept", "bottles"),
        ),
        setup=False,
    ),
    Part(
        "prices",
        "Prices",
        "What things cost where you live, in your own money; nothing is looked up.",
        _in(
            "prices",
            "currency",
            "refill",
            "cylinder",
            "regulator",
            "solenoid",
            "counter",
            "check_valve",
            "hose",
            "diffuser",
            "drop_checker",
            "generator",
            "cartridge",
            "cartridge_g",
            "citric_acid_kg",
            "bicarbonate_kg",
            "sugar_kg",
            "yeast",
            "electricity_kwh",
        ),
        setup=False,
    ),
)
SETUP: tuple[Part, ...] = tuple(part for part in PARTS if part.setup)
BY_SLUG: dict[str, Part] = {part.slug: part for part in PARTS}
PART_OF: dict[Key, Part] = {key: part for part in PARTS for key in part.keys}


def input_name(key: Key) -> str:
    """Return the name a key's input has in the form."""
    return f"{key[0]}-{key[1]}"


# Labels where the tank file's own words ask for more than a label should say.
LABELS: dict[Key, str] = {
    ("tank", "name"): "Name",
    ("tank", "length_cm"): "Inner length",
    ("tank", "width_cm"): "Inner width, front to back",
    ("tank", "height_cm"): "Inner height",
    ("tank", "volume_l"): "Water in it",
    ("tank", "temperature_c"): "Usual temperature",
    ("tank", "timezone"): "Time zone",
    ("water", "kh_dkh"): "Carbonate hardness (KH)",
    ("water", "gh_dgh"): "Total hardness (GH)",
    ("livestock", "kinds"): "Animals",
    ("livestock", "co2_limit_mg_l"): "Your own CO2 limit",
    ("target", "co2_mg_l"): "CO2 to aim at",
    ("rig", "solenoid"): "Solenoid valve",
    ("rig", "working_pressure_bar"): "Working pressure",
    ("rig", "cylinder_kg"): "CO2 when full",
    ("rig", "filter_flow_l_h"): "Flow of the filter",
    ("rig", "cylinder_tare_kg"): "Empty weight",
    ("rig", "cylinder_water_l"): "Water capacity",
    ("rig", "diffuser_bar"): "Pressure the diffuser needs",
    ("rig", "outlet"): "Outlet thread",
    ("plants", "density"): "Planting",
    ("plants", "light_ppfd"): "Light at the plants (PPFD)",
    ("lamp", "height_cm"): "Height above the water",
    ("salts", "kept"): "Salts at home",
    ("salts", "bottles"): "Bottles at home",
    ("prices", "currency"): "Currency",
    ("prices", "refill"): "One filling of the cylinder",
    ("prices", "cartridge"): "One disposable cartridge",
    ("prices", "yeast"): "The yeast for one bottle",
}
# What stands below the input, where the tank file's own words do not serve.
HELP: dict[Key, str] = {
    ("tank", "volume_l"): "Without substrate and stones. Left empty, it is the box less 10 %.",
    (
        "livestock",
        "co2_limit_mg_l",
    ): "Left empty, the animals above set it. Yours wins over theirs.",
    ("target", "co2_mg_l"): "While the lights are on. Left empty: 80 % of the limit, at most "
    "30 mg/L.",
    ("rig", "solenoid"): "A valve that a timer shuts, so that the gas can stop at night.",
    ("rig", "filter_flow_l_h"): "What it really moves, measured, not the pump's label.",
    ("rig", "cylinder_tare_kg"): "With its valve, as stamped or weighed.",
    ("rig", "cylinder_water_l"): "The water it would hold, as stamped on it.",
    ("rig", "diffuser_bar"): "What it takes before it gives bubbles.",
    ("rig", "outlet"): "By the standard that describes it; the supplier knows it.",
    ("lamp", "beam_deg"): "About 120 for bare diodes; less behind lenses or reflectors.",
    ("feeding", "nitrogen_percent"): "The protein on the label, divided by 6.25.",
    ("salts", "kept"): "By formula or name, as KNO3, KH2PO4.",
    ("salts", "bottles"): 'One after the other, with a semicolon between: "macro: 500 mL, KNO3 '
    '30 g; iron: iron 5 g/L".',
}
