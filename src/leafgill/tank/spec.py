"""The tank as the keeper describes it: one TOML file, one tank."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time
from pathlib import Path
from typing import Any

from leafgill.errors import InputError
from leafgill.tank.reading import as_windows, read_toml, section_values
from leafgill.tank.schedule import Window

# A glass box filled to the mark holds this much less than its inside: substrate, stones, wood.
FILLED_SHARE = 0.9
# A volume this far off the box is a slip of unit or of a digit.
_VOLUME_FACTOR = 3.0
_VOLUME_DOUBT = (0.5, 1.05)


@dataclass(frozen=True, slots=True)
class Water:
    """What comes out of the test kits, where known."""

    kh_dkh: float | None = None
    gh_dgh: float | None = None


@dataclass(frozen=True, slots=True)
class Day:
    """The hours of light, gas and extra air by the tank's clock; None where not given."""

    lights_on: time | None = None
    lights_off: time | None = None
    gas_on: time | None = None
    gas_off: time | None = None
    air_on: time | None = None
    air_off: time | None = None

    @property
    def light(self) -> Window | None:
        """Hours of light."""
        return _window(self.lights_on, self.lights_off)

    @property
    def gas(self) -> Window | None:
        """Hours of gas."""
        return _window(self.gas_on, self.gas_off)

    @property
    def air(self) -> Window | None:
        """Hours of extra aeration."""
        return _window(self.air_on, self.air_off)


@dataclass(frozen=True, slots=True)
class Livestock:
    """The animals."""

    co2_limit_mg_l: float | None = None
    kinds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rig:
    """The gas equipment."""

    source: str = "cylinder"
    cylinder_kg: float | None = None
    night_air: bool = False
    regulator: str | None = None
    working_pressure_bar: float | None = None
    hose: str | None = None
    diffuser: str | None = None
    count: int = 1


@dataclass(frozen=True, slots=True)
class Plants:
    """The plants and their light."""

    density: str | None = None
    light_ppfd: float | None = None


@dataclass(frozen=True, slots=True)
class Tank:
    """One tank. Lengths in cm, volume in L; `findings` are doubts about the description."""

    name: str
    volume_l: float
    length_cm: float | None = None
    width_cm: float | None = None
    height_cm: float | None = None
    volume_known: bool = True
    temperature_c: float = 25.0
    timezone: str = "UTC"
    water: Water = Water()
    day: Day = Day()
    livestock: Livestock = Livestock()
    target_co2_mg_l: float | None = None
    rig: Rig = Rig()
    plants: Plants = Plants()
    findings: tuple[str, ...] = ()

    @property
    def surface_m2(self) -> float | None:
        """Water surface [m²] where length and width are known."""
        if self.length_cm is None or self.width_cm is None:
            return None
        return self.length_cm * self.width_cm * 1e-4

    @property
    def depth_m(self) -> float | None:
        """Mean depth of the water [m]: volume over surface, or the height."""
        if self.surface_m2 is not None:
            return self.volume_l * 1e-3 / self.surface_m2
        return None if self.height_cm is None else self.height_cm * 1e-2

    @classmethod
    def load(cls, path: str | Path) -> Tank:
        """Return the tank in a TOML file. Raises InputError, one line naming key and value."""
        return cls.from_mapping(read_toml(Path(path)), where=Path(path).name)

    @classmethod
    def from_mapping(cls, data: dict[str, Any], where: str = "tank.toml") -> Tank:
        """Return the tank in a parsed file; `where` is named in errors. Raises InputError."""
        values = section_values(data, where)
        tank, findings = _sized(values["tank"], where)
        as_windows(values["day"], where)
        if not values["water"].get("kh_dkh", 1.0) > 0.0:
            findings.append("[water] kh_dkh = 0: without alkalinity pH tells nothing about CO2")
        return cls(
            **tank,
            water=Water(**values["water"]),
            day=Day(**values["day"]),
            livestock=Livestock(**values["livestock"]),
            target_co2_mg_l=values["target"].get("co2_mg_l"),
            rig=Rig(**values["rig"]),
            plants=Plants(**values["plants"]),
            findings=tuple(findings),
        )


def _sized(tank: dict[str, Any], where: str) -> tuple[dict[str, Any], list[str]]:
    """Return the fields of [tank] with a volume, and doubts about it."""
    if not tank.get("name"):
        raise InputError('[tank] name is missing; write name = "Living room"', where)
    sides = [tank.get(key) for key in ("length_cm", "width_cm", "height_cm")]
    given = tank.get("volume_l")
    box = None
    if all(side is not None for side in sides):
        length, width, height = (float(side) for side in sides if side is not None)
        box = length * width * height * 1e-3
    if given is None and box is None:
        raise InputError(
            "[tank] has no size; write volume_l, or length_cm, width_cm and height_cm", where
        )
    findings = []
    if given is not None and box is not None:
        ratio = given / box
        if not 1.0 / _VOLUME_FACTOR <= ratio <= _VOLUME_FACTOR:
            raise InputError(
                f"[tank] volume_l = {given:g} does not fit the box of {box:.0f} L that length_cm, "
                f"width_cm and height_cm make; accepted: {box / 3:.0f} to {box * 3:.0f} L",
                where,
            )
        if not _VOLUME_DOUBT[0] <= ratio <= _VOLUME_DOUBT[1]:
            findings.append(
                f"[tank] volume_l = {given:g} is {ratio:.0%} of the box's {box:.0f} L; please check"
            )
    if given is None:
        tank["volume_l"] = FILLED_SHARE * box if box is not None else 0.0
        tank["volume_known"] = False
    return tank, findings


def _window(on: time | None, off: time | None) -> Window | None:
    return None if on is None or off is None else Window(on, off)
