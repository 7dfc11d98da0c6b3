"""The sensors whose series a probe file may hold."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leafgill.diary.words import plain
from leafgill.units import quantity


@dataclass(frozen=True)
class Sensor:
    """What one kind of sensor may send, in `unit`.

    `jump` is the step between neighbouring readings that water does not make in five minutes;
    `stuck_h` how long a working sensor never shows one and the same figure [h].
    """

    name: str
    unit: str
    accepted: tuple[float, float]
    jump: float
    stuck_h: float
    says: str
    spellings: tuple[str, ...] = ()


_TABLE = (
    Sensor("ph", "", (3.0, 11.0), 0.3, 6.0, "pH of the tank water", ("ph_probe", "ph_electrode")),
    Sensor(
        "temperature",
        "degC",
        (5.0, 40.0),
        1.5,
        48.0,
        "temperature of the tank water, °C",
        ("temp", "temperature_c", "temp_c", "water_temperature"),
    ),
    Sensor(
        "o2",
        "mg/L",
        (0.0, 30.0),
        2.0,
        12.0,
        "dissolved oxygen, mg/L",
        ("oxygen", "o2_mg_l", "do", "do_mg_l", "dissolved_oxygen"),
    ),
    Sensor(
        "co2",
        "mg/L",
        (0.0, 300.0),
        10.0,
        24.0,
        "dissolved CO2, mg/L",
        ("co2_mg_l", "dissolved_co2"),
    ),
    Sensor(
        "room_co2",
        "ppm",
        (200.0, 20_000.0),
        1_000.0,
        24.0,
        "CO2 in the room's air, ppm",
        ("room_co2_ppm", "air_co2", "air_co2_ppm"),
    ),
)
SENSORS: dict[str, Sensor] = {sensor.name: sensor for sensor in _TABLE}
_SPELLINGS = {s: sensor.name for sensor in _TABLE for s in (sensor.name, *sensor.spellings)}


def sensor_column(title: str) -> tuple[str, str] | None:
    """Return (sensor, unit) for a probe file's column title, None when it names no sensor.

    "temperature (°F)" is temperature, to be converted; a title without a unit has "".
    """
    text, unit = title.strip(), ""
    for opening, closing in ("()", "[]"):
        if text.endswith(closing) and opening in text:
            text, unit = text[:-1].rsplit(opening, 1)
            break
    name = plain(text).replace(" ", "_").replace("-", "_")
    if name in ("temperature_f", "temp_f"):
        name, unit = "temperature", "°F"
    sensor = _SPELLINGS.get(name)
    return (sensor, unit.strip()) if sensor else None


def converted(values: NDArray[np.float64], sensor: str, unit: str) -> NDArray[np.float64]:
    """Return readings in the sensor's own unit. Raises InputError for a unit it cannot have."""
    wanted = SENSORS[sensor].unit
    if not unit or plain(unit) in (plain(wanted), "ph") or not wanted:
        return values
    # two figures fix the line, so thousands of readings need only two conversions
    at_0 = quantity(f"0 {unit}", wanted, what=sensor)
    at_100 = quantity(f"100 {unit}", wanted, what=sensor)
    return at_0 + values * ((at_100 - at_0) / 100.0)
