"""Checked against a slow walk through the minutes, each asked of the zone's clock."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.errors import InputError
from leafgill.tank.schedule import (
    Window,
    fraction_on,
    is_on,
    next_off,
    next_on,
    on_spans,
    open_hours,
    open_spans,
    parse_window,
    period_at,
    phase,
    window_in_force,
)

MIDDAY = parse_window("08:30-17:30")
ALWAYS = parse_window("00:00-24:00")
# Days on which each zone's clock goes forward, back, or is left alone.
DAYS = [
    ("Europe/Berlin", datetime(2024, 3, 31)),
    ("Europe/Berlin", datetime(2024, 10, 27)),
    ("America/New_York", datetime(2024, 3, 10)),
    ("America/New_York", datetime(2024, 11, 3)),
    ("Australia/Lord_Howe", datetime(2024, 10, 6)),
    ("Australia/Lord_Howe", datetime(2024, 4, 7)),
    ("UTC", datetime(2024, 2, 29)),
    ("Asia/Kathmandu", datetime(2024, 12, 31)),
]
HOURS = ["08:30-17:30", "22:00-06:15", "01:30-02:45", "02:10-02:20", "00:00-24:00", "23:59-00:01"]


def slow_state(at_s, changes, timezone):
    """Is it on? By the window of the last change and the clock on the wall."""
    window = None
    for since_s, new in sorted(changes, key=lambda change: change[0]):
        if since_s <= at_s:
            window = new
    if window is None:
        return False
    wall = datetime.fromtimestamp(at_s, ZoneInfo(timezone)).replace(tzinfo=None).time()
    if window.on <= window.off:
        return window.on <= wall < window.off
    return wall >= window.on or wall < window.off


def slow_fraction(edges, changes, timezone):
    """Mean over each step's minutes; exact while all turns are on whole minutes."""
    minutes = np.arange(edges[0], edges[-1], 60)
    on = np.array([slow_state(m + 30, changes, timezone) for m in minutes.tolist()], dtype=float)
    total = np.concatenate(([0.0], np.cumsum(on)))
    at = (edges - edges[0]) // 60
    return np.diff(total[at]) / np.diff(at)


def around(day, timezone, days=2.0):
    middle = day.replace(hour=12, tzinfo=ZoneInfo(timezone)).timestamp()
    return int(middle - days * 86400), int(middle + days * 86400)


@pytest.mark.parametrize("hours", HOURS)
@pytest.mark.parametrize(("timezone", "day"), DAYS)
@pytest.mark.parametrize("step_min", [1, 7, 60])
def test_fraction_through_clock_changes(timezone, day, hours, step_min):
    start, end = around(day, timezone)
    edges = np.arange(start, end, step_min * 60)
    changes = [(start - 1e6, parse_window(hours))]
    on = fraction_on(edges, changes, timezone)
    np.testing.assert_allclose(on, slow_fraction(edges, changes, timezone), atol=1e-9)
    assert on.sum() > 0.0 or hours == "02:10-02:20"


minute_windows = st.builds(
    Window,
    st.builds(time, st.integers(0, 23), st.sampled_from([0, 1, 30, 59])),
    st.builds(time, st.integers(0, 23), st.sampled_from([0, 1, 30, 59])),
)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(DAYS),
    st.lists(
        st.tuples(
            st.integers(-3 * 1440, 3 * 1440),
            st.one_of(st.none(), minute_windows, st.just(ALWAYS)),
        ),
        max_size=5,
    ),
    st.integers(1, 200),
)
def test_fraction_with_any_changes(place, turns, step_min):
    timezone, day = place
    start, end = around(day, timezone, 1.5)
    changes = [(float(start + 60 * minute), window) for minute, window in turns]
    edges = np.arange(start, end, step_min * 60)
    np.testing.assert_allclose(
        fraction_on(edges, changes, timezone),
        slow_fraction(edges, changes, timezone),
        atol=1e-9,
    )


def test_a_change_takes_effect_from_its_moment_in_the_middle_of_a_step():
    at = datetime(2024, 5, 1, 12, tzinfo=UTC).timestamp()
    edges = np.array([at - 600, at + 600, at + 1200])
    on = [(at - 1e5, MIDDAY), (at, None)]
    off = [(at - 1e5, None), (at, MIDDAY)]
    assert fraction_on(edges, on, "UTC").tolist() == [0.5, 0.0]
    assert fraction_on(edges, off, "UTC").tolist() == [0.5, 1.0]
    # the order of the list decides nothing but between changes at one moment
    assert fraction_on(edges, on[::-1], "UTC").tolist() == [0.5, 0.0]
    assert fraction_on(edges, [(at, None), (at, MIDDAY)], "UTC").tolist() == [0.5, 1.0]
    assert fraction_on(edges, [(at, MIDDAY), (at, None)], "UTC").tolist() == [0.0, 0.0]


