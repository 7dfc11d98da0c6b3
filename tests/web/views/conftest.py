"""The ring of people around one tank, each with a browser of their own."""

from __future__ import annotations

import html
import json
import re
from dataclasses import dataclass
from datetime import UTC, datetime

import pytest
from django.http import HttpResponse
from django.test import Client

from leafgill.diary import Entry
from leafgill.diary.localised import localised_entries
from leafgill.tank.spec import Tank
from leafgill.web.models import AnswerRow, Keeper, Share, TankRow
from leafgill.web.store.entries import add_entry
from leafgill.web.store.tanks import create_tank
from leafgill.web.working.payload import payload_of

NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)
# the moment that the examples' counsels are about
ANSWERED = datetime(2025, 3, 8, 12, 10, tzinfo=UTC)
ZONE = "Europe/Berlin"
PEOPLE = ("owner", "writer", "reader", "stranger")


@dataclass
class Ring:
    """A tank of the owner's, shared with a writer and a reader; a stranger has nothing of it."""

    tank: TankRow
    keepers: dict[str, Keeper]

    def client(self, who: str) -> Client:
        """Return a browser in which somebody is logged in; "nobody" is not."""
        client = Client(REMOTE_ADDR="192.0.2.7", HTTP_HOST="testserver")
        if who != "nobody":
            client.force_login(
                self.keepers[who], backend="django.contrib.auth.backends.ModelBackend"
            )
        return client

    def url(self, rest: str = "") -> str:
        """Return an address below the tank's."""
        return f"/tank/{self.tank.public_id}/{rest}"

    def get(self, who: str, rest: str = "", **query: str) -> HttpResponse:
        """Return what somebody sees at an address below the tank's."""
        return self.client(who).get(self.url(rest), query)

    def post(self, who: str, rest: str, **data: object) -> HttpResponse:
        """Return what somebody gets for a form sent to an address below the tank's."""
        return self.client(who).post(self.url(rest), data)

    def write(self, *rows: tuple[str, ...]) -> list[int]:
        """Write entries into the diary as the owner; return their numbers."""
        entries, _ = localised_entries([Entry(*row) for row in rows], ZONE)
        return [add_entry(self.tank, entry, self.keepers["owner"]).pk for entry in entries]


@pytest.fixture(autouse=True)
def _standing_now(monkeypatch, tmp_path, settings):
    settings.WORKER = "off"
    # the real one is slow on purpose
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    monkeypatch.setenv("LEAFGILL_NOW", NOW.isoformat())
    monkeypatch.setenv("LEAFGILL_HOME", str(tmp_path))


@pytest.fixture
def ring(db):
    keepers = {}
    for name in PEOPLE:
        keeper = Keeper(username=name)
        keeper.set_password(f"{name}'s long password")
        keeper.save()
        keepers[name] = keeper
    tank = Tank.from_mapping(
        {
            "tank": {"name": "Den", "volume_l": 60.0, "timezone": ZONE},
            "water": {"kh_dkh": 4.0},
        }
    )
    row = create_tank(keepers["owner"], tank)
    Share.objects.create(tank=row, keeper=keepers["writer"], role="write")
    Share.objects.create(tank=row, keeper=keepers["reader"], role="read")
    return Ring(row, keepers)


@pytest.fixture
def text():
    """Return a function that gives a page's words alone."""

    def words(response: HttpResponse) -> str:
        page = re.sub(r"(?s)<(script|style|head).*?</\1>", " ", response.content.decode())
        return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())

    return words


@pytest.fixture
def other_tank(ring):
    """Return the ring of a tank that is the stranger's alone."""
    tank = Tank.from_mapping({"tank": {"name": "Elsewhere", "volume_l": 30.0, "timezone": ZONE}})
    keepers = {**ring.keepers, "owner": ring.keepers["stranger"]}
    return Ring(create_tank(ring.keepers["stranger"], tank), keepers)


@pytest.fixture
def now():
    """Return the moment at which every page of these tests is asked for."""
    return NOW


@pytest.fixture(scope="session")
def hallway_payload(hallway):
    """Return what is kept of an example's counsel, as it comes back from the store."""
    return json.loads(json.dumps(payload_of(hallway)))


@pytest.fixture(scope="session")
def distress_payload(distress):
    """Return the same of the tank whose fish gasp."""
    return json.loads(json.dumps(payload_of(distress)))


@pytest.fixture
def answered(ring, hallway_payload, monkeypatch):
    """Return a function that keeps an answer with the ring's tank, of now unless told otherwise.

    Now is from then on the moment that the answer is about.
    """
    monkeypatch.setenv("LEAFGILL_NOW", ANSWERED.isoformat())

    def keep(payload=None, **changes):
        ring.tank.refresh_from_db()
        told = {
            "version": ring.tank.version,
            "asked_for": ANSWERED,
            "made_at": ANSWERED,
            "payload": hallway_payload if payload is None else payload,
        }
        return AnswerRow.objects.update_or_create(tank=ring.tank, defaults=told | changes)[0]

    return keep
