import json
from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from leafgill.tank.spec import Tank
from leafgill.web.ingest import counter, http, tokens
from leafgill.web.ingest.checks import RANGE
from leafgill.web.ingest.failing import StoreError
from leafgill.web.ingest.rates import Rates
from leafgill.web.models import Keeper, ReadingRow, TokenRow
from leafgill.web.store.tanks import change_spec

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _here(monkeypatch, now):
    monkeypatch.setenv("LEAFGILL_NOW", now.isoformat())
    monkeypatch.setattr(counter, "COUNTER", counter.DirectCounter())
    monkeypatch.setattr(
        http, "_of_sensor", Rates(http.SENSOR_BURST, http.SENSOR_PER_S, steady=lambda: 0.0)
    )
    monkeypatch.setattr(
        http, "_of_wrong", Rates(http.WRONG_BURST, http.WRONG_PER_S, steady=lambda: 0.0)
    )
    tokens.DOORS.forget()


@pytest.fixture
def token(sensor, now):
    return tokens.make(sensor, "electrode", Keeper.objects.get(), now)


@pytest.fixture
def send(sensor, token):
    def post(data, content_type="application/json", **changes):
        told = {"slug": sensor.slug, "token": token} | changes
        if not isinstance(data, bytes | str):
            data = json.dumps(data)
        client = Client(HTTP_HOST="testserver", enforce_csrf_checks=True)
        return client.post(
            f"/in/{told['slug']}/",
            data,
            content_type=content_type,
            headers={"Authorization": f"Bearer {told['token']}"},
        )

    return post


def test_a_reading_is_kept_and_told_without_a_session(send, sensor, now, kept):
    answer = send({"value": 6.8, "time": "2025-03-08T12:00"})
    assert answer.status_code == 200
    assert answer.json() == {"new": 1, "same": 0, "changed": 0, "clashing": 0, "doubted": 0,
                             "refused": 0, "why": []}  # fmt: skip
    assert not answer.cookies
    # small senders cannot read an answer in chunks
    assert int(answer["Content-Length"]) == len(answer.content)
    assert kept(sensor) == [(int(now.timestamp()) - 600, 6.8, 0)]
    again = send({"value": 6.8, "time": "2025-03-08T12:00"})
    assert (again.status_code, again.json()["same"]) == (200, 1)
    assert len(kept(sensor)) == 1


def test_a_plain_number_is_of_now(send, sensor, now, kept):
    assert send("6.82", "text/plain").status_code == 200
    assert kept(sensor) == [(int(now.timestamp()), 6.82, 0)]


def test_many_at_once_with_some_that_cannot_be(send, sensor, kept):
    answer = send([{"value": 6.8, "time": "2025-03-08T12:00"}, {"value": "x"}, {"value": 1e9},
                   {"value": 15.0, "time": "2025-03-08T12:09"}])  # fmt: skip
    assert answer.status_code == 200
    told = answer.json()
    assert (told["new"], told["doubted"], told["refused"]) == (2, 1, 2)
    assert told["why"] == ['value "x" is no number', "1e+09 cannot be a reading of ph"]
    assert [(v, f) for _, v, f in kept(sensor)] == [(6.8, 0), (15.0, RANGE)]
    sensor.refresh_from_db()
    assert sensor.refused_count == 2


@pytest.mark.parametrize(
    ("changes", "header"),
    [
        ({"token": "lg_" + "a" * 43}, True),
        ({"token": ""}, True),
        ({"token": "x" * 5000}, True),
        ({"slug": "another"}, True),
    ],
)
def test_without_the_right_token_nothing_is_told(send, sensor, kept, changes, header):
    answer = send("6.8", **changes)
    assert answer.status_code == 401
    assert answer["WWW-Authenticate"].startswith("Bearer")
    assert answer.json() == {"error": "there is no such sensor, or the token is not its own"}
    assert kept(sensor) == []


def test_no_token_at_all_and_another_scheme_are_refused(sensor, token):
    client = Client(HTTP_HOST="testserver")
    address = f"/in/{sensor.slug}/"
    assert client.post(address, "6.8", content_type="text/plain").status_code == 401
    basic = {"Authorization": f"Basic {token}"}
    answer = client.post(address, "6.8", content_type="text/plain", headers=basic)
    assert answer.status_code == 401


def test_another_sensors_token_is_not_this_ones(send, row, sensor, now):
    from leafgill.web.store.readings import sensor_for

    other = tokens.make(sensor_for(row, "o2"), "", Keeper.objects.get(), now)
    assert send("6.8", token=other).status_code == 401


def test_a_token_taken_back_opens_nothing_at_once(send, sensor, now):
    assert send("6.8").status_code == 200
    assert tokens.revoke(sensor, TokenRow.objects.get().pk, now)
    assert send("6.9").status_code == 401
    assert not tokens.revoke(sensor, TokenRow.objects.get().pk, now)


