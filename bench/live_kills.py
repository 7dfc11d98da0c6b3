"""Kill the server while sensors send, again and again: what it acknowledged has to be there.

A real server (`leafgill serve`) over SQLite. Sensors post in parallel, each reading again until it
is acknowledged; with --mqtt they publish to a real broker, and the listener within the server is
killed with it. After a random while the server gets SIGKILL and is started again. In the end every
acknowledged reading has to be in the store once, with its value, and the database be whole.

    python -m bench.live_kills [--kills 200] [--sensors 20] [--mqtt] [--json]
"""

import argparse
import json
import random
import tempfile
import threading
import time
from http.client import HTTPConnection, HTTPException
from pathlib import Path

from bench.live.app import App
from bench.live.count import is_sound, readings
from bench.live.home import MIDDLE, Sensor, make
from bench.live.mosquitto import Mosquitto, free_port
from bench.live.publishing import Publisher, is_listening, name_broker, wait_until

_BEGIN_S = 1_741_400_000
# Between two kills the server answers for so long [s].
_LEAST_S, _MOST_S = 0.05, 1.5
# All readings are a minute apart, so that none is doubted for its neighbour.
_STEP_S = 60


class Poster:
    """A sensor that posts one reading after the other, each until it is acknowledged."""

    def __init__(self, sensor: Sensor, port: int) -> None:
        self.sensor, self.port = sensor, port
        self.acknowledged: dict[int, float] = {}
        self.tries = 0
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> None:
        """End."""
        self._stop.set()
        self._thread.join(timeout=60)

    def _run(self) -> None:
        rng = random.Random(self.sensor.id)
        number = 0
        while not self._stop.is_set():
            time_s = _BEGIN_S + _STEP_S * number
            value = round(MIDDLE[self.sensor.kind] * (1 + 0.002 * rng.gauss(0, 1)), 3)
            while not self._post(time_s, value):
                if self._stop.wait(0.02):
                    return
            self.acknowledged[time_s] = value
            number += 1
            self._stop.wait(0.01)

    def _post(self, time_s: int, value: float) -> bool:
        self.tries += 1
        connection = HTTPConnection("127.0.0.1", self.port, timeout=10)
        try:
            body = json.dumps({"value": value, "time": time_s})
            headers = {"Authorization": f"Bearer {self.sensor.token}"}
            connection.request("POST", f"/in/{self.sensor.slug}/", body, headers)
            answer = connection.getresponse()
            answer.read()
            return answer.status == 200
        except (OSError, HTTPException):
            return False
        finally:
            connection.close()


def run(kills: int, sensors: int, mqtt: bool = False) -> dict:
    """Return the figures of one run."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        made = make(home, sensors)
        if mqtt:
            return _by_broker(home, made, kills)
        return _by_posts(home, made, kills)


def _killed(home: Path, kills: int, port: int) -> float:
    """Kill the server so many times under what comes in; return the seconds it was up."""
    rng = random.Random(7)
    up_s = 0.0
    for _ in range(kills):
        app = App(home, port=port)
        begun = time.monotonic()
        time.sleep(rng.uniform(_LEAST_S, _MOST_S))
        app.kill()
        up_s += time.monotonic() - begun
    return up_s


def _by_posts(home: Path, made: list[Sensor], kills: int) -> dict:
    port = free_port()
    posters = [Poster(sensor, port) for sensor in made]
    for poster in posters:
        poster.start()
    up_s = _killed(home, kills, port)
    last = App(home, port=port)
    time.sleep(1.0)
    for poster in posters:
        poster.stop()
    code = last.stop()
    promised = {
        (p.sensor.id, time_s): value for p in posters for time_s, value in p.acknowledged.items()
    }
    return _compared(home, promised, kills, up_s, code)


def _by_broker(home: Path, made: list[Sensor], kills: int) -> dict:
    mosquitto = Mosquitto(home)
    mosquitto.start()
    name_broker(home, mosquitto.port)
    port = free_port()
    # before it was asked once to keep messages for the listener, a broker keeps none
    first = App(home, port=port)
    wait_until(lambda: is_listening(home), 60)
    time.sleep(1.0)
    first.stop()
    publisher = Publisher(mosquitto.port, made, _BEGIN_S, _STEP_S)
    publisher.start()
    up_s = _killed(home, kills, port)
    last = App(home, port=port)
    time.sleep(1.0)
    promised = publisher.stop()
    # what the broker kept back comes in now
    wait_until(lambda: len(readings(home)) >= len(promised), 60)
    code = last.stop()
    mosquitto.stop()
    return _compared(home, promised, kills, up_s, code)


def _compared(
    home: Path, promised: dict[tuple[int, int], float], kills: int, up_s: float, code: int
) -> dict:
    kept = readings(home)
    return {
        "kills": kills,
        "up_s": round(up_s, 1),
        "acknowledged": len(promised),
        "kept": len(kept),
        "lost": sum(key not in kept for key in promised),
        "other_value": sum(key in kept and kept[key][0] != v for key, v in promised.items()),
        "not_promised": sum(key not in promised for key in kept),
        "sound": is_sound(home),
        "exit": code,
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--sensors", type=int, default=20)
    parser.add_argument("--mqtt", action="store_true")
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args()
    found = run(asked.kills, asked.sensors, asked.mqtt)
    if asked.json:
        print(json.dumps(found))
        return
    print(
        f"killed {found['kills']} times within {found['up_s']:.0f} s of answering "
        f"({'MQTT' if asked.mqtt else 'HTTP'}): {found['acknowledged']} readings acknowledged, "
        f"{found['lost']} lost, {found['other_value']} changed, {found['kept']} kept; "
        f"database {'whole' if found['sound'] else 'DAMAGED'}"
    )


if __name__ == "__main__":
    main()
