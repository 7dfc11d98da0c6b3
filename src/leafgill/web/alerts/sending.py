"""Sending one text to one address, with why it failed in words that hold no secret."""

from __future__ import annotations

import logging
import re
import threading
from typing import Any

LONGEST_WHY = 160
# Of its log only one telling at a time can be read.
_one = threading.Lock()
# Long runs without a blank may be tokens; addresses certainly are.
_SECRET = re.compile(r"\S*://\S*|[\w\-+/=:.]{25,}")


def send(address: str, title: str, body: str, *, urgent: bool = False) -> str:
    """Send a text; return "" where it was taken, else why it was not. Never raises."""
    import apprise

    asset = apprise.AppriseAsset(
        app_id="Leaf & Gill", app_desc="Leaf & Gill", app_url="", secure_logging=True
    )
    kind = apprise.NotifyType.FAILURE if urgent else apprise.NotifyType.INFO
    with _one:
        try:
            way = apprise.Apprise(asset=asset)
            if not way.add(address):
                return "the address is none that is known"
            capture: Any = apprise.LogCapture
            with capture(level=logging.WARNING, fmt="%(message)s") as log:
                taken = way.notify(
                    body=body, title=title, notify_type=kind, body_format=apprise.NotifyFormat.TEXT
                )
                said = log.getvalue()
        except Exception as wrong:  # a way of telling may break in ways of its own
            return f"it broke ({type(wrong).__name__})"
    return "" if taken else without_secrets(said)


def without_secrets(said: str) -> str:
    """Return the first line of what a failure said, without what may be secret."""
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    if not lines:
        return "it was not taken"
    return _SECRET.sub("...", lines[0])[:LONGEST_WHY]
