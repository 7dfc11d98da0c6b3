import math
import re
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from leafgill.advise.emergency import NOT_TO_DO
from leafgill.answer.card import IN_DANGER, card_of
from leafgill.diary import Diary, Entry
from leafgill.tank.spec import Tank

NOW = datetime(2025, 3, 8, 12, 0, tzinfo=ZoneInfo("Europe/Berlin"))


def tank(**sections):
    base = {"tank": {"name": "Den", "volume_l": 60.0, "timezone": "Europe/Berlin"}}
    return Tank.from_mapping({**base, **sections})


def diary(*rows):
    return Diary([Entry(*row) for row in rows]).localised("Europe/Berlin")


def test_the_diary_wins_over_the_description_and_the_future_is_not_in_force():
    described = tank(
        day={"gas_on": "08:00", "gas_off": "17:00", "lights_on": "10:00", "lights_off": "18:00"},
        water={"kh_dkh": 5.0},
    )
    kept = diary(
        ("2025-03-04T08:00", "gas_day", "08:30-17:30"),
        ("2025-03-04T08:00", "kh", "4", "dKH"),
        ("2025-03-05T08:00", "bubble_rate", "1.5", "per s"),
        ("2025-03-09T08:00", "bubble_rate", "3", "per s"),
        ("2025-03-06T08:00", "working_pressure", "2.1", "bar"),
    )
    card = card_of(described, kept, NOW)
    settings, about = dict(card.settings), dict(card.about)
    assert settings["Gas"] == "08:30-17:30"
    assert settings["Light"] == "10:00-18:00"
    assert settings["Extra air"] == ""
    assert settings["Needle valve"] == "1.5 bubbles/s, set 5 March 2025"
    assert settings["Working pressure"] == "2.1 bar"
    assert about["KH"] == "4 dKH, 4 March 2025"


def test_limits_are_those_of_the_animals():
    card = card_of(tank(livestock={"kinds": ["shrimp"]}), diary(), NOW)
    assert card.limits == (
        ("CO2 to aim at", "20 mg/L"),
        ("CO2 never over", "25 mg/L"),
        ("Oxygen never under", "5 mg/L"),
    )
    # without a KH nobody can say what pH that is
    assert dict(card.about)["Animals"] == "shrimp"


def test_in_danger_the_gas_is_shut_before_anything_is_read():
    assert "Shut the gas" in IN_DANGER[0]
    assert "surface" in IN_DANGER[1]
    assert "30 %" in IN_DANGER[2]
    assert "read" not in " ".join(IN_DANGER[:3])


def test_a_door_that_hides_a_cylinder_tells_of_the_room():
    small = card_of(tank(rig={"cylinder_kg": 2.0}, room={"volume_m3": 20.0}), diary(), NOW)
    assert "If all 2 kg escape into a closed room of 20 m³" in small.people[0]
    assert any("upright" in line for line in small.people)
    yeast = card_of(tank(rig={"source": "yeast"}), diary(), NOW)
    assert len(yeast.people) == 1
    assert "ventilated" in yeast.people[0]


def test_what_the_instruments_show_at_aim_and_limit_by_the_kh_last_known():
    """CO2 = 3 KH 10^(7-pH), the trade's rule, is within some hundredths of the equilibrium."""
    card = card_of(tank(water={"kh_dkh": 8.0}), diary(("2025-03-04T08:00", "kh", "4", "dKH")), NOW)
    limits = dict(card.limits)
    for what, level in (("pH at the aim", 24.0), ("pH at the limit", 30.0)):
        middle, low, high = map(float, re.findall(r"\d\.\d\d", limits[what]))
        assert middle == pytest.approx(7.0 - math.log10(level / 12.0), abs=0.06)
        assert low < middle < high
        assert high - low == pytest.approx(math.log10(4.5 / 3.5), abs=0.01)
    assert limits["Drop checker at the aim"] == "green, 4 dKH in it"


def test_no_ph_where_the_kh_is_less_than_a_drop():
    card = card_of(tank(water={"kh_dkh": 0.4}), diary(), NOW)
    assert len(card.limits) == 3


def test_what_not_to_do_is_short_on_the_card_and_work_is_as_given():
    card = card_of(tank(), diary(), NOW, (("Clean the diffuser", "every 28 days"),))
    assert len(card.not_to_do) == 4
    assert set(card.not_to_do) < set(NOT_TO_DO)
    assert any("open the gas again" in line for line in card.not_to_do)
    assert card.work == (("Clean the diffuser", "every 28 days"),)
