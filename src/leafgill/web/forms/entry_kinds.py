"""What the form of each kind of entry asks for, and how it goes into the entry's note."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from leafgill.diary import Kind
from leafgill.diary.notes import SUBSTANCES
from leafgill.web.forms.field import Choice, choices

# The kinds as a keeper looks for them: what was read, what was set or done, what was seen.
GROUPS: tuple[tuple[str, tuple[Kind, ...]], ...] = (
    (
        "Read",
        (
            Kind.PH_PROBE,
            Kind.PH,
            Kind.DEGASSED_PH,
            Kind.DROP_CHECKER,
            Kind.KH,
            Kind.GH,
            Kind.TEMPERATURE,
            Kind.TEST,
        ),
    ),
    (
        "Gas",
        (
            Kind.BUBBLE_COUNT,
            Kind.BUBBLE_RATE,
            Kind.GAS_DAY,
            Kind.CYLINDER_MASS,
            Kind.CYLINDER_PRESSURE,
            Kind.WORKING_PRESSURE,
        ),
    ),
    (
        "Done",
        (
            Kind.WATER_CHANGE,
            Kind.DOSE,
            Kind.LIGHT_DAY,
            Kind.AIR_DAY,
            Kind.CALIBRATION,
            Kind.CARE,
        ),
    ),
    ("Seen", (Kind.FISH, Kind.NOTE)),
)
TITLES: dict[Kind, str] = {
    Kind.PH: "pH, hand test",
    Kind.PH_PROBE: "pH, electrode",
    Kind.DEGASSED_PH: "Degassed sample",
    Kind.KH: "Carbonate hardness",
    Kind.GH: "Total hardness",
    Kind.DROP_CHECKER: "Drop checker",
    Kind.BUBBLE_RATE: "Needle valve set",
    Kind.BUBBLE_COUNT: "Bubble count",
    Kind.GAS_DAY: "Gas hours",
    Kind.LIGHT_DAY: "Light hours",
    Kind.AIR_DAY: "Aeration hours",
    Kind.TEMPERATURE: "Temperature",
    Kind.CYLINDER_MASS: "Cylinder weighed",
    Kind.CYLINDER_PRESSURE: "Cylinder gauge",
    Kind.WORKING_PRESSURE: "Working pressure",
    Kind.WATER_CHANGE: "Water change",
    Kind.DOSE: "Fertiliser",
    Kind.TEST: "Water test",
    Kind.FISH: "Animals",
    Kind.CALIBRATION: "Electrode calibrated",
    Kind.CARE: "Work done",
    Kind.NOTE: "Note",
}
LEADS: dict[Kind, str] = {
    Kind.PH: "A hand test of the tank's water, drops or strip.",
    Kind.PH_PROBE: "The tank's pH as the electrode shows it.",
    Kind.DEGASSED_PH: "pH of a glass of tank water that stood until its gas had gone, about a day. "
    "It tells what the water would show without added CO2.",
    Kind.KH: "By the drop test of the tank's water.",
    Kind.GH: "By the drop test of the tank's water.",
    Kind.DROP_CHECKER: "Look at it against white, in daylight.",
    Kind.BUBBLE_RATE: "What the needle valve was set to; it holds from then on.",
    Kind.BUBBLE_COUNT: "Count for ten seconds or longer; longer is surer.",
    Kind.GAS_DAY: "When the timer lets gas in, every day from then on.",
    Kind.LIGHT_DAY: "When the lights are on, every day from then on.",
    Kind.AIR_DAY: "When extra aeration runs, every day from then on.",
    Kind.TEMPERATURE: "Of the tank's water.",
    Kind.CYLINDER_MASS: "As it stands on the scale, regulator and all.",
    Kind.CYLINDER_PRESSURE: "The gauge on the cylinder's side of the regulator.",
    Kind.WORKING_PRESSURE: "The gauge on the hose's side of the regulator.",
    Kind.WATER_CHANGE: "The part of the tank's water that was changed.",
    Kind.DOSE: "What was given, and how much.",
    Kind.TEST: "A test of the tank's water.",
    Kind.FISH: "How they behave now.",
    Kind.CALIBRATION: "The electrode was calibrated.",
    Kind.CARE: "Work on the tank or the equipment.",
    Kind.NOTE: "Anything else worth keeping.",
}
# The units a value may be typed in, the kind's own first, then those of American measures.
UNITS: dict[Kind, tuple[str, ...]] = {
    Kind.KH: ("dKH", "ppm", "drops"),
    Kind.GH: ("dGH", "ppm", "drops"),
    Kind.BUBBLE_RATE: ("per s", "per min"),
    Kind.TEMPERATURE: ("°C", "°F"),
    Kind.CYLINDER_MASS: ("g", "kg", "lb", "oz"),
    Kind.CYLINDER_PRESSURE: ("bar", "psi"),
    Kind.WORKING_PRESSURE: ("bar", "psi"),
    Kind.WATER_CHANGE: ("%",),
    Kind.DOSE: ("mL", "g", "mg", "drops", "pumps", "tablets"),
    Kind.TEST: ("mg/L",),
}
# What is usually meant by keepers who measure in American units.
US_UNITS: dict[Kind, str] = {
    Kind.TEMPERATURE: "°F",
    Kind.CYLINDER_MASS: "lb",
    Kind.CYLINDER_PRESSURE: "psi",
    Kind.WORKING_PRESSURE: "psi",
}
NOTE_HELP: dict[Kind, str] = {
    Kind.CYLINDER_MASS: 'After a refill write "refilled".',
    Kind.DOSE: "Which one.",
}
CARE_WORK = (
    "diffuser cleaned",
    "filter cleaned",
    "plants trimmed",
    "glass cleaned",
    "drop checker refilled",
    "bubble counter refilled",
    "cylinder replaced",
    "check valve replaced",
    "hose replaced",
    "leak tested",
)


@dataclass(frozen=True, slots=True)
class Extra:
    """One more thing a kind's form asks, kept as words of the note that the diary reads.

    `say` makes the words of what was chosen or typed. What was typed is found again in those words
    by `peel`, in its group 1.
    """

    name: str
    label: str
    say: Callable[[str], str]
    peel: re.Pattern[str] | None = None
    widget: str = "choice"
    choices: tuple[Choice, ...] = ()
    unit: str = ""
    help: str = ""

    def unsaid(self, words: str) -> str | None:
        """Return what makes `say` say these words, None where nothing does."""
        for choice in self.choices:
            if choice.value and self.say(choice.value) == words:
                return choice.value
        found = self.peel.fullmatch(words) if self.peel else None
        if found is None:
            return None
        return found[1].replace(" ", "T") if self.widget == "moment" else found[1]


def _as_it_is(text: str) -> str:
    return text


_STEPS = ("0.1", "0.2", "0.25", "0.5", "1")
_READ_TO = Extra(
    "read_to",
    "Read to the nearest",
    lambda step: f"read to {step}",
    choices=choices(_STEPS, "not said"),
    help="The step between two colours of the test.",
)
_INSTRUMENT = Extra(
    "instrument",
    "Read with",
    lambda what: {"probe": "same probe", "hand": "hand test"}.get(what, what),
    widget="radio",
    choices=(
        Choice("probe", "the electrode that hangs in the tank"),
        Choice("hand", "a hand test"),
    ),
    help="With the same electrode its error cancels.",
)
_AIR = Extra(
    "air",
    "The glass stood",
    lambda where: {"indoor": "indoor air", "outdoors": "outdoors"}.get(where, where),
    widget="radio",
    choices=(Choice("indoor", "in the room"), Choice("outdoors", "outdoors")),
)
_WARMTH = Extra(
    "water_c",
    "The water in it was at",
    lambda warmth: f"at {warmth} C",
    peel=re.compile(r"at (-?[\d.,]+) C"),
    widget="number",
    unit="°C",
    help="Cold water holds more CO2: outdoors it is worth a thermometer.",
)
_DRAWN = Extra(
    "drawn",
    "The glass was drawn",
    lambda when: f"glass drawn {when.replace('T', ' ')}",
    peel=re.compile(r"glass drawn (\d{4}-\d\d-\d\d \d\d:\d\d)"),
    widget="moment",
    help="About a day before it is read.",
)
_SUBSTANCE = Extra(
    "substance",
    "Test of",
    _as_it_is,
    choices=choices(SUBSTANCES, "something else, as the note says"),
)
_NEW_KH = Extra(
    "new_kh",
    "KH of the new water",
    lambda kh: f"kh {kh}",
    peel=re.compile(r"kh ([\d.,]+)"),
    widget="number",
    unit="dKH",
    help="Left empty, the new water is taken as the tank's own.",
)


def _drop(unit: str) -> Extra:
    return Extra(
        "drop",
        "One drop of the test is",
        lambda size: f"drop {size} {unit}",
        choices=choices(("1", "0.5", "0.25", "0.2", "0.1"), "not said"),
        unit=unit,
        help="Half a degree on a double sample.",
    )


EXTRAS: dict[Kind, tuple[Extra, ...]] = {
    Kind.PH: (_READ_TO,),
    Kind.DEGASSED_PH: (_INSTRUMENT, _AIR, _WARMTH, _DRAWN),
    Kind.KH: (_drop("dKH"),),
    Kind.GH: (_drop("dGH"),),
    Kind.WATER_CHANGE: (_NEW_KH,),
    Kind.TEST: (_SUBSTANCE,),
}
