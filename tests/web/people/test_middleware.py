import pytest
from django.test import Client
from django.urls import reverse

from leafgill.tank.spec import Tank
from leafgill.web.middleware import HEADERS
from leafgill.web.models import Keeper, Share
from leafgill.web.store import keepers
from leafgill.web.store.tanks import create_tank

pytestmark = pytest.mark.django_db
HERE = {"REMOTE_ADDR": "127.0.0.1", "HTTP_HOST": "127.0.0.1:8480"}


@pytest.fixture
def away(settings):
    """The app as it is when other machines reach it."""
    settings.BEYOND_THIS_MACHINE = True
    settings.ALLOWED_HOSTS = ["*"]
    settings.HOST_NAMES = ["localhost", "den.local", "tank.example.org"]


def asked(**meta):
    return Client().get(reverse("settings"), **{**HERE, **meta})


# -- headers


@pytest.mark.parametrize("address", ["/login/", "/no/such/page/", "/settings/"])
def test_every_answer_carries_the_headers(address):
    response = Client().get(address, REMOTE_ADDR="192.0.2.7")
    for name, value in HEADERS.items():
        assert response.headers[name] == value
    assert "no-cache" in response.headers["Cache-Control"]
    assert "Cookie" in response.headers["Vary"]


def test_nothing_runs_that_is_not_a_file_of_ours():
    told = dict(part.split(" ", 1) for part in HEADERS["Content-Security-Policy"].split("; "))
    assert told["default-src"] == told["frame-ancestors"] == told["base-uri"] == "'none'"
    assert told["script-src"] == told["style-src"] == told["form-action"] == "'self'"
    assert "unsafe" not in HEADERS["Content-Security-Policy"]


def test_cookies_that_came_by_tls_go_by_tls_alone():
    plain = Client().get("/login/").cookies["leafgill_csrf"]
    by_tls = Client().get("/login/", secure=True).cookies["leafgill_csrf"]
    assert not plain["secure"]
    assert by_tls["secure"]
    assert by_tls["httponly"]
    assert by_tls["samesite"] == "Lax"


def test_where_all_is_tls_browsers_are_told_to_keep_to_it(settings):
    assert "Strict-Transport-Security" not in Client().get("/login/").headers
    settings.TLS = True
    assert Client().get("/login/").headers["Strict-Transport-Security"].startswith("max-age=")


# -- the keeper at this machine


def test_at_this_machine_the_keeper_without_a_password_is_in():
    keeper = keepers.first_keeper()
    response = asked()
    assert response.status_code == 200
    assert response.wsgi_request.user == keeper
    assert response.wsgi_request.keeper_by_loopback
    assert "leafgill_session" not in response.cookies


@pytest.mark.parametrize(
    "meta",
    [
        {"REMOTE_ADDR": "192.0.2.7"},
        {"REMOTE_ADDR": ""},
        {"HTTP_HOST": "testserver"},
        {"HTTP_X_FORWARDED_FOR": "192.0.2.7"},
        {"HTTP_X_FORWARDED_FOR": "127.0.0.1"},
        {"HTTP_X_FORWARDED_PROTO": "https"},
        {"HTTP_X_FORWARDED_HOST": "tank.example.org"},
        {"HTTP_X_REAL_IP": "192.0.2.7"},
        {"HTTP_FORWARDED": "for=192.0.2.7"},
        {"HTTP_VIA": "1.1 proxy"},
        {"SERVER_PROTOCOL": "HTTP/1.0"},
    ],
)
def test_whoever_is_not_at_this_machine_logs_in(meta):
    keepers.first_keeper()
    response = asked(**meta)
    assert response.status_code == 302
    assert response["Location"].startswith("/login/")


def test_nobody_is_let_in_by_the_way_once_other_machines_reach_it(away):
    keepers.first_keeper()
    assert asked().status_code == 302


def test_a_password_ends_it():
    keeper = keepers.first_keeper()
    keeper.set_password("a long password")
    keeper.save()
    assert asked().status_code == 302


def test_of_two_without_a_password_none_is_let_in_by_the_way():
    keepers.first_keeper()
    other = Keeper(username="ada")
    other.set_unusable_password()
    other.save()
    assert asked().status_code == 302


def test_whoever_may_not_log_in_any_more_is_not_let_in_either():
    keeper = keepers.first_keeper()
    keeper.is_active = False
    keeper.save()
    assert asked().status_code == 302


def test_who_has_logged_in_is_who_asks():
    keepers.first_keeper()
    ada = Keeper(username="ada")
    ada.set_password("a long password")
    ada.save()
    client = Client()
    client.force_login(ada, backend="django.contrib.auth.backends.ModelBackend")
    response = client.get(reverse("settings"), **HERE)
    assert response.wsgi_request.user == ada
    assert not response.wsgi_request.keeper_by_loopback


def test_a_form_at_this_machine_needs_its_mark_too():
    keepers.first_keeper()
    client = Client(enforce_csrf_checks=True)
    assert client.post(reverse("settings"), {"units": "us"}, **HERE).status_code == 403
    assert Keeper.objects.get().units == "metric"


# -- names


@pytest.mark.parametrize("name", ["evil.example", "127.0.0.1.evil.example", "den.local", "x@y"])
def test_a_server_of_this_machine_alone_has_no_other_name(name):
    assert asked(HTTP_HOST=name).status_code == 400


@pytest.mark.parametrize(
    "name",
    ["192.168.1.20:8480", "[fd00::1]:8480", "den.local", "tank.example.org:443", "localhost:1"],
)
def test_names_and_addresses_of_one_that_reaches_out(away, name):
    assert asked(HTTP_HOST=name).status_code == 302


@pytest.mark.parametrize("name", ["evil.example", "192.168.1.20.evil.example", "local", "a/b"])
def test_a_name_of_somebody_elses_leads_nowhere(away, name):
    keeper = keepers.first_keeper()
    create_tank(keeper, Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60}}))
    response = asked(HTTP_HOST=name)
    assert response.status_code == 400
    assert "Den" not in response.content.decode()
    assert Share.objects.count() == 1
