import tomllib
from dataclasses import fields, replace
from datetime import time

from hypothesis import given
from hypothesis import strategies as st

from leafgill.science.salts import SALTS
from leafgill.tank.bottle import LABELLED, Bottle
from leafgill.tank.fields import FIELDS
from leafgill.tank.spec import Cabinet, Day, Livestock, Plants, Prices, Rig, Room, Tank, Water
from leafgill.tank.spec_balance import Feeding, Lamp, Salts, Tap, WaterChanges
from leafgill.tank.writing import to_toml


def number(section, key):
    low, high = FIELDS[section][key].accepted
    return st.floats(low, high)


def maybe(strategy):
    return st.none() | strategy


def any_of(field):
    """Return a strategy for what a key may hold, as it is held."""
    if field.sort == "number":
        return st.floats(*field.accepted)
    if field.sort == "whole":
        return st.integers(*map(int, field.accepted))
    return {"word": st.sampled_from(field.choices or ["-"]), "truth": st.booleans()}.get(
        field.sort, names
    )


def part(kind, section):
    """Return a strategy for a part of the tank, its unknown keys left out."""
    return st.builds(
        kind,
        **{
            key: maybe(any_of(field)) if field.default == "unknown" else any_of(field)
            for key, field in FIELDS[section].items()
        },
    )


def can_hold(rig):
    """Whether a cylinder holds its charge; one that cannot is refused."""
    if rig.source != "cylinder" or rig.cylinder_kg is None or rig.cylinder_water_l is None:
        return True
    return 0.25 <= rig.cylinder_kg / rig.cylinder_water_l <= 1.0


def word(section, key):
    return st.sampled_from(FIELDS[section][key].choices)


times = st.builds(
    time,
    st.integers(0, 23),
    st.integers(0, 59),
    st.integers(0, 59),
    st.sampled_from([0, 0, 250_000]),
)
pairs = st.one_of(st.just((None, None)), st.tuples(times, times | st.just(time.max)))
names = st.text(st.characters(codec="utf-8"), min_size=1, max_size=80).filter(
    lambda text: text.isprintable() and text == " ".join(text.split()) and text
)
labels = st.dictionaries(st.sampled_from(list(LABELLED)), st.floats(1e-3, 400.0), max_size=3)
weights = st.dictionaries(st.sampled_from(list(SALTS)), st.floats(1e-3, 100.0), max_size=3)
bottles = st.builds(
    lambda name, volume, salts, label: Bottle(
        name, volume if salts else None, tuple(salts.items()), tuple(label.items())
    ),
    st.text("abcdefghij klm", min_size=1, max_size=20).filter(
        lambda text: text == " ".join(text.split()) and text
    ),
    st.floats(100.0, 1000.0),
    weights,
    labels,
).filter(lambda bottle: bottle.salts_g or bottle.holds_g_l)
keepers = st.builds(
    Salts,
    st.lists(st.sampled_from(list(SALTS)), unique=True).map(tuple),
    st.lists(bottles, max_size=3, unique_by=lambda bottle: bottle.name).map(tuple),
)
tanks = st.builds(
    Tank,
    name=names,
    volume_l=number("tank", "volume_l"),
    temperature_c=number("tank", "temperature_c"),
    timezone=st.sampled_from(["UTC", "Europe/Berlin", "Australia/Lord_Howe"]),
    water=st.builds(Water, maybe(number("water", "kh_dkh")), maybe(number("water", "gh_dgh"))),
    day=st.builds(lambda a, b, c: Day(*a, *b, *c), pairs, pairs, pairs),
    livestock=st.builds(
        Livestock,
        maybe(number("livestock", "co2_limit_mg_l")),
        st.lists(word("livestock", "kinds").filter(lambda kind: kind != "none"), unique=True).map(
            tuple
        ),
    ),
    target_co2_mg_l=maybe(number("target", "co2_mg_l")),
    rig=part(Rig, "rig").filter(can_hold),
    plants=part(Plants, "plants"),
    lamp=part(Lamp, "lamp"),
    tap=part(Tap, "tap"),
    feeding=part(Feeding, "feeding"),
    water_change=part(WaterChanges, "water_change"),
    salts=keepers,
    cabinet=part(Cabinet, "cabinet"),
    room=part(Room, "room"),
    prices=part(Prices, "prices"),
)


@given(tanks)
def test_a_tank_is_read_as_it_was_written(tank):
    again = Tank.from_mapping(tomllib.loads(to_toml(tank)))
    assert replace(again, findings=()) == tank


def test_a_box_stays_a_box():
    box = {"name": "A", "length_cm": 60, "width_cm": 30, "height_cm": 40}
    tank = Tank.from_mapping({"tank": box})
    assert "volume_l" not in to_toml(tank)
    assert Tank.from_mapping(tomllib.loads(to_toml(tank))) == tank


def test_what_is_not_known_is_not_written():
    assert to_toml(Tank("A", 60.0)) == (
        '[tank]\nname = "A"\nvolume_l = 60.0\ntemperature_c = 25.0\ntimezone = "UTC"\n\n'
        '[rig]\nsource = "cylinder"\nnight_air = false\ncount = 1\n'
    )


def test_every_part_of_a_tank_has_its_keys_in_the_table():
    parts = {"water": Water, "day": Day, "livestock": Livestock, "rig": Rig, "plants": Plants}
    parts |= {"lamp": Lamp, "tap": Tap, "feeding": Feeding, "water_change": WaterChanges}
    parts |= {"salts": Salts, "cabinet": Cabinet, "room": Room, "prices": Prices}
    for section, part in parts.items():
        assert [field.name for field in fields(part)] == list(FIELDS[section])