def test_seconds_count():
    at = datetime(2024, 5, 1, 8, 30, tzinfo=UTC).timestamp()
    window = Window(time(8, 30, 15), time(8, 30, 45, 500_000))
    on = fraction_on(np.array([at, at + 60.0]), [(0.0, window)], "UTC")
    assert on.tolist() == pytest.approx([30.5 / 60.0])


def test_nothing_is_on_without_a_change_or_with_an_empty_window():
    edges = np.arange(0, 86400 * 2, 3600)
    assert not fraction_on(edges, [], "UTC").any()
    assert not fraction_on(edges, [(0.0, None)], "UTC").any()
    assert not fraction_on(edges, [(0.0, Window(time(8), time(8)))], "UTC").any()
    assert not fraction_on(edges, [(1e12, ALWAYS)], "UTC").any()


def test_around_the_clock_is_one_unbroken_stretch_through_a_clock_change():
    start, end = around(datetime(2024, 10, 27), "Europe/Berlin")
    assert on_spans(start, end, [(0.0, ALWAYS)], "Europe/Berlin") == [(start, end)]
    assert (fraction_on(np.arange(start, end, 60), [(0.0, ALWAYS)], "Europe/Berlin") == 1.0).all()


def test_shapes_and_faults():
    changes = [(0.0, MIDDAY)]
    assert fraction_on(np.arange(5) * 60, changes, "UTC").shape == (4,)
    assert fraction_on(np.array([60]), changes, "UTC").shape == (0,)
    assert fraction_on(np.array([], dtype=np.int64), changes, "UTC").shape == (0,)
    assert open_hours(np.array([60]), changes, "UTC").shape == (0,)
    assert phase(np.array([60]), changes, "UTC").shape == (0,)
    with pytest.raises(ValueError, match="increase"):
        fraction_on(np.array([0, 60, 60]), changes, "UTC")
    with pytest.raises(ValueError, match="shape"):
        fraction_on(np.zeros((2, 2)), changes, "UTC")
    with pytest.raises(InputError, match="did you mean Europe/Berlin"):
        fraction_on(np.arange(3), changes, "Europe/Berln")


def test_a_fortnight_in_one_minute_steps_adds_up():
    # nine hours a day, and the clock change lies outside them
    start = int(datetime(2024, 3, 24, 0, tzinfo=ZoneInfo("Europe/Berlin")).timestamp())
    edges = start + 60 * np.arange(20161)
    on = fraction_on(edges, [(0.0, MIDDAY)], "Europe/Berlin")
    assert on.shape == (20160,)
    assert on.sum() == pytest.approx(14 * 9 * 60)


@pytest.mark.parametrize("hours", HOURS)
@pytest.mark.parametrize(("timezone", "day"), DAYS)
def test_next_turns_are_those_a_walk_through_the_minutes_meets(timezone, day, hours):
    window = parse_window(hours)
    start, end = around(day, timezone, 1.0)
    walk = np.arange(start, end + 3 * 86400, 60)
    state = np.array([slow_state(m, [(0.0, window)], timezone) for m in walk.tolist()])
    turns_on = walk[1:][~state[:-1] & state[1:]]
    turns_off = walk[1:][state[:-1] & ~state[1:]]
    for now_s in range(start, end, 3 * 3600 + 1020):
        now = datetime.fromtimestamp(now_s, UTC)
        for found, turns in (
            (next_on(now, window, timezone), turns_on),
            (next_off(now, window, timezone), turns_off),
        ):
            later = turns[turns > now_s]
            assert (found.timestamp() if found else None) == (later[0] if later.size else None)
            assert found is None or found.tzinfo is ZoneInfo(timezone)
        assert is_on(now, window, timezone) == slow_state(now_s, [(0.0, window)], timezone)
        period = period_at(now, window, timezone)
        if period:
            assert period[0] <= now < period[1]
            assert period[1] == next_off(now, window, timezone)
            assert next_on(period[0] - timedelta(seconds=1), window, timezone) == period[0]
        else:
            assert hours == "00:00-24:00" or not is_on(now, window, timezone)


def test_a_turn_is_after_its_own_moment():
    at = datetime(2024, 5, 1, 8, 30, tzinfo=UTC)
    assert next_on(at, MIDDAY, "UTC") == at + timedelta(days=1)
    assert next_on(at - timedelta(seconds=1), MIDDAY, "UTC") == at
    assert next_off(at, MIDDAY, "UTC") == at + timedelta(hours=9)
    assert is_on(at, MIDDAY, "UTC")
    assert period_at(at, MIDDAY, "UTC") == (at, at + timedelta(hours=9))
    assert period_at(at + timedelta(hours=9), MIDDAY, "UTC") is None
    assert not is_on(at + timedelta(hours=9), MIDDAY, "UTC")


