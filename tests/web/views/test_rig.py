import pytest

from leafgill.web.models import AnswerRow

pytestmark = pytest.mark.django_db

HOLD = {"side": "low", "first_bar": "2.0", "first_c": "21", "second_bar": "1.2"}
HOLD |= {"second_c": "21", "hours": "12", "volume": "100", "step": "0.05"}


def test_cautions_stand_on_the_page_before_anything_is_worked_out(ring, text):
    page = text(ring.get("reader", "rig/"))
    assert "has not been worked out yet" in page
    assert "Stand the cylinder upright" in page
    assert "Keep the room ventilated" in page


def test_what_the_worker_found_is_laid_out(ring, now, text):
    figure = {"key": "k", "label": "Gas a day", "shown": "5 g", "formula": "a x b",
              "inputs": [{"name": "water", "value": "60 L", "origin": "description"}],
              "source": "Henry 1803"}  # fmt: skip
    sections = [
        {"kind": "table", "title": "Cylinders", "titles": ["", "months"], "notes": ["* a note"],
         "rows": [{"chosen": True, "head": "2 kg", "cells": ["5.6"]}]},
        {"kind": "steps", "title": "In order", "rows": ["First this."]},
    ]  # fmt: skip
    told = {"headline": "12 g a day", "lines": ["A line."], "sections": sections,
            "figures": [figure], "cautions": []}  # fmt: skip
    supply = {**told, "headline": "About 90 days", "order": "Order by 3 June"}
    ring.tank.refresh_from_db()
    version = ring.tank.version
    payload = {"rig": told, "supply": supply, "bands": {"times_s": []}}
    AnswerRow.objects.create(
        tank=ring.tank,
        version=version,
        asked_for=now,
        made_at=now,
        payload={**payload, "equipment_version": version},
    )
    page = text(ring.get("reader", "rig/"))
    for words in ("12 g a day", "About 90 days", "Order by 3 June", "2 kg advised 5.6",
                  "* a note", "First this.", "Gas a day: 5 g", "Henry 1803",
                  "Water 60 L (description)"):  # fmt: skip
        assert words in page, words
    assert "being worked out again" not in page
    ring.post("owner", "diary/add/ph/", time="2025-03-08T09:00", value="6.8")
    assert "being worked out again" in text(ring.get("reader", "rig/"))


def test_the_checklist_follows_the_rig(ring, text):
    page = text(ring.get("reader", "rig/together/"))
    assert "Take care first" in page
    assert "Leak test by the gauge" in page
    ring.post("owner", "about/gas/", **{"rig-source": "yeast"})
    page = text(ring.get("reader", "rig/together/"))
    assert "Leak test by the gauge" not in page
    assert "Never shut in a vessel that makes gas" in page


def test_two_readings_tell_whether_it_leaks(ring, text):
    page = text(ring.get("reader", "rig/together/", **HOLD))
    assert "What the leak test says It leaks" in page
    tight = {**HOLD, "second_bar": "2.0", "volume": "10", "step": "0.02", "hours": "48"}
    assert "What the leak test says Tight" in text(ring.get("reader", "rig/together/", **tight))


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"side": ""}, "side"),
        ({"side": "up"}, "side"),
        ({"first_bar": ""}, "first_bar"),
        ({"first_bar": "0"}, "first_bar"),
        ({"first_bar": "11"}, "first_bar"),
        ({"first_c": "70 °F"}, ""),
        ({"first_c": "95"}, "first_c"),
        ({"second_bar": "soon"}, "second_bar"),
        ({"hours": "0"}, "hours"),
        ({"hours": "nan"}, "hours"),
        ({"volume": "0"}, "volume"),
        ({"step": "99"}, "step"),
    ],
)
def test_a_hold_that_cannot_be_is_told_of_beside_the_field(ring, changes, name):
    response = ring.get("owner", "rig/together/", **{**HOLD, **changes})
    errors = {f.name for f in response.context["fields"] if f.error}
    assert errors == ({name} if name else set())
    assert response.status_code == (422 if name else 200)
    shown = {f.name: f.value for f in response.context["fields"]}
    assert shown["hours"] == {**HOLD, **changes}["hours"]


def test_american_measures_are_meant(ring, text):
    keeper = ring.keepers["owner"]
    keeper.units = "us"
    keeper.save()
    sent = {**HOLD, "first_bar": "29", "second_bar": "17.4", "first_c": "70", "second_c": "70"}
    page = text(ring.get("owner", "rig/together/", **sent))
    assert "2 to 1.2 bar in 12 h" in page
