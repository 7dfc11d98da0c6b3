import numpy as np
import pytest

from leafgill.advise.balance.grid import Grid
from leafgill.advise.balance.habits import Event

DAY = 86400.0
NOW = 1_741_000_000.0


def test_steps_begin_where_something_is_done_and_count_days_from_now():
    events = [
        Event(NOW - 2.5 * DAY, 0.4, 0.0, {}),
        Event(NOW - 2.5 * DAY + 5.0, 0.0, 0.0, {"nitrate": 3.0}),
        Event(NOW - 1.25 * DAY, 0.0, 0.0, {"nitrate": 2.0, "iron": 0.1}),
    ]
    grid = Grid.of(NOW - 4.0 * DAY, NOW, NOW, events)
    assert grid.edges_s[0] == NOW - 4.0 * DAY
    assert grid.edges_s[-1] == NOW
    assert grid.dt_day.max() <= 1.0
    assert grid.dt_day.sum() == pytest.approx(4.0)
    at = int(np.argmax(grid.part))
    assert grid.part[at] == 0.4
    # a dose of the same minute falls in after the change
    assert grid.adds("nitrate")[at] == 3.0
    assert grid.adds("nitrate").sum() == 5.0
    assert grid.adds("iron").sum() == pytest.approx(0.1)
    assert list(grid.day[[0, -1]]) == [-4.0, -1.0]
    assert set(grid.week) == {-1.0}


def test_two_changes_at_once_are_one_larger_one():
    events = [Event(NOW + DAY, 0.5, 0.0, {}), Event(NOW + DAY + 10.0, 0.5, 1.0, {})]
    grid = Grid.of(NOW, NOW + 3.0 * DAY, NOW, events)
    assert grid.part.max() == pytest.approx(0.75)
    assert (grid.part > 0.0).sum() == 1


def test_a_look_sees_what_is_there_before_anything_is_done():
    event = Event(NOW + DAY, 0.5, 0.0, {})
    grid = Grid.of(NOW, NOW + 3.0 * DAY, NOW, [event], [NOW + DAY, NOW + DAY + 3600.0])
    course = np.where(grid.edges_s > NOW + DAY, 5.0, 10.0)[None, :]
    assert grid.at(course, NOW + DAY)[0] == 10.0
    assert grid.at(course, NOW + DAY + 3600.0)[0] == 5.0


def test_what_lies_outside_is_left_out():
    events = [Event(NOW - DAY, 0.5, 0.0, {}), Event(NOW + 9.0 * DAY, 0.5, 0.0, {})]
    grid = Grid.of(NOW, NOW + 3.0 * DAY, NOW, events)
    assert not grid.part.any()
