"""The watcher: rounds of all tanks, each tank's alerts opened and closed."""

import threading
from datetime import timedelta

import pytest
from django.db import DatabaseError

from leafgill.tank.spec import Tank
from leafgill.web.alert_models import AlertRow
from leafgill.web.alerts import book, watcher
from leafgill.web.alerts.watcher import Watcher, look_at
from leafgill.web.store.tanks import create_tank

pytestmark = pytest.mark.django_db


@pytest.fixture
def now(facts):
    return facts().now


@pytest.fixture
def one_round(monkeypatch):
    """Return a function that lets the watcher make one round."""

    def run():
        stop, real = threading.Event(), book.tidy
        monkeypatch.setattr(book, "tidy", lambda at: (stop.set(), real(at)))
        Watcher(every_s=0.0).run(stop)

    return run


def test_from_what_is_worked_out_to_an_alert_and_to_its_end(den, answered, clock, now, payload):
    answered(payload(0.9))
    look_at(den)
    (row,) = book.open_alerts(den)
    assert (row.key, row.urgency, row.since) == ("over limit", "now", now)
    clock(now + timedelta(minutes=20))
    answered(payload(0.0), asked_for=now + timedelta(minutes=20))
    look_at(den)
    assert book.open_alerts(den) == []


def test_danger_stays_open_while_nobody_can_tell(den, answered, clock, now, payload):
    answered(payload(0.9))
    look_at(den)
    clock(now + timedelta(hours=2))
    look_at(den)
    assert [row.key for row in book.open_alerts(den)] == ["over limit"]
    assert AlertRow.objects.get().held_at == now


def test_a_round_goes_over_all_tanks_but_those_put_away(den, keeper, one_round, monkeypatch, now):
    told = {"tank": {"name": "Away", "volume_l": 60.0}}
    away = create_tank(keeper, Tank.from_mapping(told))
    away.archived_at = now
    away.save()
    seen, asked = [], []
    monkeypatch.setattr(watcher, "look_at", lambda row: seen.append(row.pk))
    monkeypatch.setattr(watcher.worker, "watch_for", lambda row: asked.append(row.pk))
    one_round()
    assert seen == asked == [den.pk]


def test_what_breaks_with_one_tank_leaves_the_others_watched(
    den, keeper, one_round, monkeypatch, caplog
):
    told = {"tank": {"name": "Second", "volume_l": 60.0}}
    second = create_tank(keeper, Tank.from_mapping(told))
    seen = []

    def breaks(row):
        seen.append(row.pk)
        if row.pk == den.pk:
            raise KeyError("risk")

    monkeypatch.setattr(watcher, "look_at", breaks)
    one_round()
    assert seen == [den.pk, second.pk]
    assert f"looking at tank {den.pk} broke" in caplog.text


def test_the_stores_trouble_ends_the_run_so_that_it_is_begun_again(den, monkeypatch):
    def broken(_row):
        raise DatabaseError("disk full")

    monkeypatch.setattr(watcher, "look_at", broken)
    with pytest.raises(DatabaseError):
        Watcher().run(threading.Event())
