"""What takes readings in beside the pages."""

from __future__ import annotations

from leafgill.web.ingest.folder import Folder
from leafgill.web.ingest.mqtt import Listener
from leafgill.web.running import Runner


def ingest_runners() -> list[Runner]:
    """Return the listener and the watcher of the folder, new each time."""
    return [Listener(), Folder()]
