"""New water to work out, as two forms: tap and pure water together, and minerals for soft water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from leafgill.advise.water.minerals import USUAL, USUAL_CA_TO_MG
from leafgill.science.salts import SALTS, gh_dgh, kh_dkh
from leafgill.tank.fields import FIELDS
from leafgill.web.forms.amount import read_amount
from leafgill.web.forms.field import Choice, FormField
from leafgill.web.forms.habits import Habits

MIX, MINERALS = "mix", "minerals"
AIMS = (
    Choice("kh", "a KH"),
    Choice("gh", "a GH"),
    Choice("part", "a part of pure water"),
)
_AIM_UNIT = {"kh": "dKH", "gh": "dGH", "part": "%"}
_LITRES = (0.01, 100_000.0)
_KH, _GH = (FIELDS["tap"][key].accepted or (0.0, 30.0) for key in ("kh_dkh", "gh_dgh"))
_AIM_ENDS = {"kh": _KH, "gh": _GH, "part": (0.0, 100.0)}
_RATIO = (0.1, 50.0)
_NAMES = {MIX: ("aim", "to", "litres"), MINERALS: ("kh", "gh", "litres", "ratio", "tap")}


@dataclass
class ReadMix:
    """A mix that was asked for: "kh", "gh" or "part", its value, litres; or what is wrong."""

    aim: str = ""
    to: float = 0.0
    litres: float = 0.0
    errors: dict[str, str] = field(default_factory=dict)


@dataclass
class ReadMinerals:
    """Minerals that were asked for, or what is wrong by field."""

    kh_dkh: float = 0.0
    gh_dgh: float = 0.0
    litres: float = 0.0
    salts: tuple[str, ...] = USUAL
    ca_to_mg: float | None = USUAL_CA_TO_MG
    tap_part: float = 0.0
    errors: dict[str, str] = field(default_factory=dict)


def typed_of(form: str, get: Any) -> dict[str, str]:
    """Return what was typed into one of the two forms; `get` is a QueryDict."""
    return {name: get.get(name, "").strip()[:60] for name in _NAMES[form]}


def salts_of(get: Any) -> tuple[str, ...]:
    """Return the salts that were ticked; those that are usual where none was."""
    ticked = tuple(key for key in get.getlist("salt")[:20] if key in mineral_salts())
    return ticked or USUAL


def mineral_salts() -> tuple[str, ...]:
    """Return the salts that raise KH or GH and bring no fertiliser."""
    fed = ("nitrate", "phosphate", "ammonium", "urea")
    return tuple(
        key
        for key, salt in SALTS.items()
        if max(float(kh_dkh(salt, 1.0)), float(gh_dgh(salt, 1.0))) > 0.0
        and not any(name in salt.gives for name in fed)
    )


def mix_fields(
    typed: dict[str, str], errors: dict[str, str], habits: Habits, litres: float
) -> list[FormField]:
    """Return the fields of a mix; without litres it is a usual water change's."""
    return [
        FormField("aim", "Mix for", "choice", typed.get("aim", "kh"), choices=AIMS,
                  error=errors.get("aim", ""), apart=MIX),
        FormField("to", "Of", "number", typed.get("to", ""), unit="dKH, dGH or %",
                  error=errors.get("to", ""), apart=MIX),
        _litres(typed, errors, habits, litres, MIX),
    ]  # fmt: skip


def _litres(
    typed: dict[str, str], errors: dict[str, str], habits: Habits, litres: float, apart: str
) -> FormField:
    usual = f"Left empty: {habits.words(litres, 'L')}, a usual water change."
    return FormField("litres", "How much", "number", typed.get("litres", ""),
                     unit=habits.shown_unit("L"), help=usual, error=errors.get("litres", ""),
                     apart=apart)  # fmt: skip


def mineral_fields(
    typed: dict[str, str],
    errors: dict[str, str],
    salts: Sequence[str],
    habits: Habits,
    litres: float,
) -> list[FormField]:
    """Return the fields of minerals."""

    def number(name: str, label: str, unit: str, help_text: str = "") -> FormField:
        return FormField(name, label, "number", typed.get(name, ""), unit=unit, help=help_text,
                         error=errors.get(name, ""), apart=MINERALS)  # fmt: skip

    ticked = tuple(Choice(key, f"{key}, {SALTS[key].name}") for key in mineral_salts())
    return [
        number("kh", "KH to meet", "dKH"),
        number("gh", "GH to meet", "dGH"),
        _litres(typed, errors, habits, litres, MINERALS),
        FormField("salt", "With these salts", "several", tuple(salts), choices=ticked,
                  error=errors.get("salt", ""), apart=MINERALS),
        number("ratio", "Calcium to magnesium, by weight", "",
               f"Left empty: {USUAL_CA_TO_MG:g}. Write 0 where it does not matter."),
        number("tap", "Tap water in the water to begin with", "%", "Left empty: none."),
    ]  # fmt: skip


def read_mix(typed: dict[str, str], habits: Habits, litres: float) -> ReadMix:
    """Return the mix that was typed, or what is wrong beside each field."""
    read = ReadMix(aim=typed["aim"], litres=litres)
    if read.aim not in _AIM_UNIT:
        read.errors["aim"] = "Choose one."
        return read
    ends, unit = _AIM_ENDS[read.aim], _AIM_UNIT[read.aim]
    read.to = _number("to", typed["to"], unit, ends, habits, read.errors)
    if typed["litres"]:
        read.litres = _number("litres", typed["litres"], "L", _LITRES, habits, read.errors)
    return read


def read_minerals(
    typed: dict[str, str], salts: tuple[str, ...], habits: Habits, litres: float
) -> ReadMinerals:
    """Return the minerals that were typed, or what is wrong beside each field."""
    read = ReadMinerals(salts=salts, litres=litres)
    read.kh_dkh = _number("kh", typed["kh"], "dKH", _KH, habits, read.errors)
    read.gh_dgh = _number("gh", typed["gh"], "dGH", _GH, habits, read.errors)
    if typed["litres"]:
        read.litres = _number("litres", typed["litres"], "L", _LITRES, habits, read.errors)
    if typed["ratio"]:
        free = typed["ratio"] == "0"
        read.ca_to_mg = None if free else _number("ratio", typed["ratio"], "", _RATIO, habits,
                                                  read.errors)  # fmt: skip
    if typed["tap"]:
        percent = _number("tap", typed["tap"], "%", (0.0, 100.0), habits, read.errors)
        read.tap_part = percent / 100.0
    return read


def _number(
    name: str,
    text: str,
    unit: str,
    ends: tuple[float, float],
    habits: Habits,
    errors: dict[str, str],
) -> float:
    """Return a number, 0 where it is refused beside its field."""
    value = read_amount(name, text, unit, ends, habits, errors)
    return 0.0 if value is None else value
