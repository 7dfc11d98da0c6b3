"""What is kept but doubted: each finding is one line that names key and value."""

import pytest

from leafgill.tank.spec import Tank

BOX = {"length_cm": 60, "width_cm": 30, "height_cm": 40}
THE_BOX = "the box of length_cm, width_cm and height_cm, 72 L"


def findings(**sections):
    data = {"tank": {"name": "A", "volume_l": 60}}
    for section, keys in sections.items():
        data[section] = {**data.get(section, {}), **keys}
    return list(Tank.from_mapping(data, where="t").findings)


def hours(kind, on, off):
    return {f"{kind}_on": on, f"{kind}_off": off}


LIGHT = hours("lights", "10:00", "18:00")

DOUBTS = [
    (
        {"tank": {**BOX, "volume_l": 90}},
        f"t: [tank] volume_l: 90 L is more than {THE_BOX}; right only with a sump",
    ),
    ({"tank": {**BOX, "volume_l": 30}}, f"t: [tank] volume_l: 30 L is only 42% of {THE_BOX}"),
    (
        {"tank": {"temperature_c": 34}},
        "t: [tank] temperature_c: 34 is unusual, and kept; usual: 18 to 31 °C",
    ),
    (
        {"water": {"kh_dkh": 18}},
        "t: [water] kh_dkh: 18 is unusual, and kept; usual: 0.5 to 15 dKH "
        '(did you mean "18 ppm", 1.009 dKH?)',
    ),
    (
        {"water": {"kh_dkh": "18 dKH"}},
        't: [water] kh_dkh: "18 dKH" is unusual, and kept; usual: 0.5 to 15 dKH',
    ),
    (
        {"water": {"gh_dgh": 55}},
        "t: [water] gh_dgh: 55 is unusual, and kept; usual: 0 to 25 dGH "
        '(did you mean "55 ppm", 3.082 dGH?)',
    ),
    (
        {"rig": {"cylinder_kg": 50}},
        "t: [rig] cylinder_kg: 50 is unusual, and kept; usual: 0.012 to 30 kg "
        '(did you mean "50 g", 0.05 kg?)',
    ),
    (
        {"rig": {"working_pressure_bar": 6}},
        "t: [rig] working_pressure_bar: 6 is unusual, and kept; usual: 0.5 to 4 bar",
    ),
    (
        {"day": hours("lights", "08:00", "08:00")},
        't: [day] lights_on: "08:00" is also lights_off: never on. Around the clock is "00:00" '
        'to "24:00"',
    ),
    (
        {"day": hours("lights", "06:00", "22:00")},
        "t: [day] lights_on: 16 h of light a day feeds algae",
    ),
    (
        {"day": LIGHT | hours("gas", "18:00", "19:00")},
        "t: [day] gas_on: the gas is on 0 h of the 8 h of light",
    ),
    (
        {"day": LIGHT | hours("gas", "00:00", "24:00")},
        "t: [day] gas_on: the gas is on 16 h in the dark, when plants take none and the animals "
        "breathe it",
    ),
    (
        {"day": hours("gas", "09:00", "17:00") | hours("air", "15:00", "23:00")},
        "t: [day] air_on: extra aeration runs 2 h while the gas is on, and drives it out",
    ),
    (
        {"rig": {"night_air": True}, "day": LIGHT | hours("air", "22:00", "06:00")},
        "t: [rig] night_air: air_on and air_off are given too, and hold instead",
    ),
    (
        {"rig": {"night_air": True}},
        "t: [rig] night_air: true, but lights_off is not given: the diary must say when it is dark",
    ),
    (
        {"livestock": {"kinds": ["fish", "shrimp"], "co2_limit_mg_l": 30}},
        "t: [livestock] co2_limit_mg_l: 30 mg/L is above the 25 mg/L for shrimp; your figure holds",
    ),
    (
        {"target": {"co2_mg_l": 35}},
        "t: [target] co2_mg_l: 35 mg/L is above the animals' limit of 30 mg/L, and is held to it",
    ),
    (
        {"target": {"co2_mg_l": 22}, "livestock": {"kinds": "discus"}},
        "t: [target] co2_mg_l: 22 mg/L is above the animals' limit of 20 mg/L, and is held to it",
    ),
    (
        {"rig": {"source": "yeast", "regulator": "single-stage"}},
        "t: [rig] regulator: given, but source is yeast, which has none",
    ),
    (
        {"rig": {"source": "cartridge", "cylinder_kg": 2}},
        "t: [rig] cylinder_kg: 2 kg is large for a cartridge; is source a cylinder?",
    ),
    (
        {"rig": {"cylinder_kg": "16 g"}},
        "t: [rig] cylinder_kg: 0.016 kg is small for a cylinder; is source a cartridge?",
    ),
    (
        {"rig": {"cylinder_kg": 2, "cylinder_water_l": 2}},
        "t: [rig] cylinder_water_l: 2 kg in 2 L is 1 kg/L; usual: 0.5 to 0.77 kg/L",
    ),
    (
        {"rig": {"cylinder_kg": 2, "cylinder_water_l": 4.1}},
        "t: [rig] cylinder_water_l: 2 kg in 4.1 L is 0.49 kg/L; usual: 0.5 to 0.77 kg/L",
    ),
    (
        {"rig": {"cylinder_kg": 2, "cylinder_tare_kg": 1}},
        "t: [rig] cylinder_tare_kg: 1 kg is 0.5 times the 2 kg it holds; usual: 0.6 to 6 times",
    ),
    (
        {"rig": {"cylinder_kg": "5 lb", "cylinder_tare_kg": 40}},
        "t: [rig] cylinder_tare_kg: 40 kg is 18 times the 2.26796 kg it holds; usual: 0.6 to 6 "
        "times",
    ),
    (
        {"tank": BOX, "rig": {"diffuser_depth_cm": 45}},
        "t: [rig] diffuser_depth_cm: 45 cm is more than the tank's height of 40 cm",
    ),
    (
        {"rig": {"solenoid": False, "solenoid_w": 3}},
        "t: [rig] solenoid_w: given, but solenoid is false",
    ),
    (
        {"prices": {"refill": 18.5}},
        "t: [prices] refill: of which size? cylinder_kg below [rig] is not given",
    ),
    (
        {"prices": {"cartridge": 6}},
        "t: [prices] cartridge: of which size? cartridge_g is not given",
    ),
]


