"""The card for the cabinet's door: what the tank is, how it is set, and what to do in danger."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from leafgill.advise.emergency import CHANGE_PART, NOT_TO_DO
from leafgill.advise.gas_safety import by_topic
from leafgill.advise.words import rate_text
from leafgill.answer.explain import amount
from leafgill.diary import Diary, Entry, Kind, written
from leafgill.science.carbonate import ph
from leafgill.science.constants import DKH_MEQ_L
from leafgill.science.indicator import colour, reference_ph
from leafgill.tank.limits import Limits, limits_of
from leafgill.tank.schedule import Window
from leafgill.tank.spec import Tank

Pairs = tuple[tuple[str, str], ...]

# What to do when animals gasp, hang at the surface or lie still, in this order.
IN_DANGER = (
    "Shut the gas: needle valve closed, or the solenoid's plug out. In doubt, close the cylinder.",
    "Move the surface: air stone on, filter outlet up, or lift water out and pour it back.",
    f"Not better soon: change {CHANGE_PART:.0%} of the water, as warm as the tank.".replace(
        "%", " %"
    ),
    "Then read pH and write everything down. Leave the gas shut until the cause is found.",
)
# What of the rest a hand does first when it is in a hurry.
NOT_NOW = tuple(NOT_TO_DO[k] for k in (0, 1, 4, 8))
# A kit's drop either way [dKH].
_DROP_DKH = 0.5
# Topics of the cautions about the cylinder that belong on a door that hides one.
_TOPICS = ("room", "ventilate", "upright", "cupboard")


@dataclass(frozen=True)
class Card:
    """What stands on the card, as rows of (what, value) and lines."""

    name: str
    about: Pairs
    limits: Pairs
    settings: Pairs
    in_danger: tuple[str, ...]
    not_to_do: tuple[str, ...]
    work: Pairs
    people: tuple[str, ...]


def card_of(tank: Tank, diary: Diary, now: datetime, work: Pairs = ()) -> Card:
    """Return the card of a tank at an aware moment; `diary` is localised.

    The settings are those in force by the diary, else by the description; what neither says is
    left to be written in by hand. `work` are rows of (job, how often and when next).
    """
    known = diary.until(now)
    limits = limits_of(tank)
    room_m3 = tank.room.volume_m3
    topics = by_topic(
        tank.rig.cylinder_kg, room_m3, tank.temperature_c, water_l=tank.rig.cylinder_water_l
    )
    has_gas = tank.rig.source in ("cylinder", "cartridge")
    return Card(
        name=tank.name,
        about=_about(tank, known),
        limits=(
            ("CO2 to aim at", f"{limits.target_mg_l:.3g} mg/L"),
            ("CO2 never over", f"{limits.co2_mg_l:.3g} mg/L"),
            ("Oxygen never under", f"{limits.o2_min_mg_l:.3g} mg/L"),
            *_as_read(tank, known, limits),
        ),
        settings=_settings(tank, known, now),
        in_danger=IN_DANGER,
        not_to_do=NOT_NOW,
        work=work,
        people=tuple(topics[topic] for topic in _TOPICS) if has_gas else (topics["ventilate"],),
    )


def _as_read(tank: Tank, diary: Diary, limits: Limits) -> Pairs:
    """Return what the instruments show at the aim and at the limit, by the KH last known."""
    kh = _last(diary, Kind.KH)
    dkh = tank.water.kh_dkh if kh is None else kh.number
    if dkh is None or dkh <= _DROP_DKH:
        return ()
    rows = []
    for what, level in (
        ("aim", limits.target_mg_l),
        ("limit", limits.co2_mg_l),
    ):
        low, middle, high = (
            float(ph(level, (dkh + part) * DKH_MEQ_L, tank.temperature_c))
            for part in (-_DROP_DKH, 0.0, _DROP_DKH)
        )
        rows.append((f"pH at the {what}", f"{middle:.2f}, {low:.2f} to {high:.2f}"))
    reference = float(reference_ph(limits.target_mg_l, tank.temperature_c, 4.0))
    rows.append(("Drop checker at the aim", f"{colour(reference)}, 4 dKH in it"))
    return tuple(rows)


def _about(tank: Tank, diary: Diary) -> Pairs:
    kinds = ", ".join(kind.replace("-", " ") for kind in tank.livestock.kinds)
    rows = [("Water", f"{amount(tank.volume_l)} L"), ("Animals", kinds or "not said; as fish")]
    kh = _last(diary, Kind.KH)
    if kh is not None:
        rows.append(("KH", f"{written(kh)} dKH, {_day(kh)}"))
    elif tank.water.kh_dkh is not None:
        rows.append(("KH", f"{tank.water.kh_dkh:g} dKH"))
    rows.append(("Temperature", f"{tank.temperature_c:g} °C"))
    return tuple(rows)


def _settings(tank: Tank, diary: Diary, now: datetime) -> Pairs:
    rate = _last(diary, Kind.BUBBLE_RATE)
    pressure = _last(diary, Kind.WORKING_PRESSURE)
    bar = tank.rig.working_pressure_bar if pressure is None else pressure.number
    rows = [
        ("Light", _hours(diary, Kind.LIGHT_DAY, tank.day.light)),
        ("Gas", _hours(diary, Kind.GAS_DAY, tank.day.gas)),
        ("Extra air", _hours(diary, Kind.AIR_DAY, tank.air)),
        ("Needle valve", "" if rate is None else f"{rate_text(rate.number)}, set {_day(rate)}"),
        ("Working pressure", "" if bar is None else f"{bar:.3g} bar"),
    ]
    return tuple(rows)


def _hours(diary: Diary, kind: Kind, told: Window | None) -> str:
    entry = _last(diary, kind)
    if entry is not None:
        return written(entry)
    return "" if told is None else str(told)


def _last(diary: Diary, kind: Kind) -> Entry | None:
    found = diary.of(kind)
    return found[-1] if found else None


def _day(entry: Entry) -> str:
    return f"{entry.time.day} {entry.time:%B %Y}"
