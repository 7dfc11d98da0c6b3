"""Tank files with one fault each: the line names the file, the key, the value, what is accepted."""

import pytest

from leafgill.errors import InputError
from leafgill.tank.spec import Tank

SECTIONS = (
    "accepted: [tank], [water], [day], [livestock], [target], [rig], [plants], [lamp], [tap], "
    "[feeding], [water_change], [salts], [cabinet], [room], [prices]"
)
IN_TANK = "accepted: name, length_cm, width_cm, height_cm, volume_l, temperature_c, timezone"
KINDS = (
    "accepted: a list of fish, hardy-fish, sensitive-fish, labyrinth-fish, stream-fish, fry, "
    "shrimp, crayfish, snails, mussels, frogs, none"
)
HOUR = 'accepted: 00:00 to 24:00, as "08:30"'
ZONE = "accepted: a time zone's name, as Europe/Berlin or UTC"
NAME = "accepted: text in quotes, one line of at most 80 letters"
BOX = "the box of length_cm, width_cm and height_cm, 72 L"

# (rest of the file after a sound [tank], the line after "tank.toml: ")
FAULTS = {
    # sections and keys
    "[waters]\nkh_dkh = 4": f"[waters]: unknown section (did you mean [water]?); {SECTIONS}",
    "[pump]\nwatts = 100": f"[pump]: unknown section; {SECTIONS}",
    "[water]\nkh = 4": "[water] kh: unknown key (did you mean kh_dkh?); accepted: kh_dkh, gh_dgh",
    "[water]\nkh_dhk = 4": (
        "[water] kh_dhk: unknown key (did you mean kh_dkh?); accepted: kh_dkh, gh_dgh"
    ),
    "[water]\nlights_on = 4": "[water] lights_on: this key belongs below [day]",
    "[water]\nlight_on = 4": (
        "[water] light_on: unknown key (did you mean lights_on below [day]?); "
        "accepted: kh_dkh, gh_dgh"
    ),
    "[water]\nxyz = 4": "[water] xyz: unknown key; accepted: kh_dkh, gh_dgh",
    # salts and bottles
    '[salts]\nkept = ["KNO"]': (
        '[salts] kept: a salt "KNO"; nearest: KNO3; accepted: a list of salts, by formula or name'
    ),
    "[salts]\nkept = 3": (
        "[salts] kept: 3 is not accepted; accepted: a list of salts, by formula or name"
    ),
    '[salts]\nbottles = ["KNO3 30 g"]': (
        '[salts] bottles: "KNO3 30 g" has no name before a colon; write '
        '"macro: 500 mL, KNO3 30 g, KH2PO4 4 g"'
    ),
    '[salts]\nbottles = ["macro: KNO3 30 g"]': (
        '[salts] bottles: bottle "macro": in how much water? write '
        '"macro: 500 mL, KNO3 30 g, KH2PO4 4 g"'
    ),
    '[salts]\nbottles = ["macro: 500 mL, KNO3 900 g"]': (
        '[salts] bottles: bottle "macro": 900 g of KNO3 in 500 mL is not accepted; accepted: '
        "above 0 to 1200 g/L"
    ),
    '[salts]\nbottles = ["iron: iron 5 g/L", "Iron: iron 2 g/L"]': (
        '[salts] bottles: two bottles are called "Iron"; each needs its own name'
    ),
    '[salts]\nbottles = ["a: gold 5 g/L"]': (
        '[salts] bottles: "gold 5 g/L": a label names one of nitrate, phosphate, nitrogen, '
        "phosphorus, potassium, calcium, magnesium, iron, manganese, zinc, copper, boron, "
        'molybdenum, ammonium; salts go by weight, as "KNO3 30 g"'
    ),
    # numbers
    "[water]\nkh_dkh = 70": (
        "[water] kh_dkh: 70 is not accepted; accepted: 0 to 30 dKH "
        '(did you mean "70 ppm", 3.922 dKH?)'
    ),
    "[water]\nkh_dkh = -1": "[water] kh_dkh: -1 is not accepted; accepted: 0 to 30 dKH",
    '[water]\nkh_dkh = "700 ppm"': (
        '[water] kh_dkh: "700 ppm" (39.22 dKH) is not accepted; accepted: 0 to 30 dKH'
    ),
    "[water]\nkh_dkh = true": (
        '[water] kh_dkh: true is not a number; accepted: 0 to 30 dKH, or with its unit, as "71 ppm"'
    ),
    "[water]\nkh_dkh = [4]": (
        '[water] kh_dkh: [4] is not a number; accepted: 0 to 30 dKH, or with its unit, as "71 ppm"'
    ),
    "[water]\nkh_dkh = nan": (
        "[water] kh_dkh: nan is not a finite number; accepted: 0 to 30 dKH, or with its unit, "
        'as "71 ppm"'
    ),
    '[water]\nkh_dkh = "soft"': (
        '[water] kh_dkh: "soft" is not a number; accepted: 0 to 30 dKH, or with its unit, '
        'as "71 ppm"'
    ),
    '[water]\nkh_dkh = "4 dGH"': (
        '[water] kh_dkh: "4 dGH": "dGH" is not a unit of carbonate hardness; '
        'accepted: 0 to 30 dKH, or with its unit, as "71 ppm"'
    ),
    "[water]\ngh_dgh = 110": (
        "[water] gh_dgh: 110 is not accepted; accepted: 0 to 60 dGH "
        '(did you mean "110 ppm", 6.163 dGH?)'
    ),
    "[livestock]\nco2_limit_mg_l = 300": (
        "[livestock] co2_limit_mg_l: 300 is not accepted; accepted: 5 to 60 mg/L"
    ),
    "[target]\nco2_mg_l = 0": "[target] co2_mg_l: 0 is not accepted; accepted: 3 to 60 mg/L",
    "[rig]\ncylinder_kg = 500": (
        "[rig] cylinder_kg: 500 is not accepted; accepted: 0.005 to 60 kg "
        '(did you mean "500 g", 0.5 kg?)'
    ),
    "[rig]\nworking_pressure_bar = 29": (
        "[rig] working_pressure_bar: 29 is not accepted; accepted: 0.1 to 10 bar "
        '(did you mean "29 psi", 1.999 bar?)'
    ),
    "[rig]\ncount = 1.5": "[rig] count: 1.5 is not accepted; accepted: a whole number, 1 to 20",
    "[rig]\ncount = 0": "[rig] count: 0 is not accepted; accepted: a whole number, 1 to 20",
    "[rig]\ncount = true": "[rig] count: true is not accepted; accepted: a whole number, 1 to 20",
    "[plants]\nlight_ppfd = 0": (
        "[plants] light_ppfd: 0 is not accepted; accepted: 1 to 2000 µmol/m²/s"
    ),
    '[rig]\nhose_length_m = "5 ft 2"': (
        '[rig] hose_length_m: "5 ft 2": "ft 2" is not a unit of length; accepted: 0.05 to 50 m, '
        'or with its unit, as "15.7 in"'
    ),
    "[rig]\nfilter_flow_l_h = 5": (
        "[rig] filter_flow_l_h: 5 is not accepted; accepted: 10 to 100000 L/h "
        '(did you mean "5 gal/h", 18.93 L/h?)'
    ),
    "[rig]\ncylinder_kg = 5\ncylinder_water_l = 2": (
        "[rig] cylinder_water_l: 5 kg in 2 L is 2.5 kg/L; accepted: 0.25 to 1 kg/L"
    ),
    "[rig]\ncylinder_kg = 2\ncylinder_water_l = 13": (
        "[rig] cylinder_water_l: 2 kg in 13 L is 0.15 kg/L; accepted: 0.25 to 1 kg/L"
    ),
    "[cabinet]\nheight_cm = 720": (
        "[cabinet] height_cm: 720 is not accepted; accepted: 5 to 300 cm "
        '(did you mean "720 mm", 72 cm?)'
    ),
    "[room]\nvolume_m3 = 45000": (
        "[room] volume_m3: 45000 is not accepted; accepted: 2 to 5000 m³ "
        '(did you mean "45000 L", 45 m³?)'
    ),
    "[room]\nair_changes_per_h = 40": (
        "[room] air_changes_per_h: 40 is not accepted; accepted: 0 to 30"
    ),
    '[prices]\nrefill = "18 EUR"': (
        '[prices] refill: "18 EUR": this number takes no unit; accepted: 0 to 100000000'
    ),
    '[prices]\nrefill = "cheap"': (
        '[prices] refill: "cheap" is not a number; accepted: 0 to 100000000'
    ),
    "[prices]\nregulator = -1": (
        "[prices] regulator: -1 is not accepted; accepted: 0 to 100000000"
    ),
    "[plants]\nregulator = 1": "[plants] regulator: this key belongs below [rig] or [prices]",
    # words
    '[rig]\nsource = "keg"': (
        '[rig] source: "keg" is not known; accepted: cylinder, cartridge, acid-bicarbonate, yeast'
    ),
    '[rig]\nhose = "rubbr"': (
        '[rig] hose: "rubbr" is not known (did you mean rubber?); accepted: silicone, rubber, '
        "epdm, pvc, polyurethane, polyethylene, polypropylene, ptfe, polyamide"
    ),
    '[rig]\ndiffuser = "dsc"': (
        '[rig] diffuser: "dsc" is not known (did you mean disc?); accepted: disc, inline, '
        "reactor, airstone, ladder, bell"
    ),
    '[rig]\nregulator = "three-stage"': (
        '[rig] regulator: "three-stage" is not known (did you mean two-stage?); '
        "accepted: single-stage, two-stage"
    ),
    '[rig]\nnight_air = "yes"': ('[rig] night_air: "yes" is not accepted; accepted: true or false'),
    "[rig]\nnight_air = 1": "[rig] night_air: 1 is not accepted; accepted: true or false",
    '[plants]\ndensity = "jungle"': (
        '[plants] density: "jungle" is not known; accepted: low, medium, high'
    ),
    "[plants]\ndensity = 3": "[plants] density: 3 is not known; accepted: low, medium, high",
    '[livestock]\nkinds = ["fsh"]': (
        f'[livestock] kinds: "fsh" is not known (did you mean fish?); {KINDS}'
    ),
    "[livestock]\nkinds = 3": f"[livestock] kinds: 3 is not accepted; {KINDS}",
    "[livestock]\nkinds = [3]": f"[livestock] kinds: 3 is not known; {KINDS}",
    '[livestock]\nkinds = ["none", "shrimp"]': (
        '[livestock] kinds: "none" stands beside shrimp; accepted: animals, or none alone'
    ),
    # hours
    '[day]\nlights_on = "10:00"': (
        '[day] lights_on: "10:00" stands alone; accepted: with lights_off, as "20:00", or neither'
    ),
    "[day]\ngas_off = 17:30:00": (
        '[day] gas_off: "17:30" stands alone; accepted: with gas_on, as "20:00", or neither'
    ),
    '[day]\nlights_on = "25:00"\nlights_off = "20:00"': (
        f'[day] lights_on: "25:00" is not accepted; {HOUR}'
    ),
    "[day]\nlights_on = 12.30": f"[day] lights_on: 12.3 is not accepted; {HOUR}",
    "[day]\nlights_on = 1230": f"[day] lights_on: 1230 is not accepted; {HOUR}",
    "[day]\nlights_on = 2025-03-03": f"[day] lights_on: 2025-03-03 is not accepted; {HOUR}",
    "[day]\nlights_on = 2025-03-03T10:00:00Z": (
        f"[day] lights_on: 2025-03-03 10:00:00+00:00 is not accepted; {HOUR}"
    ),
}

