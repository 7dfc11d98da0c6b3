"""Many sensors that post a reading a second, each over a connection of its own that stays."""

from __future__ import annotations

import asyncio
import json
import random
import time
from collections.abc import Sequence
from dataclasses import dataclass, field

from bench.live.home import MIDDLE, Sensor


@dataclass
class Posted:
    """What came of it: seconds until the acknowledgement of each reading, and every failure.

    Those of the first seconds (`settle`) are counted and not timed.
    """

    settle: int = 0
    acknowledged: int = 0
    waits_s: list[float] = field(default_factory=list)
    failures: dict[str, int] = field(default_factory=dict)
    sent: int = 0

    def fail(self, what: str) -> None:
        """Count a failure."""
        self.failures[what] = self.failures.get(what, 0) + 1


def request(sensor: Sensor, value: float, time_s: float, keep: bool = True) -> bytes:
    """Return a POST of one reading, after which the connection is kept or shut."""
    body = json.dumps({"value": value, "time": time_s}).encode()
    return (
        f"POST /in/{sensor.slug}/ HTTP/1.1\r\nHost: 127.0.0.1\r\n"
        f"Authorization: Bearer {sensor.token}\r\nContent-Type: application/json\r\n"
        f"Connection: {'keep-alive' if keep else 'close'}\r\n"
        f"Content-Length: {len(body)}\r\n\r\n"
    ).encode() + body


async def answer(reader: asyncio.StreamReader) -> tuple[int, bytes]:
    """Return status and body of an answer."""
    head = await reader.readuntil(b"\r\n\r\n")
    status = int(head.split(b" ", 2)[1])
    length = 0
    for line in head.lower().split(b"\r\n"):
        if line.startswith(b"content-length:"):
            length = int(line.split(b":")[1])
    return status, await reader.readexactly(length)


async def _sensor(
    sensor: Sensor, port: int, begin: float, wall: int, seconds: int, posted: Posted, keep: bool
) -> None:
    rng = random.Random(sensor.id)
    # sensors do not send at the same moment
    phase, middle = rng.random(), MIDDLE[sensor.kind]
    reader = writer = None
    for second in range(seconds):
        await asyncio.sleep(max(0.0, begin + second + phase - time.monotonic()))
        posted.sent += 1
        value = round(middle * (1 + 0.002 * rng.gauss(0, 1)), 3)
        started = time.monotonic()
        try:
            if writer is None or writer.is_closing():
                reader, writer = await asyncio.open_connection("127.0.0.1", port)
            writer.write(request(sensor, value, wall + second, keep))
            assert reader is not None
            status, body = await asyncio.wait_for(answer(reader), 30)
            if not keep:
                writer.close()
        except (OSError, EOFError, TimeoutError) as wrong:
            posted.fail(type(wrong).__name__)
            writer = None
            continue
        if status == 200:
            posted.acknowledged += 1
            if second >= posted.settle:
                posted.waits_s.append(time.monotonic() - started)
        else:
            posted.fail(f"{status} {body.decode()[:80]}")
    if writer is not None:
        writer.close()


async def post_all(
    sensors: Sequence[Sensor], port: int, seconds: int, settle: int = 0, keep: bool = True
) -> Posted:
    """Have every sensor post a reading a second for so long."""
    posted = Posted(settle)
    begin, wall = time.monotonic() + 1.0, int(time.time()) + 1
    await asyncio.gather(*(_sensor(s, port, begin, wall, seconds, posted, keep) for s in sensors))
    return posted
