"""The kinds of thing a diary holds, with their units, accepted values and usual values."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from leafgill.diary.words import nearest, shown
from leafgill.errors import InputError


class Kind(StrEnum):
    """What was seen or done."""

    PH = "ph"
    PH_PROBE = "ph_probe"
    DEGASSED_PH = "degassed_ph"
    KH = "kh"
    GH = "gh"
    DROP_CHECKER = "drop_checker"
    BUBBLE_RATE = "bubble_rate"
    BUBBLE_COUNT = "bubble_count"
    GAS_DAY = "gas_day"
    LIGHT_DAY = "light_day"
    AIR_DAY = "air_day"
    TEMPERATURE = "temperature"
    CYLINDER_MASS = "cylinder_mass"
    CYLINDER_PRESSURE = "cylinder_pressure"
    WORKING_PRESSURE = "working_pressure"
    WATER_CHANGE = "water_change"
    DOSE = "dose"
    TEST = "test"
    FISH = "fish"
    CALIBRATION = "calibration"
    CARE = "care"
    NOTE = "note"


COLOURS = ("blue", "blue-green", "green", "yellow-green", "yellow")
FISH = ("normal", "fast-breathing", "gasping", "dead")

# How a value is written: a number, one of a few words, hours of the day, or free text.
NUMBER, WORD, HOURS, TEXT = "number", "word", "hours", "text"


@dataclass(frozen=True)
class KindInfo:
    """What one kind of entry may hold, in `unit`.

    Outside `accepted` a value is refused, outside `usual` kept with a warning; `suggest` are the
    units in which an odd number is tried, so that the message can name the slip.
    """

    kind: Kind
    says: str
    form: str
    unit: str = ""
    name: str = ""
    accepted: tuple[float, float] = (0.0, float("inf"))
    usual: tuple[float, float] | None = None
    words: tuple[str, ...] = ()
    suggest: tuple[str, ...] = ()
    example: str = ""


# form, unit, name, accepted, usual
_PH = (NUMBER, "", "pH", (3.0, 11.0), (4.5, 9.5))

_TABLE = (
    KindInfo(
        Kind.PH,
        "A hand pH test of the tank water, drops or strip.",
        *_PH,
        example="2025-03-04T12:30,ph,6.8,,",
    ),
    KindInfo(
        Kind.PH_PROBE,
        "The tank's pH read off an electrode.",
        *_PH,
        example="2025-03-04T12:30,ph_probe,6.66,,",
    ),
    KindInfo(
        Kind.DEGASSED_PH,
        "pH of a glass of tank water left standing until its gas has gone; the note says with "
        "what it was read, in which air it stood and when it was drawn.",
        *_PH,
        example='2025-03-04T08:00,degassed_ph,7.76,,"same probe, indoor air, '
        'glass drawn 2025-03-03 08:00"',
    ),
    KindInfo(
        Kind.KH,
        "Carbonate hardness; the note may give the size of a test drop.",
        NUMBER,
        "dKH",
        "KH",
        (0.0, 30.0),
        (0.2, 18.0),
        suggest=("ppm",),
        example="2025-03-03T08:00,kh,4.0,dKH,rounded up to whole 0.5 dKH drops",
    ),
    KindInfo(
        Kind.GH,
        "Total hardness.",
        NUMBER,
        "dGH",
        "GH",
        (0.0, 60.0),
        (0.0, 30.0),
        suggest=("ppm",),
        example="2025-03-03T08:00,gh,6,dGH,",
    ),
    KindInfo(
        Kind.DROP_CHECKER,
        "The colour of the drop checker.",
        WORD,
        name="drop checker colour",
        words=COLOURS,
        example="2025-03-04T15:30,drop_checker,blue-green,,",
    ),
    KindInfo(
        Kind.BUBBLE_RATE,
        "What the needle valve was set to; it holds from this moment on.",
        NUMBER,
        "per s",
        "bubble rate",
        (0.0, 50.0),
        (0.0, 30.0),
        suggest=("per min", "per h"),
        example="2025-03-04T18:00,bubble_rate,1.5,per s,",
    ),
    KindInfo(
        Kind.BUBBLE_COUNT,
        "Bubbles counted, with the seconds counted in the unit: `per s over 10 s` when already "
        "divided, `10 s` for the plain count.",
        NUMBER,
        "per s over 10 s",
        "bubble count",
        (0.0, 50.0),
        (0.0, 30.0),
        example="2025-03-04T18:00,bubble_count,14,10 s,",
    ),
    KindInfo(
        Kind.GAS_DAY,
        "The hours the gas is on, every day from this moment on; or `off`.",
        HOURS,
        name="gas hours",
        example="2025-03-04T08:00,gas_day,08:30-17:30,,",
    ),
    KindInfo(
        Kind.LIGHT_DAY,
        "The hours the light is on, every day from this moment on; or `off`.",
        HOURS,
        name="light hours",
        example="2025-03-03T08:00,light_day,10:00-18:30,,",
    ),
    KindInfo(
        Kind.AIR_DAY,
        "The hours of extra aeration, every day from this moment on; or `off`.",
        HOURS,
        name="air hours",
        example="2025-03-06T21:00,air_day,18:30-08:30,,",
    ),
    KindInfo(
        Kind.TEMPERATURE,
        "Temperature of the tank water.",
        NUMBER,
        "°C",
        "temperature",
        (5.0, 40.0),
        (16.0, 34.0),
        suggest=("°F",),
        example="2025-03-05T12:30,temperature,22.6,°C,",
    ),
    KindInfo(
        Kind.CYLINDER_MASS,
        "What the cylinder weighs as it stands on the scale, regulator and all.",
        NUMBER,
        "g",
        "cylinder mass",
        (50.0, 200_000.0),
        (200.0, 60_000.0),
        suggest=("kg", "lb"),
        example="2025-03-03T08:00,cylinder_mass,5931,g,with regulator on",
    ),
    KindInfo(
        Kind.CYLINDER_PRESSURE,
        "The gauge on the cylinder's side of the regulator.",
        NUMBER,
        "bar",
        "cylinder pressure",
        (0.0, 250.0),
        (0.0, 120.0),
        suggest=("psi", "kPa"),
        example="2025-03-03T08:00,cylinder_pressure,56,bar,",
    ),
    KindInfo(
        Kind.WORKING_PRESSURE,
        "The gauge on the hose side of the regulator.",
        NUMBER,
        "bar",
        "working pressure",
        (0.0, 12.0),
        (0.3, 5.0),
        suggest=("psi", "kPa"),
        example="2025-03-03T08:00,working_pressure,2.1,bar,",
    ),
    KindInfo(
        Kind.WATER_CHANGE,
        "The part of the tank's water changed, in percent; the note may give the new water's KH.",
        NUMBER,
        "%",
        "water change",
        (0.0, 100.0),
        (2.0, 100.0),
        example="2025-03-08T09:00,water_change,40,%,kh 3",
    ),
    KindInfo(
        Kind.DOSE,
        "Fertiliser given; the note says which.",
        NUMBER,
        "mL",
        "dose",
        (0.0, 100_000.0),
        example="2025-03-05T09:00,dose,5,mL,trace elements",
    ),
    KindInfo(
        Kind.TEST,
        "A water test, or an oxygen test; the note or the unit says of what.",
        NUMBER,
        "mg/L",
        "test",
        (0.0, 2_000.0),
        example="2025-03-08T09:00,test,10,mg/L,nitrate",
    ),
    KindInfo(
        Kind.FISH,
        "How the animals behave.",
        WORD,
        name="fish",
        words=FISH,
        example="2025-03-04T12:30,fish,normal,,",
    ),
    KindInfo(
        Kind.CALIBRATION,
        "The electrode was calibrated; the buffers may be given.",
        TEXT,
        name="calibration",
        example="2025-03-03T07:30,calibration,4.01/7.00,,both buffers new",
    ),
    KindInfo(
        Kind.CARE,
        "Work on the tank or the equipment.",
        TEXT,
        name="care",
        example="2025-03-09T10:00,care,diffuser cleaned,,",
    ),
    KindInfo(
        Kind.NOTE,
        "Anything else worth keeping.",
        TEXT,
        name="note",
        example="2025-03-09T10:05,note,,,the stem plants are pearling",
    ),
)

KINDS: dict[Kind, KindInfo] = {info.kind: info for info in _TABLE}

# Ways of writing a kind that can mean nothing else.
_SYNONYMS = {
    "probe": Kind.PH_PROBE,
    "ph_electrode": Kind.PH_PROBE,
    "degassed": Kind.DEGASSED_PH,
    "checker": Kind.DROP_CHECKER,
    "dropchecker": Kind.DROP_CHECKER,
    "temp": Kind.TEMPERATURE,
    "waterchange": Kind.WATER_CHANGE,
    "bubbles": Kind.BUBBLE_COUNT,
}


def parse_kind(text: str | Kind) -> Kind:
    """Return the kind `text` names, forgiving case, spaces and hyphens.

    Raises InputError naming the nearest kind when there is no such kind.
    """
    if isinstance(text, Kind):
        return text
    name = "_".join(text.strip().lower().replace("-", " ").replace("_", " ").split())
    try:
        return Kind(name)
    except ValueError:
        pass
    if name in _SYNONYMS:
        return _SYNONYMS[name]
    if not name:
        raise InputError("kind is empty; accepted: " + ", ".join(Kind))
    like = nearest(name, Kind)
    hint = f" (did you mean {like}?)" if like else ""
    raise InputError(f'kind "{shown(text)}" is not known{hint}; accepted: ' + ", ".join(Kind))
