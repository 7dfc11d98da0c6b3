"""The warmth of the room, as it is typed."""

from __future__ import annotations

from leafgill.errors import InputError
from leafgill.units import quantity

ACCEPTED_C = (0.0, 45.0)


def parse_room(text: str | None) -> float | None:
    """Return the room's temperature [°C], None where none is given. Raises InputError."""
    if text is None:
        return None
    room_c = quantity(text, "degC", what="--room-temperature")
    low, high = ACCEPTED_C
    if not low <= room_c <= high:
        raise InputError(
            f"--room-temperature = {room_c:.3g} °C cannot be; accepted: {low:g} to {high:g} °C"
        )
    return room_c
