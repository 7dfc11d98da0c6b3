"""The publisher with a real broker: permission is there late, and gone at once and for sure."""

import json
import os
import signal
import subprocess
import sys
import threading
import time
from datetime import timedelta
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[3]))
from bench.live.mosquitto import Mosquitto, binary

from leafgill.web.alert_models import AlertRow, PublishRow
from leafgill.web.alerts import book
from leafgill.web.alerts.condition import Condition, Round
from leafgill.web.ingest.broker import Broker, client_of, save
from leafgill.web.publishing.publisher import Publisher

pytestmark = pytest.mark.django_db
BEAT_S = 0.15


@pytest.fixture
def broker(tmp_path):
    if binary() is None:
        missing = "mosquitto is not there; on Debian: apt-get install mosquitto"
        if os.environ.get("LEAFGILL_TESTS_NEED_ALL"):
            pytest.fail(missing)
        pytest.skip(missing)
    folder = tmp_path / "broker"
    folder.mkdir()
    found = Mosquitto(folder)
    found.start()
    save(Broker("127.0.0.1", found.port, client_id="leafgill-test"))
    yield found
    found.stop()


class Hub:
    """What a home's hub hears: (topic, payload, retained) in order; it comes back by itself."""

    def __init__(self, port):
        self.heard = []
        self._client = client_of(Broker("127.0.0.1", port), "", clean=True)
        self._client.reconnect_delay_set(min_delay=1, max_delay=1)
        self._client.on_connect = lambda client, *_: client.subscribe("#", 1)
        self._client.on_message = lambda _c, _d, m: self.heard.append(
            (m.topic, m.payload.decode(), bool(m.retain))
        )
        self._client.connect("127.0.0.1", port)
        self._client.loop_start()

    def of(self, end):
        """Return the payloads of a topic, by what it ends in."""
        return [payload for topic, payload, _ in self.heard if topic.endswith(end)]

    def turns(self):
        """Return what permission was, each change once."""
        told = self.of("/gas_permitted")
        return [one for k, one in enumerate(told) if k == 0 or told[k - 1] != one]

    def wait(self, until, within_s=30.0):
        end = time.monotonic() + within_s
        while not until(self) and time.monotonic() < end:
            time.sleep(0.02)
        assert until(self), self.heard[-20:]

    def stop(self):
        self._client.disconnect()
        self._client.loop_stop()


@pytest.fixture
def hub(broker):
    found = Hub(broker.port)
    yield found
    found.stop()


@pytest.fixture
def published(den, now):
    PublishRow.objects.create(tank=den, made_at=now)
    return den


def publish(*acts, within_s=40.0):
    """Publish in this thread; each (until, act) is done at the first beat at which `until()`."""
    stop, waiting = threading.Event(), list(acts)
    late = threading.Timer(within_s, stop.set)

    class Acting(Publisher):
        def _look_again(self, *told):
            if waiting and waiting[0][0]():
                waiting.pop(0)[1]()
                if not waiting:
                    stop.set()
            return super()._look_again(*told)

    late.start()
    Acting(beat_s=BEAT_S, tell_s=BEAT_S).run(stop)
    late.cancel()
    assert not waiting, f"{len(waiting)} were not reached"


def nothing():
    return


def test_permission_comes_late_and_goes_with_danger_with_age_and_at_the_end(
    published, hub, answered, clock, now
):
    def danger():
        told = Condition("over limit", "now", "CO2 may be over", now)
        book.keep(published, Round((told,), frozenset()), now)

    def turned(*told):
        return lambda: hub.turns() == list(told)

    def a_while(*told):
        return lambda: hub.turns() == list(told) and len(hub.of("/gas_permitted")) > 4

    later = now + timedelta(minutes=16)
    publish(
        (a_while("OFF"), answered),
        (turned("OFF", "ON"), danger),
        (turned("OFF", "ON", "OFF"), lambda: AlertRow.objects.update(over_at=now)),
        (turned("OFF", "ON", "OFF", "ON"), lambda: clock(later)),
        (turned("OFF", "ON", "OFF", "ON", "OFF"), lambda: answered(asked_for=later)),
        (turned("OFF", "ON", "OFF", "ON", "OFF", "ON"), nothing),
    )
    hub.wait(turned_off := lambda h: h.turns() == ["OFF", "ON"] * 3 + ["OFF"])
    hub.wait(lambda h: h.of("/alive")[-1] == "offline")
    assert turned_off(hub)
    assert hub.of("/alive") == ["online", "offline"]
    why = [json.loads(one)["why"] for one in hub.of("/permission")]
    assert list(dict.fromkeys(why)) == [
        "nothing is worked out",
        "nothing that is known speaks against it",
        "danger: CO2 may be over",
        "what is believed is of today 12:10",
    ]


def test_on_is_never_retained_and_off_is(published, hub, broker, answered):
    publish(
        (lambda: hub.of("/gas_permitted"), answered),
        (lambda: hub.of("/gas_permitted").count("ON") > 3, nothing),
    )
    # the hub was there before: what the broker keeps is what somebody hears who comes later
    late = Hub(broker.port)
    late.wait(lambda h: h.of("/gas_permitted"))
    late.stop()
    kept = {topic.split("/")[-1]: payload for topic, payload, retained in late.heard if retained}
    assert kept["gas_permitted"] == "OFF"
    assert kept["alive"] == "offline"
    assert not {"belief", "step", "permission", "alerts"} & set(kept)