def test_the_token_itself_is_nowhere_in_the_store(token):
    found = TokenRow.objects.get()
    assert token not in str(TokenRow.objects.values().get())
    assert len(found.token_hash) == 64


def test_a_door_is_remembered_until_something_changes(sensor, token, now):
    steady = [0.0]
    doors = tokens.Doors(lambda: steady[0])
    assert doors.open(sensor.slug, token).sender.sensor_id == sensor.pk
    with CaptureQueriesContext(connection) as queries:
        for _ in range(100):
            doors.open(sensor.slug, token)
    assert len(queries) == 0
    steady[0] = tokens.KNOWN_S
    with CaptureQueriesContext(connection) as queries:
        assert doors.open(sensor.slug, token) is not None
    assert len(queries) == 1
    # taken back where this process does not hear of it
    TokenRow.objects.update(revoked_at=now)
    steady[0] = 2 * tokens.KNOWN_S - 1
    assert doors.open(sensor.slug, token) is not None
    steady[0] = 2 * tokens.KNOWN_S
    assert doors.open(sensor.slug, token) is None


def test_a_tanks_new_zone_holds_for_its_sensors(sensor, row, token):
    doors = tokens.Doors(steady=lambda: 0.0)
    assert doors.open(sensor.slug, token).timezone == "Europe/Berlin"
    moved = Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60, "timezone": "Asia/Tokyo"}})
    change_spec(row, moved, Keeper.objects.get())
    doors._asked_s = -tokens.KNOWN_S
    assert doors.open(sensor.slug, token).timezone == "Asia/Tokyo"


def test_a_sensor_has_a_few_tokens_at_most(sensor, now):
    keeper = Keeper.objects.get()
    for _ in range(tokens.MOST_EACH):
        tokens.make(sensor, "", keeper, now)
    with pytest.raises(tokens.InputError, match="take one back first"):
        tokens.make(sensor, "", keeper, now)


def test_only_post_is_answered(sensor):
    client = Client(HTTP_HOST="testserver")
    for method in ("GET", "PUT", "DELETE", "PATCH"):
        answer = client.generic(method, f"/in/{sensor.slug}/")
        assert (answer.status_code, answer["Allow"]) == (405, "POST")


@pytest.mark.parametrize(
    ("data", "content_type", "status"),
    [("", "text/plain", 400), ("x", "text/plain", 400), (b"\xff", "text/plain", 400),
     ("{", "application/json", 400), ({"value": 1e300}, "application/json", 422),
     ({"value": 6.8, "time": 5}, "application/json", 422), ("time,o2\n2025-03-08T12:10,8\n",
     "text/csv", 400), ("a=1&b=2", "application/x-www-form-urlencoded", 400)],
)  # fmt: skip
def test_what_is_no_reading_is_refused_in_words(send, sensor, kept, data, content_type, status):
    answer = send(data, content_type)
    assert answer.status_code == status
    assert answer.json()["error"]
    assert kept(sensor) == []
    sensor.refresh_from_db()
    assert sensor.refused == answer.json()["error"]


def test_too_much_at_once_is_refused_unread(send, monkeypatch):
    monkeypatch.setattr(http, "LARGEST", 100)
    answer = send("6" * 101, "text/plain")
    assert answer.status_code == 413


def test_too_often_is_told_when_to_come_again(send):
    answers = [
        send({"value": 6.8, "time": "2025-03-08T12:00"}) for _ in range(http.SENSOR_BURST + 5)
    ]
    assert {a.status_code for a in answers[: http.SENSOR_BURST]} == {200}
    assert answers[-1].status_code == 429
    assert answers[-1]["Retry-After"] == "1"


def test_wrong_tokens_are_counted_by_address(send):
    wrong = "lg_" + "a" * 43
    for _ in range(http.WRONG_BURST):
        assert send("6.8", token=wrong).status_code == 401
    assert send("6.8", token=wrong).status_code == 429
    # who has a right one is not made to wait for it
    assert send("6.8", "text/plain").status_code == 200


def test_where_the_store_cannot_keep_it_it_is_said_and_to_come_again(send, monkeypatch, now):
    class Full:
        def hand_over(self, parcel, within_s):
            raise StoreError("the disk is full or fails")

    monkeypatch.setattr(counter, "COUNTER", Full())
    answer = send("6.8", "text/plain")
    assert answer.status_code == 503
    assert answer["Retry-After"] == "15"
    assert answer.json() == {"error": "the disk is full or fails; nothing was taken, send it again"}


def test_a_sensor_that_is_ahead_of_the_clock_is_heard_and_doubted(send, sensor, now):
    ahead = (now + timedelta(hours=2)).isoformat()
    assert send({"value": 6.8, "time": ahead}).json()["doubted"] == 1
    assert ReadingRow.objects.get().flag != 0
