"""A keeper's own settings, password, and the form by which a new keeper is made."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from leafgill.errors import InputError
from leafgill.tank.clock import nearest_zone, zone
from leafgill.web.forms.field import Choice, FormField, zone_names
from leafgill.web.models import Keeper

_NAME = re.compile(r"[\w.@+-]{1,80}")
_LONGEST = 200

_SETTINGS: dict[str, tuple[str, str, tuple[Choice, ...]]] = {
    "units": (
        "Units",
        "Numbers without a unit are taken in these; any may be typed with its own.",
        (Choice("metric", "cm, L, °C, kg, bar"), Choice("us", "in, gal, °F, lb, psi")),
    ),
    "decimal": (
        "Decimal sign",
        "Either is read; this one is written.",
        (Choice(".", "point: 6.8"), Choice(",", "comma: 6,8")),
    ),
    "theme": (
        "Light or dark",
        "",
        (
            Choice("auto", "as the device has it"),
            Choice("light", "light"),
            Choice("dark", "dark"),
        ),
    ),
}


def good_name(name: str) -> bool:
    """Return whether a name is one to log in with."""
    return _NAME.fullmatch(name) is not None


def settings_fields(values: dict[str, str], errors: dict[str, str]) -> list[FormField]:
    """Return the fields of a keeper's settings."""
    shown = [
        FormField(
            name,
            label,
            "radio",
            values.get(name, ""),
            help=help_text,
            error=errors.get(name, ""),
            choices=offered,
        )
        for name, (label, help_text, offered) in _SETTINGS.items()
    ]
    shown.append(
        FormField(
            "time_zone",
            "Time zone",
            "zone",
            values.get("time_zone", ""),
            help="Put into the form of a new tank; each tank has its own.",
            error=errors.get("time_zone", ""),
            suggestions=zone_names(),
        )
    )
    return shown


def settings_of(keeper: Keeper) -> dict[str, str]:
    """Return what the form of settings shows for a keeper."""
    return {name: getattr(keeper, name) for name in (*_SETTINGS, "time_zone")}


def read_settings(post: Any) -> tuple[dict[str, str], dict[str, str]]:
    """Return what was sent, and what is wrong with it by field."""
    values = {name: post.get(name, "").strip()[:_LONGEST] for name in (*_SETTINGS, "time_zone")}
    errors = {}
    for name, (_, _, offered) in _SETTINGS.items():
        if values[name] not in [choice.value for choice in offered]:
            errors[name] = "Choose one."
    try:
        values["time_zone"] = zone(values["time_zone"]).key
    except InputError:
        like = nearest_zone(values["time_zone"])
        hint = f" Did you mean {like}?" if like else ""
        errors["time_zone"] = f"That zone is not known; write it as Europe/Berlin.{hint}"
    return values, errors


@dataclass
class NewKeeper:
    """A keeper about to be made, or what is wrong by field."""

    keeper: Keeper | None = None
    errors: dict[str, str] = field(default_factory=dict)


def new_keeper_fields(username: str, errors: dict[str, str]) -> list[FormField]:
    """Return the fields by which a new keeper is made."""
    return [
        FormField(
            "username",
            "Name to log in with",
            value=username,
            error=errors.get("username", ""),
            required=True,
            autocomplete="username",
        ),
        *_twice(errors),
    ]


def password_fields(errors: dict[str, str], *, has_one: bool) -> list[FormField]:
    """Return the fields by which a password is changed; the old one where there is one."""
    old = FormField(
        "old",
        "Password until now",
        "password",
        error=errors.get("old", ""),
        required=True,
        autocomplete="current-password",
    )
    return [*([old] if has_one else []), *_twice(errors)]


def _twice(errors: dict[str, str]) -> list[FormField]:
    return [
        FormField(
            name,
            label,
            "password",
            error=errors.get(name, ""),
            required=True,
            autocomplete="new-password",
        )
        for name, label in (("new", "New password"), ("again", "The same again"))
    ]


def new_keeper(post: Any) -> NewKeeper:
    """Return the keeper that was asked for, not saved yet."""
    username = post.get("username", "").strip()
    keeper = Keeper(username=username)
    errors = wrong_password(post, keeper)
    if not good_name(username):
        errors["username"] = "Letters, digits and . @ + - _ alone, at most 80."
    elif Keeper.objects.filter(username__iexact=username).exists():
        errors["username"] = "That name is taken."
    if errors:
        return NewKeeper(errors=errors)
    keeper.set_password(post["new"])
    return NewKeeper(keeper)


def wrong_password(post: Any, keeper: Keeper) -> dict[str, str]:
    """Return what is wrong with a new password that was typed twice, by field."""
    new = post.get("new", "")
    if not new:
        return {"new": "Type one."}
    try:
        validate_password(new, keeper)
    except ValidationError as wrong:
        return {"new": " ".join(wrong.messages)}
    return {} if new == post.get("again", "") else {"again": "The two are not the same."}
