"""Every address of a tank's pages and of those around them, walked by everybody."""

import io
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, get_resolver

from leafgill.web.alert_models import AlertRow
from leafgill.web.ingest import tokens
from leafgill.web.models import TaskRow, TokenRow, TopicRow
from leafgill.web.store import sharing
from leafgill.web.store.readings import sensor_for
from leafgill.web.views import (
    about,
    alerts,
    balance,
    bottles,
    bringing_in,
    calendar,
    care,
    charts,
    diary,
    emergency,
    paper,
    rig,
    sensors,
    setup,
    taking_out,
    today,
    trouble,
    water,
)
from leafgill.web.views import settings as settings_views
from leafgill.web.views import sharing as sharing_views

pytestmark = pytest.mark.django_db
MODULES = (about, alerts, balance, bottles, bringing_in, calendar, care, charts, diary, emergency,
           paper, rig, sensors, setup, sharing_views, settings_views, taking_out, today, trouble,
           water)  # fmt: skip

READ, WRITE, OWN, ANYBODY = "read", "write", "own", "anybody"
ALLOWED = {
    READ: {"owner", "writer", "reader"},
    WRITE: {"owner", "writer"},
    OWN: {"owner"},
    # behind a login, and about nobody's tank
    ANYBODY: {"owner", "writer", "reader", "stranger"},
}
# name: (who may, the methods it answers)
ADDRESSES = {
    "tanks": (ANYBODY, "GET"),
    "today": (READ, "GET"),
    "today_parts": (READ, "GET"),
    "step_reply": (WRITE, "POST"),
    "quick_entry": (WRITE, "POST"),
    "alerts": (READ, "GET"),
    "alerts_part": (READ, "GET"),
    "alert_seen": (WRITE, "POST"),
    "alert_snooze": (WRITE, "POST"),
    "alerts_publish": (OWN, "POST"),
    "emergency": (READ, "GET"),
    "emergency_seen": (WRITE, "POST"),
    "chart": (READ, "GET"),
    "charts": (READ, "GET"),
    "about": (READ, "GET"),
    "about_part": (WRITE, "GET POST"),
    "tank_away": (OWN, "POST"),
    "tank_back": (OWN, "POST"),
    "files": (READ, "GET"),
    "import_upload": (WRITE, "POST"),
    "import_columns": (WRITE, "GET POST"),
    "import_look": (WRITE, "GET POST"),
    "import_forget": (WRITE, "POST"),
    "care": (READ, "GET"),
    "care_add": (WRITE, "POST"),
    "care_begin": (WRITE, "POST"),
    "care_done": (WRITE, "POST"),
    "care_edit": (WRITE, "GET POST"),
    "care_remove": (WRITE, "POST"),
    "care_take": (WRITE, "POST"),
    "trouble": (READ, "GET"),
    "trouble_symptom": (READ, "GET"),
    "sensors": (READ, "GET"),
    "sensor": (READ, "GET"),
    "sensor_add": (WRITE, "POST"),
    "sensor_remove": (WRITE, "POST"),
    "token_make": (WRITE, "POST"),
    "token_revoke": (WRITE, "POST"),
    "topic_add": (WRITE, "POST"),
    "topic_remove": (WRITE, "POST"),
    "diary": (READ, "GET"),
    "diary_kinds": (WRITE, "GET"),
    "diary_add": (WRITE, "GET POST"),
    "diary_edit": (WRITE, "GET POST"),
    "diary_remove": (WRITE, "POST"),
    "diary_restore": (WRITE, "POST"),
    "card": (READ, "GET"),
    "report": (READ, "GET"),
    "report_chart": (READ, "GET"),
    "balance": (READ, "GET"),
    "balance_write": (WRITE, "POST"),
    "water": (READ, "GET"),
    "bottles": (READ, "GET"),
    "bottles_keep": (WRITE, "POST"),
    "rig": (READ, "GET"),
    "rig_checklist": (READ, "GET"),
    "export_diary": (READ, "GET"),
    "export_probe": (READ, "GET"),
    "export_tank": (READ, "GET"),
    "export_archive": (READ, "GET"),
    "people": (READ, "GET"),
    "invite": (OWN, "POST"),
    "call_back": (OWN, "POST"),
    "change_role": (OWN, "POST"),
    "leave": (READ, "POST"),
    "setup_begin": (ANYBODY, "GET POST"),
    "setup_review": (ANYBODY, "GET POST"),
    "setup_forget": (ANYBODY, "POST"),
    "setup_step": (ANYBODY, "GET POST"),
    "export_all": (ANYBODY, "GET"),
    "archive_upload": (ANYBODY, "GET POST"),
    "archive_look": (ANYBODY, "GET POST"),
    "archive_forget": (ANYBODY, "POST"),
    "calendar": (ANYBODY, "GET"),
    "calendar_make": (ANYBODY, "POST"),
    "calendar_revoke": (ANYBODY, "POST"),
    "settings": (ANYBODY, "GET POST"),
    "settings_password": (ANYBODY, "POST"),
}
# Open to whoever has the link; a test of its own walks it.
BY_LINK = {"calendar_file", "invitation"}
# Open to anybody: about no tank.
OPEN = {"emergency_any", "chart_library"}
# What a form sends where an empty one is about nothing.
SENT = {
    "alerts_publish": {"publish": "yes"},
    "emergency_seen": {"shut": "yes"},
    "step_reply": {"reply": "not-now"},
}
# Parts of a page, below its heading.
FRAGMENTS = {"alerts_part"}
EVERYBODY = ("owner", "writer", "reader", "stranger", "nobody")


