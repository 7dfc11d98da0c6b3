"""The newest refusal of each sensor, written where its keeper sees it; not at every one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db.models import F

from leafgill.web.ingest.parcel import Parcel
from leafgill.web.models import SensorRow

# A sensor that sends nonsense every second must not keep the store busy with it.
EVERY_S = 10.0
_MOST_WORDS = 300


class Refusals:
    """Counts refused readings by sensor, and writes the count with the newest words."""

    def __init__(self) -> None:
        self._waiting: dict[int, int] = {}
        self._written_s: dict[int, float] = {}

    def note(self, parcels: Sequence[Parcel], now: datetime) -> None:
        """Count what parcels lost, and write it where that was not done lately."""
        now_s = now.timestamp()
        for parcel in parcels:
            if not parcel.refused:
                continue
            sensor_id = parcel.sender.sensor_id
            count = self._waiting.get(sensor_id, 0) + parcel.refused
            if abs(now_s - self._written_s.get(sensor_id, 0.0)) < EVERY_S:
                self._waiting[sensor_id] = count
                continue
            SensorRow.objects.filter(pk=sensor_id).update(
                refused="; ".join(parcel.why)[:_MOST_WORDS],
                refused_at=now,
                refused_count=F("refused_count") + count,
            )
            self._waiting.pop(sensor_id, None)
            self._written_s[sensor_id] = now_s