def test_the_hour_that_is_skipped_holds_no_turn():
    # 02:10 to 02:20 does not exist on the last Sunday of March: the next is on Monday
    now = datetime(2024, 3, 31, 0, tzinfo=ZoneInfo("Europe/Berlin"))
    window = parse_window("02:10-02:20")
    assert next_on(now, window, "Europe/Berlin").isoformat() == "2024-04-01T02:10:00+02:00"
    # and one that reaches out of it begins when the clock has jumped
    reaching = parse_window("02:10-03:20")
    assert next_on(now, reaching, "Europe/Berlin").isoformat() == "2024-03-31T03:00:00+02:00"


def test_the_hour_that_comes_twice_turns_twice():
    now = datetime(2024, 10, 27, 0, tzinfo=ZoneInfo("Europe/Berlin"))
    window = parse_window("02:10-02:20")
    first = next_on(now, window, "Europe/Berlin")
    second = next_on(first, window, "Europe/Berlin")
    assert first.isoformat() == "2024-10-27T02:10:00+02:00"
    assert second.isoformat() == "2024-10-27T02:10:00+01:00"


@pytest.mark.parametrize("window", [None, Window(time(8), time(8)), ALWAYS])
def test_what_never_turns_has_no_next(window):
    now = datetime(2024, 5, 1, 8, 30, tzinfo=UTC)
    assert next_on(now, window, "Europe/Berlin") is None
    assert next_off(now, window, "Europe/Berlin") is None
    assert period_at(now, window, "Europe/Berlin") is None


def test_a_moment_without_a_zone_is_refused():
    for ask in (next_on, next_off, is_on, period_at):
        with pytest.raises(ValueError, match="no zone"):
            ask(datetime(2024, 5, 1), MIDDAY, "UTC")


def test_the_window_in_force():
    evening = parse_window("18:00-22:00")
    changes = [(200.0, None), (100.0, MIDDAY), (200.0, evening), (300.0, None)]
    assert window_in_force(changes, 99.0) is None
    assert window_in_force(changes, 100.0) == MIDDAY
    assert window_in_force(changes, 250.0) == evening
    assert window_in_force(changes, datetime.fromtimestamp(300, UTC)) is None
    assert window_in_force([], 0.0) is None


def test_stretches_know_where_they_begin_outside():
    at = datetime(2024, 5, 1, 12, tzinfo=UTC).timestamp()
    (stretch,) = open_spans(at, at + 3600.0, [(0.0, MIDDAY)], "UTC")
    assert stretch == (at, at + 3600.0, at - 3.5 * 3600, at + 5.5 * 3600)
    # hours that change while it is on make one stretch, from the first opening to the last close
    changes = [(0.0, MIDDAY), (at + 60.0, parse_window("10:00-20:00"))]
    (stretch,) = open_spans(at, at + 3600.0, changes, "UTC")
    assert stretch[2:] == (at - 3.5 * 3600, at + 8 * 3600)


def test_open_hours_run_from_the_opening():
    eight = datetime(2024, 5, 1, 8, tzinfo=UTC).timestamp()
    edges = eight + 1800.0 * np.arange(5)
    changes = [(0.0, parse_window("08:15-09:45"))]
    # 08:30 0.25 h after the opening, ... and in the last step it closes at 09:45
    assert open_hours(edges, changes, "UTC").tolist() == [0.25, 0.75, 1.25, 1.5]
    # the opening may lie before the first edge
    assert open_hours(edges[2:], changes, "UTC").tolist() == [1.25, 1.5]
    later = edges + 86400.0 / 2
    assert open_hours(later, changes, "UTC").tolist() == [0.0] * 4
    # two openings in one long step: the later counts
    twice = [(0.0, parse_window("08:15-08:45")), (eight + 3600, parse_window("09:15-10:00"))]
    assert open_hours(np.array([eight, eight + 7000.0]), twice, "UTC") == pytest.approx(
        (7000.0 - 4500.0) / 3600.0
    )
    # gas that opens because the hours changed has been open since the change
    opened = [(0.0, None), (eight + 3600, parse_window("06:00-12:00"))]
    assert open_hours(edges, opened, "UTC").tolist() == [0.0, 0.0, 0.5, 1.0]


def test_phase_is_the_part_gone_by():
    eight = datetime(2024, 5, 1, 8, tzinfo=UTC).timestamp()
    edges = eight + 3600.0 * np.arange(6)
    assert phase(edges, [(0.0, parse_window("09:00-13:00"))], "UTC").tolist() == [
        0.0,
        0.125,
        0.375,
        0.625,
        0.875,
    ]
    assert not phase(edges, [(0.0, ALWAYS)], "UTC").any()
    night = phase(eight + 3600.0 * np.arange(25), [(0.0, parse_window("22:00-06:00"))], "UTC")
    assert night[14:22].tolist() == pytest.approx(((np.arange(8) + 0.5) / 8).tolist())
    assert not night[:14].any()
    assert not night[22:].any()