# (the whole file, the line after "tank.toml: ")
WHOLE = {
    'name = "A"\nvolume_l = 60': "name: this key must stand below [tank]",
    'colour = "red"': "colour: this key must stand below its section, as [tank]",
    'tank = "A"': '[tank]: "A" is not a section; write [tank] and its keys below',
    "[[tank]]\nvolume_l = 60": (
        "[tank]: [{'volume_l': 60}] is not a section; write [tank] and its keys below"
    ),
    "[tank]\nvolume_l = 60": '[tank] name: is missing; write name = "Living room"',
    "[tank]\nname = 901": f"[tank] name: 901 is not accepted; {NAME}",
    '[tank]\nname = " "': f'[tank] name: " " is not accepted; {NAME}'.replace('" "', '""'),
    '[tank]\nname = "a\\u0007b"': f'[tank] name: "a?b" is not accepted; {NAME}',
    f'[tank]\nname = "{"x" * 81}"': f'[tank] name: "{"x" * 56}... is not accepted; {NAME}',
    '[tank]\nname = "A"': (
        "[tank] volume_l: is missing, and so is any size; write volume_l, or length_cm, width_cm "
        "and height_cm"
    ),
    '[tank]\nname = "A"\nlength_cm = 60\nwidth_cm = 30': (
        "[tank] volume_l: is missing, and so is height_cm; write volume_l, or length_cm, width_cm "
        "and height_cm"
    ),
    '[tank]\nname = "A"\nvolume = 60': (
        f"[tank] volume: unknown key (did you mean volume_l?); {IN_TANK}"
    ),
    '[tank]\nname = "A"\nvol = 60': (
        f"[tank] vol: unknown key (did you mean volume_l?); {IN_TANK}"
    ),
    '[tank]\nname = "A"\nkh_dkh = 4': "[tank] kh_dkh: this key belongs below [water] or [tap]",
    '[tank]\nname = "A"\nvolume_l = 0': (
        "[tank] volume_l: 0 is not accepted; accepted: 1 to 50000 L"
    ),
    '[tank]\nname = "A"\nvolume_l = "60 kg"': (
        '[tank] volume_l: "60 kg": "kg" is not a unit of volume; accepted: 1 to 50000 L, '
        'or with its unit, as "40 gal"'
    ),
    '[tank]\nname = "A"\nlength_cm = 1200': (
        "[tank] length_cm: 1200 is not accepted; accepted: 5 to 1000 cm "
        '(did you mean "1200 mm", 120 cm?)'
    ),
    '[tank]\nname = "A"\ntemperature_c = 77': (
        "[tank] temperature_c: 77 is not accepted; accepted: 10 to 36 °C "
        '(did you mean "77 °F", 25 °C?)'
    ),
    '[tank]\nname = "A"\ntimezone = "Berlin"': (
        f'[tank] timezone: "Berlin" is not known (did you mean Europe/Berlin?); {ZONE}'
    ),
    '[tank]\nname = "A"\ntimezone = "../etc/passwd"': (
        f'[tank] timezone: "../etc/passwd" is not known; {ZONE}'
    ),
    '[tank]\nname = "A"\ntimezone = 1': f"[tank] timezone: 1 is not known; {ZONE}",
    '[tank]\nname = "A"\nlength_cm = 60\nwidth_cm = 30\nheight_cm = 40\nvolume_l = 19': (
        f"[tank] volume_l: 19 L contradicts {BOX}; accepted: 21.6 to 216 L "
        '(did you mean "19 gal", 72 L?)'
    ),
    '[tank]\nname = "A"\nlength_cm = 60\nwidth_cm = 30\nheight_cm = 40\nvolume_l = 500': (
        f"[tank] volume_l: 500 L contradicts {BOX}; accepted: 21.6 to 216 L"
    ),
    '[tank]\nname = "A"\nlength_cm = 24\nwidth_cm = 12\nheight_cm = 16\nvolume_l = 72': (
        "[tank] volume_l: 72 L contradicts the box of length_cm, width_cm and height_cm, 4.608 L; "
        'accepted: 1.38 to 13.8 L (are the lengths in inches? write them as text, as "24 in")'
    ),
    '[tank]\nname = "A"\nlength_cm = 6\nwidth_cm = 5\nheight_cm = 8': (
        "[tank] length_cm: the box holds 0.24 L; accepted: 1 L or more. Are the lengths in cm?"
    ),
}

