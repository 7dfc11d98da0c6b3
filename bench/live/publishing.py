"""Sensors that publish to a broker, and what each was promised for it."""

from __future__ import annotations

import json
import random
import threading
import time
from collections import deque
from collections.abc import Callable, Sequence
from pathlib import Path

import paho.mqtt.client as mqtt
from bench.live.home import MIDDLE, Sensor
from paho.mqtt.enums import CallbackAPIVersion


def name_broker(home: Path, port: int) -> None:
    """Write the broker into a data folder, as `leafgill broker` does."""
    path = home / "broker.toml"
    path.write_text(f'host = "127.0.0.1"\nport = {port}\nclient_id = "leafgill-bench"\n')
    path.chmod(0o600)


def is_listening(home: Path) -> bool:
    """Return whether the listener of a data folder says it is connected, with its topics."""
    try:
        told = json.loads((home / "listener.json").read_text())
    except (OSError, ValueError):
        return False
    return told["state"] == "connected" and bool(told["subscribed"])


def wait_until(holds: Callable[[], bool], within_s: float) -> bool:
    """Return whether something came to hold within so long."""
    until = time.monotonic() + within_s
    while time.monotonic() < until:
        if holds():
            return True
        time.sleep(0.1)
    return holds()


def client(port: int, name: str) -> mqtt.Client:
    """Return a publisher with a session that lasts, on its way to the broker."""
    made = mqtt.Client(CallbackAPIVersion.VERSION2, client_id=name, clean_session=False)
    made.max_queued_messages_set(0)
    made.max_inflight_messages_set(1000)
    made.reconnect_delay_set(1, 1)
    made.connect_async("127.0.0.1", port)
    made.loop_start()
    return made


class Publisher:
    """Publishes one sensor's reading after the other's at QoS 1, `step_s` apart in their times."""

    def __init__(
        self,
        port: int,
        sensors: Sequence[Sensor],
        begin_s: int,
        step_s: int,
        every_s: float = 0.005,
    ) -> None:
        self._sensors, self._begin_s, self._step_s = sensors, begin_s, step_s
        self._every_s = every_s
        self._sent: dict[tuple[int, int], float] = {}
        self._by_mid: dict[int, tuple[int, int]] = {}
        self._mids: deque[int] = deque()
        self._early: set[int] = set()
        self._promised: set[tuple[int, int]] = set()
        self._client = client(port, "bench-publisher")
        # called within the client's locks: it may only note the number down
        self._client.on_publish = lambda _c, _d, mid, _r, _p: self._mids.append(mid)
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> dict[tuple[int, int], float]:
        """End; return what the broker has acknowledged, by sensor and second."""
        self._stop.set()
        self._thread.join()
        wait_until(lambda: self._note() == len(self._sent), 60)
        self._client.disconnect()
        self._client.loop_stop()
        self._note()
        return {key: self._sent[key] for key in self._promised}

    def _note(self) -> int:
        """Note what was acknowledged so far; return how many."""
        while self._mids:
            mid = self._mids.popleft()
            if mid in self._by_mid:
                self._promised.add(self._by_mid.pop(mid))
            else:
                self._early.add(mid)
        for mid in self._early & set(self._by_mid):
            self._early.discard(mid)
            self._promised.add(self._by_mid.pop(mid))
        return len(self._promised)

    def _run(self) -> None:
        rng = random.Random(3)
        number = 0
        while not self._stop.is_set():
            time_s = self._begin_s + self._step_s * number
            for sensor in self._sensors:
                value = round(MIDDLE[sensor.kind] * (1 + 0.002 * rng.gauss(0, 1)), 3)
                payload = json.dumps({"v": value, "t": time_s})
                info = self._client.publish(sensor.topic, payload, qos=1)
                self._sent[sensor.id, time_s] = value
                self._by_mid[info.mid] = (sensor.id, time_s)
                time.sleep(self._every_s)
            self._note()
            number += 1
