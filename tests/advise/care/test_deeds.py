"""What the diary's words tell of work that was done, and of what was found wanting."""

from datetime import timedelta

import pytest

from leafgill.advise.care.deeds import ages, done_at, wanting_at
from leafgill.advise.care.starters import starters
from leafgill.diary import Diary, Entry
from leafgill.tank.spec import Tank

FIRST = "2025-03-03T08:00"


def diary(*rows):
    return Diary([Entry(*row) for row in rows]).localised("UTC")


@pytest.mark.parametrize(
    ("words", "job"),
    [
        ("diffuser cleaned", "diffuser"),
        ("Cleaned the ceramic disc in bleach", "diffuser"),
        ("new diffuser", "diffuser"),
        ("bubble counter refilled", "counter"),
        ("topped up the bubble counter", "counter"),
        ("drop checker refilled, fresh reference", "checker"),
        ("check valve looked at", "check_valve"),
        ("hose replaced", "hose"),
        ("leak test with soapy water, nothing", "leak"),
        ("canister rinsed", "filter"),
        ("stems cut back", "trim"),
        ("probe calibrated", "electrode"),
        ("weighed the cylinder", "weigh"),
    ],
)
def test_words_that_tell_of_a_job(words, job):
    kept = diary((FIRST, "care", words))
    assert len(done_at(kept, job)) == 1
    others = {"diffuser", "counter", "checker", "hose", "leak", "filter", "trim"} - {job}
    assert [other for other in others if done_at(kept, other)] == []


@pytest.mark.parametrize(
    "words",
    [
        "diffuser should be cleaned",
        "diffuser not cleaned",
        "need to clean the diffuser",
        "clean the diffuser tomorrow",
        "looked at the diffuser. glass cleaned",
    ],
)
def test_what_was_not_done_is_not_taken_for_done(words):
    assert done_at(diary((FIRST, "care", words)), "diffuser") == []


def test_a_task_ticked_in_the_list_is_found_again():
    """A tap on Done writes the task's own words as care."""
    keys = {
        "Clean the diffuser": "diffuser",
        "Fill the drop checker afresh": "checker",
        "Calibrate the electrode": "electrode",
        "Leak test with soapy water": "leak",
        "Look at hose and check valve": "check_valve",
        "Look at the cylinder's test date and its strap": "stamp",
        "Fill the bubble counter up": "counter",
        "Renew the hose": "hose",
        "Clean the filter": "filter",
        "Trim the plants": "trim",
        "Change part of the water": "water_change",
        "Test carbonate hardness": "kh",
        "Weigh the cylinder": "weigh",
    }
    whats = {task.what for task in starters(Tank("Den", 60.0), True)}
    assert whats == set(keys)
    for what, job in keys.items():
        assert len(done_at(diary((FIRST, "care", what)), job)) == 1, what


def test_entries_that_are_the_job_count_once():
    kept = diary(
        (FIRST, "calibration", "4.01/7.00"),
        (FIRST, "care", "electrode calibrated"),
        ("2025-03-04T08:00", "water_change", "30", "%"),
        ("2025-03-05T08:00", "kh", "4", "dKH"),
    )
    assert len(done_at(kept, "electrode")) == 1
    assert len(done_at(kept, "water_change")) == 1
    assert len(done_at(kept, "kh")) == 1


def test_what_was_found_wanting():
    kept = diary(
        (FIRST, "note", "", "", "bubble counter nearly dry"),
        ("2025-03-04T08:00", "care", "water in the check valve"),
        ("2025-03-05T08:00", "note", "", "", "the check valve is not wet"),
    )
    assert len(wanting_at(kept, "counter")) == 1
    assert len(wanting_at(kept, "check_valve")) == 1
    assert wanting_at(kept, "trim") == []


def test_the_age_is_counted_from_the_last_time():
    kept = diary(
        (FIRST, "care", "diffuser cleaned"), ("2025-03-13T08:00", "care", "diffuser cleaned")
    )
    done = done_at(kept, "diffuser")
    assert ages(done, [done[0] - timedelta(days=1), done[1], done[1] + timedelta(hours=36)]) == [
        10.0,
        1.5,
    ]