# (the whole file, the line after "tank.toml")
NOT_TOML = {
    "": " is empty; a tank file starts with [tank]",
    " \n\n": " is empty; a tank file starts with [tank]",
    "[tank]\nvolume_l = 40 gal": (
        ' line 2: "volume_l = 40 gal" cannot be read: a number with its unit needs quotes, '
        'as "40 gal"'
    ),
    "[tank]\ntemperature_c = 77°F": (
        ' line 2: "temperature_c = 77°F" cannot be read: a number with its unit needs quotes, '
        'as "40 gal"'
    ),
    "[tank]\n\nvolume_l = 40,5 # L": (
        ' line 3: "volume_l = 40,5 # L" cannot be read: a number takes a decimal point, '
        "not a comma"
    ),
    "[water]\nkh_dkh = .5": (
        ' line 2: "kh_dkh = .5" cannot be read: a decimal point needs a digit on both sides'
    ),
    "[water]\nkh_dkh = 04": ' line 2: "kh_dkh = 04" cannot be read: a number cannot start with 0',
    "[day]\nlights_on = 12:30": (
        ' line 2: "lights_on = 12:30" cannot be read: a time needs quotes, as "08:30"'
    ),
    "[rig]\nnight_air = True": (
        ' line 2: "night_air = True" cannot be read: write true or false'
    ),
    "[tank]\nname = Tank": (
        ' line 2: "name = Tank" cannot be read: text needs quotes, as "UTC"'
    ),
    "[tank]\nname = “Tank”": (
        ' line 2: "name = “Tank”" cannot be read: quotes must be straight ones, as "UTC"'
    ),
    '[tank]\nname = "Tank\nvolume_l = 60': (
        ' line 2: "name = "Tank" cannot be read: a quote is opened and not closed'
    ),
    "[livestock]\nkinds = [\n\n": ' line 2: "kinds = [" cannot be read: invalid value',
    '[livestock]\nkinds = ["fish"\n': (
        ' line 2: "kinds = ["fish"" cannot be read: unclosed array'
    ),
    "[tank]\nvolume_l =\n\n": ' line 2: "volume_l =" cannot be read: nothing stands after =',
    '[tank]\nname: "Tank"': (
        ' line 2: "name: "Tank"" cannot be read: a key and its value are joined by ='
    ),
    "[tank\nvolume_l = 60": (
        ' line 1: "[tank" cannot be read: a section stands in brackets, as [tank]'
    ),
    '[tank]\nname = "A"\nname = "B"': (
        ' line 3: "name = "B"" cannot be read: the key or section stands twice'
    ),
    '[tank]\nname = "A"\n[tank]\nvolume_l = 60': (
        ' line 3: "[tank]" cannot be read: the key or section stands twice'
    ),
    "time,kind,value,unit,note\n": (
        " is a diary or a probe file; a tank file starts with [tank]"
    ),
    "[tank]\nvolume_l = " + "9" * 5000: " is not a tank file: its values cannot be read",
    "a = " + "[" * 5000: " is not a tank file: its values cannot be read",
}  # fmt: skip


