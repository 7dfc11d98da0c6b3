"""A data folder with tanks and sensors, made by the app's own parts."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

_SCRIPT = """
import hashlib, json, secrets, sys
from pathlib import Path
from leafgill.web.set_up import set_up
set_up(Path(sys.argv[1]))
from django.db import transaction
from django.utils import timezone
from leafgill.tank.spec import Tank
from leafgill.web.models import SensorRow, TokenRow, TopicRow
from leafgill.web.store.keepers import first_keeper
from leafgill.web.store.tanks import create_tank
now, count, each = timezone.now(), int(sys.argv[2]), 10
keeper = first_keeper()
kinds = ("ph", "temperature", "o2", "co2", "room_co2")
made, row = [], None
with transaction.atomic():
    for n in range(count):
        if n % each == 0:
            told = {"tank": {"name": f"Tank {n // each + 1}", "volume_l": 60.0}}
            row = create_tank(keeper, Tank.from_mapping(told))
        kind = kinds[n % 5]
        sensor = SensorRow.objects.create(tank=row, name=f"{kind} {n}", kind=kind, made_at=now)
        token = "lg_" + secrets.token_urlsafe(32)
        digest = hashlib.sha256(token.encode()).hexdigest()
        TokenRow.objects.create(sensor=sensor, token_hash=digest, made_by=keeper, made_at=now)
        topic = f"den/{n}"
        TopicRow.objects.create(sensor=sensor, topic=topic, payload="json", path="v", time_path="t")
        made.append({"id": sensor.pk, "slug": sensor.slug, "token": token, "kind": kind,
                     "topic": topic})
print(json.dumps(made))
"""
# A value in the middle of what each kind shows.
MIDDLE = {"ph": 6.8, "temperature": 24.0, "o2": 8.0, "co2": 20.0, "room_co2": 600.0}


@dataclass(frozen=True, slots=True)
class Sensor:
    """A sensor that sends: its key in the store, and its ways in."""

    id: int
    slug: str
    token: str
    kind: str
    topic: str


def environment(home: Path, database_url: str = "") -> dict[str, str]:
    """Return the environment of a process of the app that lives in a folder."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("LEAFGILL_", "DJANGO_"))}
    kept |= {"LEAFGILL_HOME": str(home), "LEAFGILL_LOG": str(home / "log")}
    return kept | ({"LEAFGILL_DATABASE_URL": database_url} if database_url else {})


def make(home: Path, count: int, database_url: str = "") -> list[Sensor]:
    """Make tanks of ten sensors each; return the sensors."""
    done = subprocess.run(
        [sys.executable, "-c", _SCRIPT, str(home), str(count)],
        env=environment(home, database_url),
        check=True,
        stdout=subprocess.PIPE,
        text=True,
    )
    return [Sensor(**told) for told in json.loads(done.stdout.splitlines()[-1])]
