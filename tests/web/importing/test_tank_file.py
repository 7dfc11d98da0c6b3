import pytest

from leafgill.errors import InputError
from leafgill.tank.spec import Tank
from leafgill.web.forms.habits import Habits
from leafgill.web.importing.tank_file import differences, read_file

NOW = Tank.from_mapping(
    {"tank": {"name": "Den", "volume_l": 60.0}, "water": {"kh_dkh": 4.0}, "rig": {"solenoid": True}}
)


def test_differences_are_told_in_words_in_the_order_of_the_file():
    new = read_file(
        b'[tank]\nname = "Den"\nvolume_l = 70\ntemperature_c = 24\n[rig]\nsolenoid = true\n'
        b'[livestock]\nkinds = ["shrimp"]\n',
        "t.toml",
    )
    assert differences(NOW, new, Habits()) == [
        ("Water in it", "60 L", "70 L"),
        ("Usual temperature", "25 °C", "24 °C"),
        ("Carbonate hardness (KH)", "4 dKH", ""),
        ("Animals", "", "shrimp"),
    ]
    assert differences(NOW, NOW, Habits()) == []
    assert differences(NOW, new, Habits("us"))[1] == ("Usual temperature", "77 °F", "75.2 °F")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"[tank]\nname = 'x'\nvolume_l = 0\n", r"t\.toml: \[tank\] volume_l"),
        (b"[tank\n", r"t\.toml line 1"),
        (b"time,ph\n", "is a diary or a probe file"),
        (b"\xff\xfe\x00", "UTF-8"),
        (b"a" * 1_000_001, "larger than 1 MB"),
    ],
)
def test_what_is_no_tank_file_is_refused_in_one_line(data, words):
    with pytest.raises(InputError, match=words):
        read_file(data, "t.toml")