def refused(tmp_path, text):
    path = tmp_path / "tank.toml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    with pytest.raises(InputError) as caught:
        Tank.load(path)
    line = str(caught.value)
    assert "\n" not in line
    assert "Traceback" not in line
    return line, caught.value


@pytest.mark.parametrize(("text", "line"), FAULTS.items())
def test_a_fault_beside_a_sound_tank(tmp_path, text, line):
    told, error = refused(tmp_path, f'[tank]\nname = "A"\nvolume_l = 60\n{text}\n')
    assert told == f"tank.toml: {line}"
    # the place alone marks the field on a screen
    assert line.startswith(error.where.removeprefix("tank.toml: ") + ": ")


@pytest.mark.parametrize(("text", "line"), WHOLE.items())
def test_a_fault_in_the_tank_itself(tmp_path, text, line):
    assert refused(tmp_path, text)[0] == f"tank.toml: {line}"


@pytest.mark.parametrize(("text", "line"), NOT_TOML.items(), ids=lambda text: text[:30])
def test_what_is_not_toml(tmp_path, text, line):
    assert refused(tmp_path, text)[0] == f"tank.toml{line}"


UTF_16 = "tank.toml is not UTF-8 text (it may be UTF-16); save it as UTF-8"


@pytest.mark.parametrize(
    ("raw", "line"),
    [
        (
            '[tank]\nname = "Küche"\n'.encode("latin-1"),
            "tank.toml line 2: not UTF-8 text; save it as UTF-8",
        ),
        ('[tank]\nname = "A"\n'.encode("utf-16"), UTF_16),
        (("水" * 200).encode("utf-16"), UTF_16),
        (b"\x00\x01\x02", UTF_16),
        (b"#" * 1_000_001, "tank.toml is larger than 1 MB; that is no tank file"),
    ],
)
def test_other_bytes_are_told_as_such(tmp_path, raw, line):
    assert refused(tmp_path, raw)[0] == line


def test_a_missing_file_a_folder_and_no_name(tmp_path):
    for path, line in (
        (tmp_path / "none.toml", '"none.toml": there is no such file'),
        (tmp_path / "no" / "none.toml", '"none.toml": there is no such file'),
        (tmp_path, f'"{tmp_path.name}" is a folder, not a tank file'),
        ("a\0b", '"a?b" cannot be read: its name is no file name'),
    ):
        with pytest.raises(InputError) as caught:
            Tank.load(path)
        assert str(caught.value) == line
