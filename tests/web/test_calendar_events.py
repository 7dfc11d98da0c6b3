"""What of a tank is planned, and for when."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from leafgill.web.calendar_events import WATER_CHANGE, Care, Planned, planned

HERE = ZoneInfo("Europe/Berlin")
# nearly midnight by the tank's clock, and the day before by UTC's
NOW = datetime(2025, 3, 9, 0, 10, tzinfo=HERE)
MADE = datetime(2025, 3, 8, 23, 0, tzinfo=UTC)
DAY = timedelta(days=1)


def of(payload=None, tasks=(), now=NOW):
    return {plan.key: plan for plan in planned(tasks, payload or {}, MADE, now)}


def care(every_days=7, last_done=NOW - 3 * DAY, **changes):
    told = {"number": 4, "what": "Trim the plants", "note": ""} | changes
    return Care(every_days=every_days, last_done=last_done, **told)


def look(at, **said):
    return {"step": {"look_at": at}, "said": said}


def test_of_a_tank_without_anything_nothing_is_planned():
    assert of() == {}
    assert planned([], {}, None, NOW) == []


def test_the_next_look_has_its_time_and_what_to_read():
    follows = [["Read then", "pH by the electrode"], ["Expect", "pH 6.87"]]
    told = look(
        "2025-03-09T12:10:00+01:00", what_to_do="Raise the gas: 1.6 bubbles/s", what_follows=follows
    )
    assert of(told) == {
        "look": Planned(
            "look",
            datetime(2025, 3, 9, 12, 10, tzinfo=HERE),
            "Look again",
            "Raise the gas: 1.6 bubbles/s\nRead then: pH by the electrode\nExpect: pH 6.87",
            MADE,
        )
    }
    assert of(told)["look"].is_moment


def test_a_look_of_yesterday_is_none_any_more():
    assert "look" in of(look("2025-03-08T12:30:00+01:00"))
    assert of(look("2025-03-08T12:00:00+01:00")) == {}
    assert of(look(None)) == {}
    assert of({"step": None}) == {}


def test_care_is_for_the_day_it_is_due():
    plan = of(tasks=[care()])["care-4"]
    assert plan.begins == date(2025, 3, 13)
    assert not plan.is_moment
    assert plan.title == "Trim the plants"
    assert plan.words == "Due in 4 days, Thu 13 Mar"
    assert plan.known_at == NOW - 3 * DAY


def test_the_day_is_one_of_the_tanks_clock():
    last = datetime(2025, 3, 5, 23, 30, tzinfo=UTC)
    assert of(tasks=[care(last_done=last)])["care-4"].begins == date(2025, 3, 13)


def test_what_is_overdue_or_was_never_done_is_for_today():
    plan = of(tasks=[care(last_done=NOW - 10 * DAY, note="the left corner")])["care-4"]
    assert (plan.begins, plan.words) == (date(2025, 3, 9), "Overdue by 3 days\nthe left corner")
    plan = of(tasks=[care(last_done=None)])["care-4"]
    assert (plan.begins, plan.words) == (date(2025, 3, 9), "Not done yet; do it when you can")


def test_what_the_diary_tells_of_a_task_counts_as_well_as_its_tick():
    told = (NOW - DAY).isoformat()
    jobs = {"care": {"Trim the plants": {"last_done": told, "called_for": "The light is less."}}}
    plan = of(jobs, [care()])["care-4"]
    assert plan.begins == date(2025, 3, 15)
    assert plan.words.endswith("\nThe light is less.")
    jobs["care"]["Trim the plants"]["last_done"] = None
    assert of(jobs, [care()])["care-4"].begins == date(2025, 3, 13)


CHANGE = {"last_done": "2025-03-04T10:00:00+01:00", "days": 7, "grounds": "As you have done it."}


def test_the_next_water_change_is_told_by_the_record():
    plan = of({"care": {WATER_CHANGE: CHANGE}})["water-change"]
    assert plan.begins == date(2025, 3, 11)
    assert plan.words == "Due in 2 days, Tue 11 Mar\nAs you have done it."


def test_where_a_task_is_kept_for_it_it_is_there_once():
    found = of({"care": {WATER_CHANGE: CHANGE}}, [care(what=WATER_CHANGE)])
    assert list(found) == ["care-4"]
    assert found["care-4"].begins == date(2025, 3, 13)


def test_without_a_change_in_the_record_none_is_planned():
    assert of({"care": {WATER_CHANGE: CHANGE | {"last_done": None}}}) == {}


def test_the_words_of_a_task_are_those_that_care_is_called_by():
    from leafgill.advise.care import starters
    from leafgill.tank.spec import Tank

    tank = Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60.0}})
    assert WATER_CHANGE in [task.what for task in starters(tank, False)]


SUPPLY = {
    "headline": "Gas for 41 days",
    "order": "Order the next one by 2 April.",
    "lines": ["It holds 0.5 kg."],
}


@pytest.mark.parametrize(
    ("by", "day"),
    [("2025-04-02T00:10:00+02:00", date(2025, 4, 2)), ("2025-03-01T00:00:00+01:00", NOW.date())],
)
def test_gas_is_ordered_by_its_day_and_today_at_the_latest(by, day):
    plan = of({"supply": SUPPLY | {"order_by": by}})["gas"]
    assert (plan.begins, plan.title) == (day, "Order gas")
    assert plan.words == "Gas for 41 days\nOrder the next one by 2 April.\nIt holds 0.5 kg."


@pytest.mark.parametrize("supply", [None, SUPPLY])
def test_gas_that_is_not_weighed_is_not_ordered(supply):
    assert of({"supply": supply}) == {}
