"""The teller: who is told of what, how often, and what happens where it fails."""

import threading
from datetime import time, timedelta

import pytest

from leafgill.tank.spec import Tank
from leafgill.web.alert_models import AlertRow, ChannelRow, TellingRow
from leafgill.web.alerts import addresses, book, teller
from leafgill.web.alerts.condition import Condition, Round
from leafgill.web.alerts.teller import Teller, tell_all
from leafgill.web.models import Keeper, Share
from leafgill.web.store.tanks import create_tank

pytestmark = pytest.mark.django_db
ADDRESS = "json://127.0.0.1/x"


@pytest.fixture
def now(facts):
    return facts().now


@pytest.fixture
def channel(keeper, now):
    addresses.put("slug", ADDRESS)
    return ChannelRow.objects.create(keeper=keeper, slug="slug", name="phone", made_at=now)


class Way:
    """Stands for the network: counts what is sent, and answers as it is told."""

    def __init__(self):
        self.came, self.wrong = [], ""

    def __call__(self, address, title, body, *, urgent=False):
        self.came.append((address, title, body, urgent))
        return self.wrong

    @property
    def titles(self):
        return [title for _, title, _, _ in self.came]


@pytest.fixture
def way():
    return Way()


def happens(den, now, urgency="today", key="silent:x", title="The sensor sends nothing", **more):
    told = Condition(key, urgency, title, now, **more)
    book.keep(den, Round((told,), frozenset()), now)
    return AlertRow.objects.get(tank=den, key=key)


def test_it_is_told_once_with_tank_and_what_in_the_first_line(den, channel, way, now):
    happens(den, now, seen="its newest reading is of today 09:00", check="look at its power")
    assert tell_all(now, way=way) == 1
    assert way.came == [
        (
            ADDRESS,
            "Den: The sensor sends nothing",
            "Look today.\nSeen: Its newest reading is of today 09:00.\n"
            "Look first: Look at its power.\nSince about today 12:10.",
            False,
        )
    ]
    for hours in (1, 24, 100):
        assert tell_all(now + timedelta(hours=hours), way=way) == 0
    channel.refresh_from_db()
    assert (channel.told_at, channel.failures) == (now, 0)


def test_several_at_once_are_one_text_danger_first(den, channel, way, now):
    happens(den, now)
    happens(den, now, "now", "over limit", "CO2 may be over", sure=0.6)
    tell_all(now, way=way)
    ((_, title, body, urgent),) = way.came
    assert (title, urgent) == ("Den: CO2 may be over, and 1 more", True)
    assert body.startswith("Look now: CO2 may be over (60 % sure).\n")
    assert "Look today: The sensor sends nothing." in body


def test_danger_is_told_until_it_is_seen(den, channel, way, now, keeper):
    row = happens(den, now, "now")
    told_at = []
    for minute in range(0, 200, 5):
        if tell_all(now + timedelta(minutes=minute), way=way):
            told_at.append(minute)
    assert told_at == [0, 10, 30, 70, 150]
    book.acknowledge(row, keeper, now)
    assert tell_all(now + timedelta(days=1), way=way) == 0


def test_put_off_it_is_told_again_afterwards(den, channel, way, now):
    row = happens(den, now)
    tell_all(now, way=way)
    book.snooze(row, 4, now)
    assert tell_all(now + timedelta(hours=3), way=way) == 0
    assert tell_all(now + timedelta(hours=4), way=way) == 1
    assert tell_all(now + timedelta(hours=5), way=way) == 0


def test_put_off_before_it_was_told_it_waits(den, channel, way, now):
    book.snooze(happens(den, now, "now"), 1, now)
    assert tell_all(now, way=way) == 0
    assert tell_all(now + timedelta(minutes=60), way=way) == 1


def test_what_is_over_is_not_told(den, channel, way, now):
    happens(den, now, "now")
    book.keep(den, Round((), frozenset({"silent"})), now + timedelta(hours=1))
    assert tell_all(now + timedelta(hours=1), way=way) == 0


