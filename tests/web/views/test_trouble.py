"""Trouble: what is seen, to its causes by the tank's own record."""

import copy
import re

import pytest

from leafgill.advise.trouble import SYMPTOMS
from leafgill.web.care_page import care_part

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def hallway_care(hallway):
    """What the worker finds of work and clues in the example."""
    from leafgill.answer.figures import plain

    part = care_part(hallway.tank, hallway.diary, hallway.belief, hallway.now)
    return plain(part)


@pytest.fixture
def weighed(answered, hallway_payload, hallway_care):
    """The ring's tank with an answer that holds work and clues."""

    def keep(**clues):
        care = copy.deepcopy(hallway_care)
        for clue in care["clues"]:
            clue["chance"] = clues.get(clue["key"], clue["chance"])
        return answered({**hallway_payload, **care})

    return keep


def test_everything_that_can_be_seen_is_there_to_choose(ring, text):
    response = ring.get("reader", "trouble/")
    page = text(response)
    for key, one in SYMPTOMS.items():
        assert one.name in page
        assert ring.url(f"trouble/{key}/") in response.content.decode()
    assert page.index("emergency page") < page.index("Algae")


def test_the_ring_of_people(ring):
    for who, status in (("owner", 200), ("writer", 200), ("reader", 200), ("stranger", 404)):
        assert ring.get(who, "trouble/").status_code == status
        assert ring.get(who, "trouble/hair/").status_code == status
    assert ring.get("nobody", "trouble/").status_code == 302


def test_what_cannot_be_seen_is_not_there(ring):
    assert ring.get("owner", "trouble/the-cat/").status_code == 404


def test_before_anything_is_worked_out_causes_stand_by_how_often_they_are_met(ring, text):
    page = text(ring.get("reader", "trouble/black-brush/"))
    assert "The record of this tank is not weighed yet." in page
    assert "CO2 that changes from day to day" in page
    assert "Most likely" not in page
    assert "What the record says" not in page


def test_causes_by_the_record_with_check_and_grounds(ring, weighed, text):
    weighed(o2_low_dawn=0.97, co2_high_dawn=0.003)
    page = text(ring.get("reader", "trouble/gasping-at-dawn/"))
    assert "Most likely: too little oxygen at the end of the night" in page
    assert page.index("shut the gas and move the surface") < page.index("Most likely")
    assert "Animals are right, whatever the figures say" in page
    assert "Check: An oxygen test just before lights-on" in page
    assert "chance 97 %; speaks for it (12 times as likely)." in page
    assert "common practice, no source" in page
    assert "How each figure was worked out" in page


def test_where_the_record_does_not_tell_the_page_says_so(ring, weighed, text):
    weighed()
    page = text(ring.get("reader", "trouble/holes/"))
    assert "Not known: the record tells nothing of these causes." in page
    assert "A test of potassium." in page
    assert "emergency page" not in page


@pytest.mark.parametrize("seen", list(SYMPTOMS))
def test_every_page_is_in_the_words_of_pages(ring, weighed, text, seen):
    weighed()
    page = text(ring.get("reader", f"trouble/{seen}/"))
    assert SYMPTOMS[seen].name in page
    assert "leafgill" not in page.replace("Leaf & Gill", "")
    assert not re.search(r"\[\w+\]|\b\w+_\w+\b", page)


def test_the_keepers_decimal_sign(ring, weighed, text):
    weighed()
    keeper = ring.keepers["reader"]
    keeper.decimal = ","
    keeper.save()
    page = text(ring.get("reader", "trouble/ph-swings/"))
    assert re.search(r"\d,\d", page)
    assert not re.search(r"\d\.\d", page)


# -- the care page beside it


def test_the_care_page_leads_there_and_belongs_to_care(ring):
    assert f'href="{ring.url("trouble/")}"' in ring.get("reader", "care/").content.decode()
    page = ring.get("reader", "trouble/").content.decode()
    assert re.search(r'care/" aria-current="page"', page)


def test_the_record_s_interval_is_shown_and_taken(ring, weighed, text, hallway_care):
    from leafgill.web.models import TaskRow

    name, job = next((n, j) for n, j in hallway_care["care"].items() if not j["usual"])
    task = TaskRow.objects.create(tank=ring.tank, what=name, every_days=job["days"] + 30)
    weighed()
    page = text(ring.get("reader", "care/"))
    assert "By the record every" in page
    assert f"Take {job['days']} day" not in page
    assert f"Take {job['days']} day" in text(ring.get("writer", "care/"))
    assert ring.post("reader", f"care/{task.pk}/take/").status_code == 403
    assert ring.post("stranger", f"care/{task.pk}/take/").status_code == 404
    assert ring.post("writer", f"care/{task.pk}/take/").status_code == 302
    task.refresh_from_db()
    assert task.every_days == job["days"]
    own = TaskRow.objects.create(tank=ring.tank, what="Feed the snails", every_days=2)
    ring.post("owner", f"care/{own.pk}/take/")
    own.refresh_from_db()
    assert own.every_days == 2


def test_what_the_record_calls_for_comes_first(ring, answered, hallway_payload, hallway_care, text):
    from leafgill.web.models import TaskRow

    care = copy.deepcopy(hallway_care)
    care["care"]["Clean the diffuser"]["called_for"] = "it has lost over 30 % of the gas"
    for what in ("Clean the diffuser", "Clean the filter"):
        TaskRow.objects.create(tank=ring.tank, what=what, every_days=30)
    answered({**hallway_payload, **care})
    response = ring.get("reader", "care/")
    first = response.context["tasks"][0]
    assert first["task"].what == "Clean the diffuser"
    assert "Due now: it has lost over 30 % of the gas." in text(response)


def test_what_the_diary_says_was_done_counts(ring, answered, hallway_payload, hallway_care, text):
    from leafgill.web.models import TaskRow

    TaskRow.objects.create(tank=ring.tank, what="Test carbonate hardness", every_days=14)
    answered({**hallway_payload, **hallway_care})
    # the example's KH was tested on 3 March, five days before
    assert hallway_care["care"]["Test carbonate hardness"]["last_done"].startswith("2025-03-03")
    page = text(ring.get("reader", "care/"))
    assert "done last: 5 days ago, Mon 3 Mar." in page


def test_usual_tasks_begin_with_the_record_s_days(ring, answered, hallway_payload, hallway_care):
    from leafgill.web.models import TaskRow

    answered({**hallway_payload, **hallway_care})
    starters = {start.what: start for start in ring.get("owner", "care/").context["starters"]}
    told = [start for start in starters.values() if start.told]
    assert told
    ring.post("owner", "care/begin/", what=[told[0].what])
    assert TaskRow.objects.get(what=told[0].what).every_days == told[0].days
    assert told[0].days == hallway_care["care"][told[0].what]["days"]
