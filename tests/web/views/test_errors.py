"""Pages when the store cannot be used: what is the matter in words, and nothing changed."""

import pytest
from django.db import InternalError, OperationalError

from leafgill.web.models import Keeper

pytestmark = pytest.mark.django_db
SENT = {"units": "us", "decimal": ".", "time_zone": "UTC", "theme": "auto"}


@pytest.fixture
def settings_page(ring, monkeypatch):
    """Return a function that sends a form while the store fails in some way."""

    def send(wrong):
        def failing(*_what, **_more):
            raise wrong

        client = ring.client("owner")
        client.raise_request_exception = False
        monkeypatch.setattr(Keeper, "save", failing)
        return client.post("/settings/", SENT)

    return send


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (OperationalError("database or disk is full"), "The disk is full or fails."),
        (OperationalError("attempt to write a readonly database"), "The database may only be read"),
        (OperationalError("database is locked"), "The database is busy."),
        (InternalError("cannot execute UPDATE in a read-only transaction"), "may only be read"),
    ],
)
def test_what_keeps_the_store_from_being_used_is_told(settings_page, text, wrong, says):
    response = settings_page(wrong)
    assert response.status_code == 503
    assert response["Retry-After"] == "60"
    assert says in text(response)
    assert "Nothing was changed." in text(response)
    assert "<h1>That could not be done now</h1>" in response.content.decode()


def test_the_unforeseen_is_no_trouble_of_the_store(settings_page, text):
    response = settings_page(RuntimeError("a wheel came off"))
    assert response.status_code == 500
    assert "Something went wrong here" in text(response)
    assert "wheel" not in text(response)


def test_a_store_that_cannot_be_read_either_is_told_in_plain_words(ring, monkeypatch):
    from django.db.backends.utils import CursorWrapper

    def failing(*_what, **_more):
        raise OperationalError("server closed the connection")

    client = ring.client("owner")
    client.raise_request_exception = False
    monkeypatch.setattr(CursorWrapper, "execute", failing)
    response = client.get("/settings/")
    monkeypatch.undo()
    assert response.status_code == 503
    assert response.content.decode().startswith("The database is away. Nothing was changed.")


def test_health_is_told_without_a_login_and_nothing_of_tanks(ring, monkeypatch):
    response = ring.client("nobody").get("/healthz")
    assert (response.status_code, response.json()) == (200, {"status": "ok"})
    assert "no-store" in response["Cache-Control"]
    assert ring.client("nobody").post("/healthz").status_code == 405
    from leafgill.web.views import health

    monkeypatch.setattr(health, "_database_answers", lambda: False)
    response = ring.client("nobody").get("/healthz")
    assert (response.status_code, response.json()["status"]) == (
        503,
        "the database does not answer",
    )
