"""The broker of the home network, where probes send by one."""

from __future__ import annotations

import socket

from leafgill.web.doctor.finding import BAD, FINE, LOOK, Finding

_WITHIN_S = 3.0


def reached(host: str, port: int, within_s: float = _WITHIN_S) -> Finding:
    """Look whether something listens at a broker's address."""
    what = "broker"
    try:
        with socket.create_connection((host, port), timeout=within_s):
            return Finding(what, FINE, f"{host} port {port} answers")
    except OSError as wrong:
        why = wrong.strerror or str(wrong) or type(wrong).__name__
        return Finding(
            what, BAD, f"{host} port {port} cannot be reached: {why}. Look whether it runs."
        )


def broker() -> list[Finding]:
    """Look at the broker that is set, if one is, and at whoever listens to it."""
    from leafgill.errors import InputError
    from leafgill.web.ingest import broker as settings
    from leafgill.web.ingest import status

    try:
        told = settings.load()
    except InputError as wrong:
        return [Finding("broker", BAD, f"{wrong}")]
    if told is None:
        return []
    found = [reached(told.host, told.port)]
    listening = status.read()
    if listening is None or listening.state == status.STOPPED:
        says = "Nobody listens to the broker. Start leafgill serve, or leafgill listen."
        found.append(Finding("listener", LOOK, says))
    elif listening.state != status.CONNECTED:
        words = f": {listening.words}" if listening.words else ""
        found.append(Finding("listener", BAD, f"It is not let in or not connected{words}"))
    else:
        found.append(Finding("listener", FINE, f"{len(listening.subscribed)} topics"))
    return found
