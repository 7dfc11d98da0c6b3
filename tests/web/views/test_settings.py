import pytest

from leafgill.web.models import Keeper

pytestmark = pytest.mark.django_db

GOOD = {"units": "us", "decimal": ",", "theme": "dark", "time_zone": "Asia/Tokyo"}


def fields(response, name="fields"):
    return {field.name: field for field in response.context[name]}


def test_what_is_set_is_the_keepers(ring, text):
    client = ring.client("reader")
    response = client.post("/settings/", GOOD)
    assert response.status_code == 302
    keeper = Keeper.objects.get(username="reader")
    assert {name: getattr(keeper, name) for name in GOOD} == GOOD
    page = client.get(response["Location"])
    assert "Saved." in text(page)
    assert {name: fields(page)[name].value for name in GOOD} == GOOD
    assert Keeper.objects.get(username="owner").units == "metric"


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("units", "stone", "Choose one."),
        ("decimal", ";", "Choose one."),
        ("theme", "", "Choose one."),
        ("time_zone", "berlin", "Did you mean Europe/Berlin?"),
        ("time_zone", "../etc/passwd", "not known"),
        ("time_zone", "", "not known"),
    ],
)
def test_what_is_wrong_is_told_beside_the_field_and_nothing_is_saved(ring, name, value, words):
    response = ring.client("owner").post("/settings/", {**GOOD, name: value})
    assert response.status_code == 422
    assert words in fields(response)[name].error
    assert fields(response)["units"].value == {**GOOD, name: value}["units"]
    assert Keeper.objects.get(username="owner").units == "metric"


def test_a_password_is_changed_and_the_keeper_stays_logged_in(ring):
    client = ring.client("owner")
    new = "a quite different one"
    sent = {"old": "owner's long password", "new": new, "again": new}
    assert client.post("/settings/password/", sent).status_code == 302
    assert Keeper.objects.get(username="owner").check_password(new)
    assert client.get("/settings/").status_code == 200


@pytest.mark.parametrize(
    ("sent", "name"),
    [
        ({"old": "wrong", "new": "a quite different one", "again": "a quite different one"}, "old"),
        ({"old": "owner's long password", "new": "a quite different one", "again": "b"}, "again"),
        ({"old": "owner's long password", "new": "12345678", "again": "12345678"}, "new"),
        ({"old": "owner's long password", "new": "", "again": ""}, "new"),
        ({}, "old"),
    ],
)
def test_a_password_that_cannot_be_is_refused_and_never_shown(ring, sent, name):
    response = ring.client("owner").post("/settings/password/", sent)
    assert response.status_code == 422
    assert fields(response, "password_fields")[name].error
    assert Keeper.objects.get(username="owner").check_password("owner's long password")
    page = response.content.decode()
    assert "a quite different one" not in page
    assert "owner&#x27;s long password" not in page


def test_a_keeper_without_a_password_sets_one(ring):
    keeper = ring.keepers["owner"]
    client = ring.client("owner")
    keeper.set_unusable_password()
    keeper.save()
    client = ring.client("owner")
    assert "old" not in fields(client.get("/settings/"), "password_fields")
    new = "a quite different one"
    assert client.post("/settings/password/", {"new": new, "again": new}).status_code == 302
    assert Keeper.objects.get(username="owner").check_password(new)