@pytest.mark.parametrize(("sections", "line"), DOUBTS)
def test_a_doubt_is_told_once_and_the_value_kept(sections, line):
    assert findings(**sections) == [line]


def test_no_carbonate_hardness_is_told_with_what_it_means():
    told = findings(water={"kh_dkh": 0})
    assert told[1] == "t: [water] kh_dkh: without carbonate hardness pH tells nothing about CO2"


@pytest.mark.parametrize(
    "sections",
    [
        {},
        {"tank": {**BOX, "volume_l": 75}},
        {"tank": {**BOX, "volume_l": 40}},
        {"water": {"kh_dkh": 0.5, "gh_dgh": 0}},
        {"day": LIGHT | hours("gas", "08:00", "17:00") | hours("air", "18:00", "08:00")},
        {"day": hours("lights", "22:00", "08:00") | hours("gas", "20:00", "07:00")},
        {"day": LIGHT, "rig": {"night_air": True}},
        {"livestock": {"kinds": "shrimp", "co2_limit_mg_l": 25}, "target": {"co2_mg_l": 25}},
        {"livestock": {"kinds": "none", "co2_limit_mg_l": 40}, "target": {"co2_mg_l": 35}},
        {"rig": {"source": "cartridge", "cylinder_kg": "95 g", "regulator": "single-stage"}},
        {"rig": {"cylinder_kg": "20 lb"}},
        {"rig": {"cylinder_kg": 2, "cylinder_water_l": 2.67, "cylinder_tare_kg": 4.1}},
        {"rig": {"cylinder_kg": "20 lb", "cylinder_water_l": 13.3, "cylinder_tare_kg": "25.2 lb"}},
        {"rig": {"cylinder_kg": 2}, "prices": {"refill": 18}},
        {"prices": {"cartridge": 6, "cartridge_g": 95}},
        {"tank": BOX, "rig": {"diffuser_depth_cm": 40}},
    ],
)
def test_an_ordinary_tank_raises_no_doubt(sections):
    assert findings(**sections) == []