def test_quiet_hours_are_the_keepers_own_and_danger_does_not_heed_them(
    den, channel, way, now, keeper
):
    keeper.time_zone = "Asia/Tokyo"  # 20:10 there
    keeper.save()
    TellingRow.objects.create(keeper=keeper, quiet_from=time(20), quiet_until=time(21))
    happens(den, now)
    assert tell_all(now, way=way) == 0
    happens(den, now, "now", "over limit", "CO2 may be over")
    assert tell_all(now, way=way) == 1
    assert way.titles == ["Den: CO2 may be over"]
    # the rest comes when they end
    assert tell_all(now + timedelta(minutes=51), way=way) == 1
    assert "The sensor sends nothing" in way.came[-1][2] + way.came[-1][1]


def test_each_who_has_the_tank_is_told_and_nobody_else(den, channel, way, now):
    for name, shares in (("bea", True), ("stranger", False), ("gone", True)):
        other = Keeper.objects.create(username=name, is_active=name != "gone")
        if shares:
            Share.objects.create(tank=den, keeper=other, role="read")
        addresses.put(name, f"json://{name}")
        ChannelRow.objects.create(keeper=other, slug=name, name=name, made_at=now)
    happens(den, now)
    tell_all(now, way=way)
    assert [address for address, *_ in way.came] == [ADDRESS, "json://bea"]


def test_a_tank_put_away_is_silent(den, channel, way, now):
    happens(den, now, "now")
    den.archived_at = now
    den.save()
    assert tell_all(now, way=way) == 0


def test_a_failure_is_shown_and_tried_again_later_each_time(den, channel, way, now):
    happens(den, now)
    way.wrong = "error=500"
    tried = []
    for minute in range(0, 20):
        before = len(way.came)
        tell_all(now + timedelta(minutes=minute), way=way)
        if len(way.came) > before:
            tried.append(minute)
    assert tried == [0, 1, 3, 7, 15]
    channel.refresh_from_db()
    assert (channel.failures, channel.error) == (5, "error=500")
    way.wrong = ""
    assert tell_all(now + timedelta(minutes=60), way=way) == 1
    channel.refresh_from_db()
    assert (channel.failures, channel.error, channel.next_try) == (0, "", None)


def test_one_way_that_fails_does_not_keep_another(den, channel, way, now, keeper):
    addresses.put("second", "json://second")
    ChannelRow.objects.create(keeper=keeper, slug="second", name="b", made_at=now)
    happens(den, now)

    def picky(address, *told, **more):
        way(address, *told, **more)
        return "no" if address == ADDRESS else ""

    assert tell_all(now, way=picky) == 1
    assert [address for address, *_ in way.came] == [ADDRESS, "json://second"]


def test_an_address_that_is_gone_is_told(den, channel, way, now):
    addresses.take_out("slug")
    happens(den, now)
    tell_all(now, way=way)
    assert way.came == []
    channel.refresh_from_db()
    assert "not kept here" in channel.error


def test_a_round_stops_when_it_is_told_to(den, channel, way, now):
    happens(den, now)
    stop = threading.Event()
    stop.set()
    assert tell_all(now, stop, way) == 0


def test_a_long_text_is_cut(den, channel, way, now):
    happens(den, now, seen="x" * 2000)
    tell_all(now, way=way)
    assert len(way.came[0][2]) == 900


def test_the_runner_tells_and_stops(den, channel, now, monkeypatch):
    stop, told = threading.Event(), []

    def all_of_it(at, stop_given):
        told.append(at)
        stop_given.set()

    monkeypatch.setattr(teller, "tell_all", all_of_it)
    Teller(every_s=0.01).run(stop)
    assert told == [now]


def test_two_tanks_are_two_texts(den, channel, way, now, keeper):
    told = {"tank": {"name": "Other", "volume_l": 60.0, "timezone": "UTC"}}
    other = create_tank(keeper, Tank.from_mapping(told))
    happens(den, now)
    happens(other, now, "now")
    tell_all(now, way=way)
    assert way.titles == ["Other: The sensor sends nothing", "Den: The sensor sends nothing"]
    assert "Since about today 11:10." in way.came[0][2]  # by that tank's clock
