"""Stop and start the broker while sensors send: nothing may be lost, nothing doubled.

A real broker (Mosquitto, with persistence) is stopped (SIGTERM) and started again; sensors publish
at QoS 1 without a pause and keep what they could not send; `leafgill listen` runs beside. In the
end every reading that the broker acknowledged has to be in the store once, with its value.

    python -m bench.live_stops [--stops 50] [--sensors 20] [--json]
"""

import argparse
import json
import random
import signal
import subprocess
import tempfile
import time
from pathlib import Path

from bench.live.app import COMMAND
from bench.live.count import is_sound, readings
from bench.live.home import environment, make
from bench.live.mosquitto import Mosquitto
from bench.live.publishing import Publisher, is_listening, name_broker, wait_until

_BEGIN_S, _STEP_S = 1_741_400_000, 60


def run(stops: int, sensors: int) -> dict:
    """Return the figures of one run."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        made = make(home, sensors)
        mosquitto = Mosquitto(Path(folder))
        mosquitto.start()
        name_broker(home, mosquitto.port)
        listener = subprocess.Popen(
            [*COMMAND, "listen", "--data", str(home)],
            env=environment(home),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        # before it was asked once to keep messages for the listener, a broker keeps none
        wait_until(lambda: is_listening(home), 60)
        time.sleep(1.0)
        publisher = Publisher(mosquitto.port, made, _BEGIN_S, _STEP_S)
        publisher.start()
        try:
            _stopped(mosquitto, stops)
            promised = publisher.stop()
            wait_until(lambda: len(readings(home)) >= len(promised), 90)
        finally:
            listener.send_signal(signal.SIGTERM)
            code = listener.wait(timeout=60)
            mosquitto.stop()
        kept = readings(home)
        sound = is_sound(home)
    return {
        "stops": stops,
        "acknowledged": len(promised),
        "kept": len(kept),
        "lost": sum(key not in kept for key in promised),
        "doubled": sum(key not in promised for key in kept),
        "other_value": sum(key in kept and kept[key][0] != v for key, v in promised.items()),
        "sound": sound,
        "exit": code,
    }


def _stopped(mosquitto: Mosquitto, stops: int) -> None:
    rng = random.Random(11)
    time.sleep(2.0)
    for _ in range(stops):
        mosquitto.stop()
        time.sleep(rng.uniform(0.0, 1.0))
        mosquitto.start()
        # long enough that sender and listener are back, most of the time
        time.sleep(rng.uniform(0.5, 3.0))
    time.sleep(3.0)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--stops", type=int, default=50)
    parser.add_argument("--sensors", type=int, default=20)
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args()
    found = run(asked.stops, asked.sensors)
    if asked.json:
        print(json.dumps(found))
        return
    print(
        f"broker stopped and started {found['stops']} times: {found['acknowledged']} readings "
        f"acknowledged to the sensors, {found['lost']} lost, {found['doubled']} doubled, "
        f"{found['other_value']} changed; database {'whole' if found['sound'] else 'DAMAGED'}"
    )


if __name__ == "__main__":
    main()