def patterns():
    return [p for module in MODULES for p in module.urlpatterns if isinstance(p, URLPattern)]


def test_the_list_above_is_complete():
    assert {p.name for p in patterns()} == set(ADDRESSES) | BY_LINK | OPEN
    known = {p.name for p in get_resolver().url_patterns if isinstance(p, URLPattern)}
    assert set(ADDRESSES) <= known


@pytest.fixture
def walk(ring, now):
    """Return a function from a name to its address, with something behind every part of it."""
    (number,) = ring.write(("2025-03-08T09:00", "ph", "6.8"))
    task = TaskRow.objects.create(tank=ring.tank, what="Trim", every_days=7)
    sensor = sensor_for(ring.tank, "ph")
    tokens.make(sensor, "logger", ring.keepers["owner"], now)
    token = TokenRow.objects.get()
    topic = TopicRow.objects.create(sensor=sensor, topic="den/ph")
    alert = AlertRow.objects.create(tank=ring.tank, key="care", urgency="look", title="Den",
                                    since=now, opened_at=now, held_at=now)  # fmt: skip
    link = sharing.invite(ring.tank, "read", ring.keepers["owner"], now)
    invitation = sharing.open_invitations(ring.tank, now).first()
    file = SimpleUploadedFile("p.csv", b"time,ph\n2025-03-04T12:30,6.8\n")
    uploaded = ring.post("owner", "files/probe/", file=file)["Location"].split("/")[5]
    parts = {
        "public_id": ring.tank.public_id,
        "number": {
            "alert": alert.pk,
            "care": task.pk,
            "diary": number,
            "call": invitation.pk,
            "token": token.pk,
            "topic": topic.pk,
        },
        "token": uploaded,
        "slug": {"about": "water", "setup": "size"}
        | dict.fromkeys(("sensor", "token", "topic"), sensor.slug),
        "kind": {"import": "probe", "diary": "kh", "quick": "ph", "balance": "test"},
        "seen": "black-brush",
        "keeper_id": ring.keepers["reader"].pk,
    }
    routes = {p.name: str(p.pattern) for p in patterns()}
    assert link

    def address(name):
        if name == "chart":
            return ring.url("chart/record-phone-light.svg")

        def put_in(found):
            value = parts[found[1].split(":")[-1]]
            if isinstance(value, dict):
                value = value[name.split("_")[0]]
            return str(value)

        return "/" + re.sub(r"<([^>]+)>", put_in, routes[name])

    return address


