"""A process of its own that publishes one tank, its gas permitted; for tests that end it badly.

Given: the broker's port. It prints the tank's name outside once it publishes, and goes on.
"""

import json
import sys
import threading
from datetime import timedelta
from pathlib import Path


def main(port: int, payload_file: str) -> None:
    from leafgill.web.set_up import set_up

    set_up()
    from leafgill.tank.spec import Tank
    from leafgill.web.alert_models import PublishRow
    from leafgill.web.clock import now as clock_now
    from leafgill.web.ingest.broker import Broker, save
    from leafgill.web.models import AnswerRow, Keeper
    from leafgill.web.publishing import link
    from leafgill.web.publishing.publisher import Publisher
    from leafgill.web.store.tanks import create_tank

    link.KEEPALIVE_S = 2
    save(Broker("127.0.0.1", port, client_id="leafgill-killed"))
    told = {"tank": {"name": "Den", "volume_l": 60.0, "timezone": "Europe/Berlin"}}
    row = create_tank(Keeper.objects.create(username="ada"), Tank.from_mapping(told))
    PublishRow.objects.create(tank=row, made_at=clock_now())

    class Answered(Publisher):
        beats = 0

        def _beat(self, tank, app, *, telling):  # type: ignore[no-untyped-def]
            self.beats += 1
            if self.beats == 2:
                # worked out since this process publishes
                AnswerRow.objects.create(
                    tank=row, version=row.version, asked_for=clock_now() + timedelta(seconds=1),
                    made_at=clock_now(), payload=json.loads(Path(payload_file).read_text()),
                )  # fmt: skip
            super()._beat(tank, app, telling=telling)

    print(row.public_id, flush=True)
    Answered(beat_s=0.2).run(threading.Event())


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2])
