import pytest
from django.test import Client

from leafgill.web.models import Keeper

pytestmark = pytest.mark.django_db
PASSWORD = "a long password"
AWAY = {"REMOTE_ADDR": "192.0.2.7"}


@pytest.fixture
def ada():
    keeper = Keeper(username="Ada")
    keeper.set_password(PASSWORD)
    keeper.save()
    return keeper


def log_in(client, name="Ada", password=PASSWORD, **more):
    return client.post("/login/", {"username": name, "password": password, **more}, **AWAY)


def inside(client):
    return client.get("/settings/", **AWAY).status_code == 200


@pytest.mark.parametrize("name", ["Ada", "ada", "ADA"])
def test_name_and_password_let_in_however_the_name_is_cased(ada, name):
    client = Client()
    response = log_in(client, name)
    assert (response.status_code, response["Location"]) == (302, "/")
    assert inside(client)
    ada.refresh_from_db()
    assert ada.last_login is not None


@pytest.mark.parametrize(
    ("name", "password"),
    [
        ("Ada", "another one"),
        ("Bo", PASSWORD),
        ("Ada", ""),
        ("", PASSWORD),
        ("Ada", PASSWORD + " "),
    ],
)
def test_anything_else_does_not_and_tells_neither_apart(ada, name, password):
    client = Client()
    response = log_in(client, name, password)
    assert response.status_code == 422
    page = response.content.decode()
    assert PASSWORD not in page
    assert "another one" not in page
    assert not inside(client)
    if name and password:
        assert "Name and password do not belong together." in page


def test_a_keeper_without_a_password_cannot_log_in():
    keeper = Keeper(username="keeper")
    keeper.set_unusable_password()
    keeper.save()
    for password in ("", "!", keeper.password):
        assert log_in(Client(), "keeper", password).status_code == 422


def test_whoever_is_not_let_in_any_more_cannot_log_in(ada):
    client = Client()
    log_in(client)
    ada.is_active = False
    ada.save()
    assert not inside(client)
    assert log_in(Client()).status_code == 422


def test_it_leads_back_to_where_one_wanted_to_go_and_nowhere_else(ada):
    client = Client()
    assert client.get("/settings/", **AWAY)["Location"] == "/login/?next=/settings/"
    assert log_in(client, next="/settings/")["Location"] == "/settings/"
    for elsewhere in ("https://evil.example/", "//evil.example/", "javascript:alert(1)"):
        assert log_in(Client(), next=elsewhere)["Location"] == "/"


def test_five_wrong_ones_and_it_waits(ada):
    client = Client()
    for _ in range(4):
        assert log_in(client, password="wrong").status_code == 422
    assert log_in(client, password="wrong").status_code == 429
    response = log_in(client)
    assert response.status_code == 429
    assert "Wait a little" in response.content.decode()
    assert not inside(client)


def test_another_way_to_write_the_name_has_no_tries_of_its_own(ada):
    client = Client()
    told = [
        log_in(client, name, "wrong").status_code for name in ("Ada", "ada", "ADA", "aDa", "AdA")
    ]
    assert told == [422, 422, 422, 422, 429]


def test_somebody_elses_slips_lock_nobody_else_out(ada):
    bo = Keeper(username="Bo")
    bo.set_password(PASSWORD)
    bo.save()
    for _ in range(6):
        log_in(Client(), password="wrong")
    assert log_in(Client(), "Bo").status_code == 302
    # nor the same name from another place
    elsewhere = Client()
    told = {"username": "Ada", "password": PASSWORD}
    assert elsewhere.post("/login/", told, REMOTE_ADDR="192.0.2.8").status_code == 302


def test_a_right_one_forgets_the_wrong_ones(ada):
    for _ in range(3):
        for _ in range(4):
            log_in(Client(), password="wrong")
        assert log_in(Client()).status_code == 302


def test_the_session_is_a_new_one_and_not_to_be_read_by_scripts(ada):
    client = Client()
    log_in(client)
    cookie = client.cookies["leafgill_session"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    first = cookie.value
    log_in(client, next="/settings/")
    client.post("/logout/", **AWAY)
    log_in(client)
    assert client.cookies["leafgill_session"].value != first


def test_logging_out_takes_a_form(ada):
    client = Client()
    log_in(client)
    assert client.get("/logout/", **AWAY).status_code == 405
    assert inside(client)
    assert client.post("/logout/", **AWAY).status_code == 302
    assert not inside(client)


def test_the_form_needs_its_mark(ada):
    client = Client(enforce_csrf_checks=True)
    response = log_in(client)
    assert response.status_code == 403
    assert "This form was too old" in response.content.decode()
    assert not inside(client)


def test_another_password_ends_what_was_open_elsewhere(ada):
    client = Client()
    log_in(client)
    ada.set_password("quite another one")
    ada.save()
    assert not inside(client)
