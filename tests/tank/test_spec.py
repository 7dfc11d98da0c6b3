from datetime import UTC, time

import pytest

from leafgill.errors import InputError
from leafgill.tank.spec import Cabinet, Day, Livestock, Plants, Prices, Rig, Room, Tank, Water
from leafgill.tank.window import Window

FULL = """
[tank]
name = "Invented"
length_cm = 90        # all comments are allowed
width_cm = 45.0
height_cm = "17.7 in"
volume_l = "40 gal"
temperature_c = "77 °F"
timezone = "America/New_York"

[water]
kh_dkh = "71 ppm"
gh_dgh = 6

[day]
lights_on = "12:30"
lights_off = 20:00:00
gas_on = "11:30 am"
gas_off = "8 pm"
air_on = "23:00"
air_off = "24:00"

[livestock]
co2_limit_mg_l = 25
kinds = ["Tetras", "amano shrimp", "tetras"]

[target]
co2_mg_l = "22 ppm"

[rig]
source = "cylinder"
cylinder_kg = "5 lb"
night_air = false
regulator = "dual stage"
working_pressure_bar = "29 psi"
hose = "PU"
diffuser = "In-line"
count = 2

cylinder_tare_kg = "8 lb"
cylinder_water_l = "3340 mL"
cylinder_height_cm = "18 in"
cylinder_diameter_cm = "133 mm"
outlet = "CGA 320"
solenoid = true
solenoid_w = "0.004 kW"
hose_length_m = "5 ft"
hose_bore_mm = "1/8 in"
hose_wall_mm = 1.6
counter_tip_mm = 2
counter_liquid = "Glycerine"
diffuser_depth_cm = "14 in"
diffuser_bar = "12 psi"
filter_flow_l_h = "200 gph"

[plants]
density = "Medium"
light_ppfd = 60

[cabinet]
width_cm = "20 in"
depth_cm = "15 in"
height_cm = "28 in"

[room]
volume_m3 = "1200 ft³"
air_changes_per_h = "0,5"

[prices]
currency = "USD"
refill = "25.00"
electricity_kwh = 0.17
"""


def load(tmp_path, text):
    path = tmp_path / "tank.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return Tank.load(path)


def test_every_key_is_read_in_the_units_inside(tmp_path):
    tank = load(tmp_path, FULL)
    assert tank == Tank(
        name="Invented",
        length_cm=90.0,
        width_cm=45.0,
        height_cm=44.958,
        volume_l=151.41647136,
        volume_known=True,
        temperature_c=25.0,
        timezone="America/New_York",
        water=Water(kh_dkh=pytest.approx(3.978, abs=1e-3), gh_dgh=6.0),
        day=Day(time(12, 30), time(20), time(11, 30), time(20), time(23), time.max),
        livestock=Livestock(25.0, ("fish", "shrimp")),
        target_co2_mg_l=22.0,
        rig=Rig(
            source="cylinder",
            cylinder_kg=2.26796185,
            night_air=False,
            regulator="two-stage",
            working_pressure_bar=pytest.approx(2.0, abs=1e-3),
            hose="polyurethane",
            diffuser="inline",
            count=2,
            cylinder_tare_kg=pytest.approx(3.6287, abs=1e-4),
            cylinder_water_l=3.34,
            cylinder_height_cm=45.72,
            cylinder_diameter_cm=13.3,
            outlet="cga-320",
            solenoid=True,
            solenoid_w=4.0,
            hose_length_m=1.524,
            hose_bore_mm=3.175,
            hose_wall_mm=1.6,
            counter_tip_mm=2.0,
            counter_liquid="glycerol",
            diffuser_depth_cm=35.56,
            diffuser_bar=pytest.approx(0.8274, abs=1e-4),
            filter_flow_l_h=pytest.approx(757.08, abs=0.01),
        ),
        plants=Plants("medium", 60.0),
        cabinet=Cabinet(50.8, 38.1, 71.12),
        room=Room(pytest.approx(33.98, abs=0.01), 0.5),
        prices=Prices(currency="USD", refill=25.0, electricity_kwh=0.17),
        findings=(),
    )
    assert tank.day.light == Window(time(12, 30), time(20))
    assert tank.day.gas == Window(time(11, 30), time(20))
    assert tank.air == tank.day.air
    assert tank.day.air.hours == 1.0


def test_a_name_and_a_size_are_enough(tmp_path):
    tank = load(tmp_path, '[tank]\nname = "A"\nvolume_l = 60\n')
    assert tank == Tank("A", 60.0)
    assert (tank.temperature_c, tank.timezone, tank.rig.source, tank.rig.count) == (
        25.0,
        "UTC",
        "cylinder",
        1,
    )
    assert (tank.surface_m2, tank.depth_cm, tank.depth_m) == (None, None, None)
    assert (tank.day.light, tank.day.gas, tank.day.air, tank.air) == (None, None, None, None)


