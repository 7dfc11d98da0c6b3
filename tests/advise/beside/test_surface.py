"""More or less surface movement, as notes beside a step."""

from dataclasses import replace

import numpy as np
import pytest

from leafgill.advise.beside.settled_day import SettledDay
from leafgill.advise.beside.surface import less_at_night, less_by_day, more_at_night
from leafgill.advise.case import case_of
from leafgill.tank.schedule import NEVER

STRONG = {"exchange": 1.0, "bubble_mass": 2.05}


def figures(note):
    return {one.name: one.value for one in note.figures}


@pytest.fixture(scope="module")
def strong(settled):
    return settled("08:30-17:00", shift=STRONG)


def test_a_third_less_of_a_strong_surface_saves_about_a_third(strong, around):
    note = less_by_day(around(strong))
    said, day = figures(note), SettledDay.of(around(strong))
    used = (day.gas_g_h * day.gas.hours).mean()
    assert 0.22 < said["gas_saved_a_day"].mean / used < 0.36
    assert said["gas_saved_a_day"].low > 0.0
    assert said["o2_min_then"].mean < said["o2_min_now"].mean
    assert said["chance_low_o2_then"] <= 0.01
    # nearly half as much CO2 again if the valve stayed
    now = float(day.as_it_is.lit_co2.mean())
    assert 1.2 < said["co2_with_the_valve_as_it_is"].mean / now < 1.5
    assert "close the valve first" in note.text


def test_a_calm_surface_or_short_oxygen_gives_no_such_note(settled, around, strong):
    assert less_by_day(around(settled())) is None
    from_tank = settled("08:30-17:00", shift={**STRONG, "respiration": 4.0})
    short = SettledDay.of(around(from_tank))
    assert short is not None and less_by_day(around(from_tank)) is None


def test_it_is_said_only_where_nothing_is_changed(strong, advised, settled):
    step = advised(strong)
    assert step.action in ("hold", "leave")
    assert [note.about for note in step.beside if note.about == "surface"] == ["surface"]
    moved = advised(settled("09:00-17:00", shift=STRONG))
    assert moved.action == "hours"
    assert not [note for note in moved.beside if note.about == "surface"]


def test_more_at_night_where_oxygen_falls_short(settled, held):
    shift = {"exchange": -1.6, "respiration": 2.2}
    hold = held(settled(shift=shift, width=0.3))
    least = hold.situation.limits.o2_min_mg_l
    chance = float(np.mean(hold.least_o2 < least))
    assert chance > 0.01
    said = figures(more_at_night(hold))
    assert said["chance_low_o2_now"] == chance > said["chance_low_o2_then"]
    assert said["o2_min_then"].mean > said["o2_min_now"].mean + 0.3


def test_no_more_at_night_where_there_is_enough(settled, held):
    assert more_at_night(held(settled())) is None


def test_air_at_night_may_rest_where_oxygen_is_safe_without(settled, held, around):
    told = settled("07:00-17:00", (1.0, "air_day", "18:00-10:00"))
    note = less_at_night(held(told))
    said = figures(note)
    assert said["co2_at_lights_on_then"].mean > said["co2_at_lights_on_now"].mean
    assert said["o2_min_then"].mean >= around(told).limits.o2_min_mg_l
    assert "18:00-10:00" in note.text
    assert less_at_night(held(settled())) is None


def test_air_that_is_needed_does_not_rest(settled, held):
    shift = {"exchange": -1.6, "respiration": 2.2}
    told = settled("07:00-17:00", (1.0, "air_day", "18:00-10:00"), shift=shift, width=0.3)
    assert less_at_night(held(told)) is None


def test_air_does_not_rest_where_a_single_draw_would_fall_short(settled, held):
    """One draw in 120 keeps rule 1, but a note is no reason to come near it."""
    air = (1.0, "air_day", "18:00-10:00")
    hold = held(settled("07:00-17:00", air, count=120))
    still = case_of(replace(hold.situation, extra_air=NEVER), None)
    lowest, next_ = np.sort(still.least_o2)[:2]
    for least, rests in ((0.5 * (lowest + next_), False), (lowest - 1e-6, True)):
        limits = replace(hold.situation.limits, o2_min_mg_l=float(least))
        asked = replace(hold, situation=replace(hold.situation, limits=limits))
        assert (less_at_night(asked) is not None) == rests
