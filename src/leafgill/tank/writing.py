"""A tank back into the text of a tank file."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import time
from typing import Any

from leafgill.tank.clock import hours_text
from leafgill.tank.fields import FIELDS
from leafgill.tank.spec import Tank


def to_toml(tank: Tank) -> str:
    """Return the text of a tank file that `Tank.load` reads as the same tank.

    What is not known is left out, and so is a volume taken from the box.
    """
    lines: list[str] = []
    for section in FIELDS:
        told = [f"{key} = {_value(value)}" for key, value in _held(tank, section)]
        if told:
            lines += [f"[{section}]", *told, ""]
    return "\n".join(lines)


def _held(tank: Tank, section: str) -> Iterator[tuple[str, Any]]:
    """Yield the keys of a section that are known, with their values."""
    part: Any = tank if section in ("tank", "target") else getattr(tank, section)
    for key in FIELDS[section]:
        value = getattr(part, "target_co2_mg_l" if section == "target" else key)
        computed = key == "volume_l" and not tank.volume_known
        if value is not None and value != () and not computed:
            yield key, value


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, tuple):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, time) and value != time.max and value.microsecond:
        return value.isoformat()
    text = hours_text(value) if isinstance(value, time) else str(value)
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