@pytest.mark.parametrize("who", EVERYBODY)
@pytest.mark.parametrize("name", ADDRESSES)
def test_only_who_may_gets_in(ring, walk, name, who):
    may, methods = ADDRESSES[name]
    method = methods.split()[0]
    client = ring.client(who)
    address = walk(name)
    response = client.get(address) if method == "GET" else client.post(address, SENT.get(name))
    if who == "nobody":
        assert response.status_code == 302
        assert "login" in response["Location"]
    elif who in ALLOWED[may]:
        assert response.status_code in (200, 302, 422)
    else:
        assert response.status_code in (403, 404)
    if who not in ALLOWED[may] and who != "nobody":
        page = response.content.decode()
        assert "6.8" not in page
        assert who == "reader" or who == "writer" or "Den" not in page


@pytest.mark.parametrize("name", ADDRESSES)
def test_another_method_is_refused_and_changes_nothing(ring, walk, name):
    _, methods = ADDRESSES[name]
    address = walk(name)
    client = ring.client("owner")
    with CaptureQueriesContext(connection) as queries:
        refused = [
            client.generic(method, address).status_code
            for method in ("GET", "POST", "PUT", "DELETE", "PATCH")
            if method not in methods.split()
        ]
    assert set(refused) == {405}
    assert not [q["sql"] for q in queries if _writes(q["sql"])]


@pytest.mark.parametrize("who", EVERYBODY)
@pytest.mark.parametrize("name", [n for n, (_, methods) in ADDRESSES.items() if "GET" in methods])
def test_looking_writes_nothing(ring, walk, name, who):
    address, client = walk(name), ring.client(who)
    with CaptureQueriesContext(connection) as queries:
        client.get(address)
    assert not [q["sql"] for q in queries if _writes(q["sql"])]


def _writes(sql):
    first = sql.lstrip().split(" ", 1)[0].upper()
    return first in ("INSERT", "UPDATE", "DELETE", "REPLACE") and "django_session" not in sql


@pytest.mark.parametrize("name", [n for n, (_, methods) in ADDRESSES.items() if "POST" in methods])
def test_a_form_without_its_token_is_refused(ring, walk, name):
    address = walk(name)
    client = ring.client("owner")
    client.handler.enforce_csrf_checks = True
    assert client.post(address).status_code == 403


@pytest.mark.parametrize("name", [n for n, (_, methods) in ADDRESSES.items() if "GET" in methods])
def test_pages_have_no_script_or_style_of_their_own(ring, walk, name):
    response = ring.client("owner").get(walk(name))
    if response.status_code != 200 or "html" not in response["Content-Type"]:
        return
    page = response.content.decode()
    assert not re.search(r"<script(?![^>]*\bsrc=)", page)
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=", page)
    assert page.count("<h1") == (name not in FRAGMENTS)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids)), sorted(i for i in ids if ids.count(i) > 1)
    for target in re.findall(r'\s(?:for|aria-labelledby)="([^"]+)"', page):
        assert target in ids, target
    for targets in re.findall(r'\saria-describedby="([^"]+)"', page):
        assert set(targets.split()) <= set(ids), targets


def test_a_years_readings_do_not_slow_the_diary_with_queries(ring, walk):
    ring.write(*((f"2025-03-07T{n // 60:02d}:{n % 60:02d}", "note", "", "", f"n{n}")
                 for n in range(200)))  # fmt: skip
    client = ring.client("owner")
    with CaptureQueriesContext(connection) as queries:
        client.get(walk("diary"))
    assert len(queries) < 25


def test_bytes_that_are_no_form_are_refused(ring, walk):
    client = ring.client("owner")
    body = io.BytesIO(b"\xff" * 100)
    response = client.post(walk("diary_add"), body.read(), content_type="application/octet-stream")
    assert response.status_code == 422
