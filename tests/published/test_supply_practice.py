"""A cylinder's life as common practice has it, against what `supply` makes of the same words."""

from datetime import datetime

import pytest

from leafgill.advise.supply import supply
from leafgill.diary import Diary, Entry
from leafgill.tank.spec import Tank

# Common practice, no source: a 151 L (40 US gal) tank at 4 to 6 bubbles a second for about ten
# hours a day emptied a 20 lb (9.1 kg) cylinder in a bit more than a year.
A_BIT_MORE_THAN_A_YEAR = (375.0, 430.0)


@pytest.mark.parametrize("rate", [4.0, 5.0, 6.0])
def test_the_twenty_pound_cylinder(rate):
    tank = Tank.from_mapping(
        {
            "tank": {"name": "Heard of", "volume_l": "40 gal"},
            "day": {"lights_on": "10:00", "lights_off": "19:00"},
            "rig": {"cylinder_kg": "20 lb"},
        }
    )
    begin = datetime(2025, 1, 6, 8)
    diary = Diary(
        [
            Entry(begin, "care", "cylinder refilled"),
            Entry(begin, "gas_day", "09:00-19:00"),
            Entry(begin, "bubble_rate", rate),
        ]
    )
    days = supply(tank, diary, begin).days
    low, high = A_BIT_MORE_THAN_A_YEAR
    assert days.low < low and high < days.high
    # and not by being as wide as the world: within a factor of five either way of the middle
    assert days.low > days.value / 5.0 and days.high < days.value * 5.0