def test_the_box_less_a_tenth_is_the_volume_when_none_is_given():
    box = {"name": "A", "length_cm": 60, "width_cm": 30, "height_cm": 40}
    tank = Tank.from_mapping({"tank": box})
    assert tank.volume_l == pytest.approx(0.9 * 72.0)
    assert not tank.volume_known
    assert tank.surface_m2 == pytest.approx(0.18)
    assert tank.depth_cm == pytest.approx(36.0)
    given = Tank.from_mapping({"tank": {**box, "volume_l": 54}})
    assert given.volume_known
    # the mean depth, which is what gas exchange divides by
    assert given.depth_cm == pytest.approx(30.0)
    assert given.depth_m == pytest.approx(0.30)


def test_a_height_alone_gives_the_depth():
    tank = Tank.from_mapping({"tank": {"name": "A", "volume_l": 60, "height_cm": 40}})
    assert tank.depth_cm == pytest.approx(36.0)
    assert tank.surface_m2 is None


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_ends_and_byte_order_marks_do_not_matter(tmp_path, end, mark):
    text = '[tank]\nname = "Küche 水"\nvolume_l = 60\n'.replace("\n", end)
    assert load(tmp_path, mark + text.encode()).name == "Küche 水"


def test_night_air_is_the_dark_hours_unless_air_hours_are_given():
    data = {
        "tank": {"name": "A", "volume_l": 60},
        "day": {"lights_on": "12:30", "lights_off": "20:00"},
        "rig": {"night_air": True},
    }
    assert Tank.from_mapping(data).air == Window(time(20), time(12, 30))
    data["day"] |= {"air_on": "22:00", "air_off": "06:00"}
    assert Tank.from_mapping(data).air == Window(time(22), time(6))
    del data["day"]
    assert Tank.from_mapping(data).air is None


def test_around_the_clock_and_until_midnight():
    def gas(on, off):
        day = {"gas_on": on, "gas_off": off}
        return Tank.from_mapping({"tank": {"name": "A", "volume_l": 60}, "day": day}).day.gas

    assert gas("00:00", "24:00").hours == 24.0
    assert gas("18:00", "24:00").hours == 6.0
    assert gas(time(22), time(6)).hours == 8.0


@pytest.mark.parametrize(
    ("key", "typed", "read"),
    [
        ("source", "Bottle", "cylinder"),
        ("source", "citric acid", "acid-bicarbonate"),
        ("source", "fermentation", "yeast"),
        ("source", "Cartridges", "cartridge"),
        ("regulator", "single", "single-stage"),
        ("regulator", "Two Stage", "two-stage"),
        ("hose", "PVC", "pvc"),
        ("hose", "LDPE", "polyethylene"),
        ("diffuser", "ceramic disc", "disc"),
        ("diffuser", "bubble ladder", "ladder"),
        ("diffuser", "air stone", "airstone"),
        ("diffuser", "reactor", "reactor"),
        ("outlet", "DIN 477", "din-477-6"),
        ("outlet", "W 21.8", "din-477-6"),
        ("outlet", "cga", "cga-320"),
        ("counter_liquid", "Glycerin", "glycerol"),
    ],
)
def test_trade_words_are_forgiven_their_spelling(key, typed, read):
    data = {"tank": {"name": "A", "volume_l": 60}, "rig": {key: typed}}
    assert getattr(Tank.from_mapping(data).rig, key) == read


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("shrimp", ("shrimp",)),
        ("fish, cherry shrimps", ("fish", "shrimp")),
        (["Guppies", "Bettas", "nerites"], ("fish", "labyrinth-fish", "snails")),
        (["hillstream loaches", "plecos"], ("stream-fish",)),
        (["goldfish"], ("hardy-fish",)),
        ([], ()),
        (["none"], ("none",)),
    ],
)
def test_animals_by_their_everyday_names(typed, read):
    data = {"tank": {"name": "A", "volume_l": 60}, "livestock": {"kinds": typed}}
    assert Tank.from_mapping(data).livestock.kinds == read


def test_reading_leaves_what_it_was_given_untouched():
    data = {
        "tank": {"name": "A", "length_cm": 60, "width_cm": 30, "height_cm": 40},
        "livestock": {"kinds": ["fish"]},
    }
    before = repr(data)
    Tank.from_mapping(data)
    assert repr(data) == before


def test_errors_start_with_the_name_they_are_given():
    with pytest.raises(InputError) as caught:
        Tank.from_mapping({"tank": {"name": "A", "volume_l": -1}}, where="the form")
    assert caught.value.where == "the form: [tank] volume_l"
    assert caught.value.message == "-1 is not accepted; accepted: 1 to 50000 L"


def test_a_time_with_a_zone_is_refused_where_it_stands():
    day = {"gas_on": time(8, tzinfo=UTC), "gas_off": time(9)}
    with pytest.raises(InputError) as caught:
        Tank.from_mapping({"tank": {"name": "A", "volume_l": 60}, "day": day})
    assert caught.value.where == "tank.toml: [day] gas_on"


def test_a_tank_can_be_a_key_and_cannot_be_changed():
    tank = Tank("A", 60.0)
    assert {tank: 1}[Tank("A", 60.0)] == 1
    with pytest.raises(AttributeError):
        tank.volume_l = 50.0  # type: ignore[misc]