def test_while_it_is_permitted_who_comes_late_hears_off_first(published, hub, broker, answered):
    late = []

    def come():
        late.append(Hub(broker.port))

    publish(
        (lambda: hub.of("/gas_permitted"), answered),
        (lambda: hub.turns() == ["OFF", "ON"], come),
        (lambda: late and late[0].turns()[:2] == ["OFF", "ON"], nothing),
    )
    first = next(m for m in late[0].heard if m[0].endswith("/gas_permitted"))
    assert first[1:] == ("OFF", True)
    late[0].stop()


def test_after_a_restart_an_old_belief_permits_nothing(published, hub, answered):
    answered()
    publish((lambda: len(hub.of("/gas_permitted")) > 8, nothing))
    assert hub.turns() == ["OFF"]
    assert "nothing is worked out since the app started" in hub.of("/permission")[-1]


def test_what_is_believed_and_what_is_not_well_is_published(published, hub, answered, now):
    told = Condition("silent:x", "today", "The sensor sends nothing", now)
    book.keep(published, Round((told,), frozenset()), now)
    publish(
        (lambda: hub.of("/gas_permitted"), answered),
        (lambda: hub.of("/belief") and hub.of("/step") and hub.of("co2/config"), nothing),
    )
    assert json.loads(hub.of("/belief")[-1])["co2_mg_l"] == {"mean": 24.0, "low": 20.0,
                                                             "high": 28.0}  # fmt: skip
    assert json.loads(hub.of("/step")[-1])["what"] == "Leave the gas as it is"
    assert json.loads(hub.of("/alerts")[-1])["first"] == "The sensor sends nothing"
    config = json.loads(hub.of("co2/config")[-1])
    assert config["state_topic"] == f"leafgill/{published.public_id}/belief"
    assert config["availability_topic"] == "leafgill/test/alive"


def test_a_tank_that_is_published_no_more_is_off_and_forgotten(
    published, hub, broker, answered, keeper, now
):
    publish(
        (lambda: hub.of("/gas_permitted"), answered),
        (lambda: hub.turns() == ["OFF", "ON"] and hub.of("co2/config"),
         lambda: PublishRow.objects.all().delete() and None),
    )  # fmt: skip
    hub.wait(lambda h: h.turns() == ["OFF", "ON", "OFF"] and h.of("co2/config")[-1] == "")
    late = Hub(broker.port)
    late.wait(lambda h: h.of("/gas_permitted"))
    late.stop()
    assert late.of("/gas_permitted") == ["OFF"]
    assert late.of("/config") == []


def test_a_broker_that_was_away_hears_off_before_on(published, hub, broker, answered):
    def away():
        broker.stop()
        broker.start()

    def back():
        return len(hub.of("/alive")) > before[0] and hub.of("/gas_permitted")[-1] == "ON"

    before = []
    publish(
        (lambda: hub.of("/gas_permitted"), answered),
        (lambda: hub.turns() == ["OFF", "ON"],
         lambda: (before.append(len(hub.of("/alive"))), away())),
        (back, nothing),
    )  # fmt: skip
    assert hub.turns()[:4] == ["OFF", "ON", "OFF", "ON"]


def test_without_a_broker_or_a_tank_there_is_nothing_to_do(den, tmp_path):
    Publisher().run(threading.Event())
    save(Broker("127.0.0.1", 1, client_id="leafgill-test"))
    Publisher().run(threading.Event())


def test_what_breaks_withdraws_first(published, hub, answered, payload):
    broken = payload()
    broken["risk"]["p_over_limit"] = [None] * 200

    with pytest.raises(TypeError):
        publish(
            (lambda: hub.of("/gas_permitted"), answered),
            (lambda: hub.turns() == ["OFF", "ON"], lambda: answered(broken)),
            (lambda: False, nothing),
        )
    hub.wait(lambda h: h.turns() == ["OFF", "ON", "OFF"])
    hub.wait(lambda h: h.of("/alive")[-1] == "offline")


@pytest.fixture
def other(broker, hub, payload, tmp_path):
    """A process that publishes, its gas permitted."""
    told, home = tmp_path / "payload.json", tmp_path / "other"
    told.write_text(json.dumps(payload()))
    home.mkdir()
    env = {**os.environ, "LEAFGILL_HOME": str(home), "LEAFGILL_WORKER": "off"}
    env["LEAFGILL_NOW"] = "2025-03-08T12:10:00+01:00"
    script = Path(__file__).with_name("published.py")
    process = subprocess.Popen(
        [sys.executable, script, str(broker.port), told], env=env, stdout=subprocess.DEVNULL
    )
    hub.wait(lambda h: h.turns() == ["OFF", "ON"], within_s=60)
    yield process
    process.kill()
    process.wait()


def test_killed_it_leaves_its_last_will(hub, other):
    other.send_signal(signal.SIGKILL)
    hub.wait(lambda h: h.turns() == ["OFF", "ON", "OFF"], within_s=10)
    hub.wait(lambda h: h.of("/alive") == ["online", "offline"], within_s=10)


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="processes are not frozen here")
def test_frozen_it_leaves_its_last_will_too(hub, other):
    # its connections stay open, and nothing keeps them alive
    other.send_signal(signal.SIGSTOP)
    hub.wait(lambda h: h.turns() == ["OFF", "ON", "OFF"], within_s=20)
    hub.wait(lambda h: h.of("/alive") == ["online", "offline"], within_s=20)
