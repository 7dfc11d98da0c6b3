"""What every page has around it, and the tags that write figures."""

import re

import pytest
from django.template import Context, Template

from leafgill.web.models import Keeper
from leafgill.web.templatetags.leafgill import part_of

pytestmark = pytest.mark.django_db
FIGURE = {
    "label": "Gas a day",
    "shown": "2.5 g a day, 1.9 to 3.1",
    "formula": "gas an hour × hours",
    "inputs": [{"name": "hours", "value": "8.5 h", "origin": "diary"}],
    "source": "balance of masses",
}


def written(template, **context):
    return Template("{% load leafgill %}" + template).render(Context(context))


def test_figures_are_written_as_the_keeper_writes_numbers():
    told = {"mean": 6.31, "low": 5.02, "high": 7.9}
    assert written("{% interval told %}", told=told) == "6.3 mg/L, 5.0 to 7.9"
    assert written("{% interval told 'pH' %}", told=told) == "pH 6.31, 5.02 to 7.90"
    comma = Keeper(decimal=",")
    assert written("{% interval told %}", told=told, user=comma) == "6,3 mg/L, 5,0 to 7,9"
    assert written("{% level 6.31 %}", user=comma) == "6,3"
    assert written("{% mine text %}", text="pH 6.31, at last.", user=comma) == "pH 6,31, at last."


def test_a_figure_opens_to_its_formula_what_went_in_and_its_source():
    page = written("{% opens figure %}", figure=FIGURE, user=Keeper(decimal=","))
    assert re.search(r"<summary>Gas a day: <strong>2,5 g a day, 1,9 to 3,1</strong>", page)
    words = " ".join(re.sub(r"<[^>]+>", " ", page).split())
    assert "Worked out as gas an hour × hours Hours 8,5 h (diary) Source balance of masses" in words


def test_what_is_typed_in_a_name_is_not_markup():
    assert "<b>" not in written("{% mine text %}", text="<b>")
    assert "<b>" not in written("{% opens figure %}", figure={**FIGURE, "label": "<b>"})


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("today", "today"), ("today_parts", "today"), ("charts", "today"), ("diary", "diary"),
        ("diary_add", "diary"), ("import_look", "diary"), ("files", "diary"), ("report", "diary"),
        ("rig_checklist", "rig"), ("care_edit", "care"), ("about_part", "about"),
        ("people", "about"), ("card", "about"), ("emergency", "emergency"), ("", ""),
    ],
)  # fmt: skip
def test_each_page_belongs_to_a_part(name, part):
    assert part_of(name) == part


@pytest.mark.parametrize(
    ("rest", "word"),
    [("", "Today"), ("charts/", "Today"), ("diary/", "Diary"), ("files/", "Diary"),
     ("rig/", "Rig"), ("care/", "Care"), ("about/", "Tank"), ("people/", "Tank")],
)  # fmt: skip
def test_the_part_one_is_in_is_marked_for_eye_and_ear(ring, rest, word):
    page = ring.get("reader", rest).content.decode()
    assert re.findall(r'aria-current="page">([^<]+)<', page) == [word]


def test_the_theme_is_the_keepers(ring):
    assert 'data-theme="auto"' in ring.get("owner").content.decode()
    ring.keepers["owner"].theme = "dark"
    ring.keepers["owner"].save()
    assert 'data-theme="dark"' in ring.get("owner").content.decode()


def test_only_who_has_a_password_is_offered_to_log_out(ring):
    assert "Log out owner" in ring.get("owner").content.decode()
    client = ring.client("owner")
    keeper = ring.keepers["owner"]
    keeper.set_unusable_password()
    keeper.save()
    client.force_login(keeper, backend="django.contrib.auth.backends.ModelBackend")
    assert "Log out" not in client.get(ring.url()).content.decode()
