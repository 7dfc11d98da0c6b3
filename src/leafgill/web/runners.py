"""Everything that runs beside the web server when the app is served."""

from __future__ import annotations

import time

from leafgill.web.running import Runner


def runners(place: str) -> list[Runner]:
    """Return them, new each time, in the order in which they start; the app is at `place`.

    The demonstration's clock stands and its data goes: it gets only what keeps its pages right.
    """
    from leafgill.web import clock
    from leafgill.web.alerts.watcher import Watcher
    from leafgill.web.pulse import Pulse
    from leafgill.web.working.rounds import Rounds

    found: list[Runner] = [Rounds(), Watcher(), Pulse({"place": place, "since_s": time.time()})]
    if not clock.stands():
        from leafgill.web.alerts.teller import Teller
        from leafgill.web.ingest.runners import ingest_runners
        from leafgill.web.keeping.schedule import Backups
        from leafgill.web.publishing.publisher import Publisher

        found += [*ingest_runners(), Teller(), Publisher(), Backups()]
    return found
