"""Sensors that publish a reading a second each: how long until the listener acknowledges it.

A real broker (Mosquitto) and the listener in a process of its own, over SQLite, or over a
PostgreSQL of its own with --postgresql (then 2500 sensors unless told otherwise). Every message
carries the moment it was sent; the listener acknowledges to the broker when the reading is on the
disk, and that moment is compared. The broker may hand --inflight messages on before the first of
them is acknowledged; by itself Mosquitto hands on 20. Sensors, broker, listener and database share
the machine's cores.

    python -m bench.live_mqtt [--sensors N] [--seconds 300] [--postgresql] [--inflight 500] [--json]
"""

import argparse
import json
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench.live.count import count_readings
from bench.live.home import MIDDLE, Sensor, environment, make
from bench.live.mosquitto import Mosquitto
from bench.live.postgres import postgres
from bench.live.publishing import client, is_listening, name_broker, wait_until
from bench.live.waits import summary

# The listener as it is, and a note of when each message was acknowledged.
_LISTENER = """
import json, signal, sys, threading, time
from pathlib import Path
from leafgill.web.set_up import set_up
set_up(Path(sys.argv[1]))
from leafgill.web.ingest.mqtt import Listener
waits, stop = [], threading.Event()
def told(messages):
    now = time.time()
    waits.extend(now - json.loads(message.data)["s"] for message in messages)
signal.signal(signal.SIGTERM, lambda *_: stop.set())
begun = time.process_time()
Listener(told).run(stop)
print(json.dumps({"waits": waits, "cpu_s": time.process_time() - begun}))
"""


def run(sensors: int, seconds: int, postgresql: bool, inflight: int = 500) -> dict:
    """Return the figures of one run."""
    with tempfile.TemporaryDirectory() as folder, postgres(postgresql) as url:
        home = Path(folder) / "home"
        made = make(home, sensors, url)
        mosquitto = Mosquitto(Path(folder), f"max_inflight_messages {inflight}")
        mosquitto.start()
        name_broker(home, mosquitto.port)
        listener = subprocess.Popen(
            [sys.executable, "-c", _LISTENER, str(home)],
            env=environment(home, url),
            stdout=subprocess.PIPE,
            text=True,
        )
        wait_until(lambda: is_listening(home), 60)
        time.sleep(1.0)
        sent = _publish(made, mosquitto.port, seconds)
        wait_until(lambda: count_readings(home, url) >= sent, 60)
        kept = count_readings(home, url)
        listener.terminate()
        told = json.loads(listener.communicate(timeout=60)[0])
        mosquitto.stop()
    return {
        "sensors": sensors,
        "seconds": seconds,
        "database": "postgresql" if url else "sqlite",
        "sent": sent,
        "acknowledged": len(told["waits"]),
        "kept": kept,
        "listener_cpu_s": round(told["cpu_s"], 1),
        **summary(told["waits"]),
    }


def _publish(made: list[Sensor], port: int, seconds: int) -> int:
    """Publish each sensor's reading once a second, spread over the second; return how many."""
    publisher = client(port, "bench-load")
    rng, acknowledged = random.Random(5), [0]

    def note(*_: object) -> None:
        acknowledged[0] += 1

    publisher.on_publish = note
    wait_until(publisher.is_connected, 10)
    begin, wall, sent = time.monotonic(), int(time.time()), 0
    for second in range(seconds):
        for nth, sensor in enumerate(made):
            due = begin + second + nth / len(made)
            pause = due - time.monotonic()
            if pause > 0.002:
                time.sleep(pause)
            value = round(MIDDLE[sensor.kind] * (1 + 0.002 * rng.gauss(0, 1)), 3)
            payload = json.dumps({"v": value, "t": wall + second, "s": time.time()})
            publisher.publish(sensor.topic, payload, qos=1)
            sent += 1
    wait_until(lambda: acknowledged[0] == sent, 60)
    publisher.disconnect()
    publisher.loop_stop()
    return sent


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--sensors", type=int, default=0)
    parser.add_argument("--seconds", type=int, default=300)
    parser.add_argument("--postgresql", action="store_true")
    parser.add_argument("--inflight", type=int, default=500)
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args()
    sensors = asked.sensors or (2500 if asked.postgresql else 500)
    found = run(sensors, asked.seconds, asked.postgresql, asked.inflight)
    if asked.json:
        print(json.dumps(found))
        return
    print(
        f"{found['sensors']} sensors, {found['seconds']} s, MQTT, {found['database']}: "
        f"{found['acknowledged']} of {found['sent']} acknowledged, {found['kept']} kept"
    )
    print(
        f"acknowledged within: half {found['p50_ms']:.0f} ms, p99 {found['p99_ms']:.0f} ms, "
        f"longest {found['max_ms']:.0f} ms; the listener used {found['listener_cpu_s']:.0f} s of "
        "a core"
    )


if __name__ == "__main__":
    main()
