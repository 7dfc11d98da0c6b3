"""The tank as the keeper describes it: one TOML file, one tank."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import time
from pathlib import Path
from typing import Any

from leafgill.tank.plausible import FILLED_SHARE, doubts, paired, sized
from leafgill.tank.reading import section_values
from leafgill.tank.spec_balance import Feeding, Lamp, Salts, Tap, WaterChanges
from leafgill.tank.toml_file import read_toml
from leafgill.tank.window import Window


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
    cylinder_tare_kg: float | None = None
    cylinder_water_l: float | None = None
    cylinder_height_cm: float | None = None
    cylinder_diameter_cm: float | None = None
    outlet: str | None = None
    solenoid: bool | None = None
    solenoid_w: float | None = None
    hose_length_m: float | None = None
    hose_bore_mm: float | None = None
    hose_wall_mm: float | None = None
    counter_tip_mm: float | None = None
    counter_liquid: str | None = None
    diffuser_depth_cm: float | None = None
    diffuser_bar: float | None = None
    filter_flow_l_h: float | None = None


@dataclass(frozen=True, slots=True)
class Plants:
    """The plants and their light."""

    density: str | None = None
    light_ppfd: float | None = None


@dataclass(frozen=True, slots=True)
class Cabinet:
    """The room below or beside the tank where the cylinder would stand, inside [cm]."""

    width_cm: float | None = None
    depth_cm: float | None = None
    height_cm: float | None = None


@dataclass(frozen=True, slots=True)
class Room:
    """The room the tank stands in."""

    volume_m3: float | None = None
    air_changes_per_h: float | None = None


@dataclass(frozen=True, slots=True)
class Prices:
    """What things cost the keeper, each in `currency`; None where no price is known."""

    currency: str | None = None
    refill: float | None = None
    cylinder: float | None = None
    regulator: float | None = None
    solenoid: float | None = None
    counter: float | None = None
    check_valve: float | None = None
    hose: float | None = None
    diffuser: float | None = None
    drop_checker: float | None = None
    generator: float | None = None
    cartridge: float | None = None
    cartridge_g: float | None = None
    citric_acid_kg: float | None = None
    bicarbonate_kg: float | None = None
    sugar_kg: float | None = None
    yeast: float | None = None
    electricity_kwh: float | None = None


@dataclass(frozen=True, slots=True)
class Tank:
    """One tank; what is None is not known.

    Lengths are the inside of the glass [cm]; `volume_l` is the water [L], taken as the box less
    10 % where it was not given (`volume_known` is then False). `target_co2_mg_l` is the keeper's
    wish alone: `limits.limits_of` has the figures to work with. `findings` are doubts about the
    description, one line each.
    """

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
    lamp: Lamp = field(default_factory=Lamp)
    tap: Tap = field(default_factory=Tap)
    feeding: Feeding = field(default_factory=Feeding)
    water_change: WaterChanges = field(default_factory=WaterChanges)
    salts: Salts = field(default_factory=Salts)
    cabinet: Cabinet = Cabinet()
    room: Room = Room()
    prices: Prices = Prices()
    findings: tuple[str, ...] = ()

    @property
    def surface_m2(self) -> float | None:
        """Water surface [m²], None where length or width is not known."""
        if self.length_cm is None or self.width_cm is None:
            return None
        return self.length_cm * self.width_cm * 1e-4

    @property
    def depth_cm(self) -> float | None:
        """Mean depth of the water [cm]: volume over surface, else the height less 10 %.

        None when neither is known.
        """
        if self.surface_m2 is not None:
            return self.volume_l * 0.1 / self.surface_m2
        return None if self.height_cm is None else FILLED_SHARE * self.height_cm

    @property
    def depth_m(self) -> float | None:
        """Mean depth of the water [m], as `depth_cm`."""
        return None if self.depth_cm is None else self.depth_cm * 1e-2

    @property
    def air(self) -> Window | None:
        """Hours of extra aeration: those given, else the dark hours with `rig.night_air`.

        None when neither is known. Where lights follow the diary, so must the dark hours.
        """
        if self.day.air is None and self.rig.night_air and self.day.light is not None:
            return self.day.light.rest
        return self.day.air

    @classmethod
    def load(cls, path: str | Path) -> Tank:
        """Return the tank in a TOML file.

        Raises InputError, one line: the file, then the section and key with value and accepted
        range, or the line that is not TOML.
        """
        path = Path(path)
        return cls.from_mapping(read_toml(path), where=path.name)

    @classmethod
    def from_mapping(cls, data: Mapping[str, Any], where: str = "tank.toml") -> Tank:
        """Return the tank that the content of a tank file describes.

        `data` maps sections to keys to values as TOML gives them; `where` is the name that errors
        and findings start with. Raises InputError as `load` does.
        """
        values = section_values(data, where)
        sections = values.sections
        paired(sections, where)
        findings = [*values.findings, *sized(sections, where), *doubts(sections, where)]
        return cls(
            **sections["tank"],
            water=Water(**sections["water"]),
            day=Day(**sections["day"]),
            livestock=Livestock(**sections["livestock"]),
            target_co2_mg_l=sections["target"].get("co2_mg_l"),
            rig=Rig(**sections["rig"]),
            plants=Plants(**sections["plants"]),
            lamp=Lamp(**sections["lamp"]),
            tap=Tap(**sections["tap"]),
            feeding=Feeding(**sections["feeding"]),
            water_change=WaterChanges(**sections["water_change"]),
            salts=Salts(**sections["salts"]),
            cabinet=Cabinet(**sections["cabinet"]),
            room=Room(**sections["room"]),
            prices=Prices(**sections["prices"]),
            findings=tuple(findings),
        )


def _window(on: time | None, off: time | None) -> Window | None:
    return None if on is None or off is None else Window(on, off)
