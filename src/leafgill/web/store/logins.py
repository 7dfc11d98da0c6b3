"""Keepers' names and passwords, as whoever runs the program sets them."""

from __future__ import annotations

from axes.utils import reset
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db.models import Count

from leafgill.errors import InputError, quoted
from leafgill.web.forms.keeper_form import good_name
from leafgill.web.models import Keeper


def check_new_name(name: str, but: Keeper | None = None) -> None:
    """Raise InputError for a name that is none, or that somebody else than `but` has."""
    if not good_name(name):
        raise InputError(
            f"NAME {quoted(name)} is not accepted; accepted: letters, digits and . @ + - _, "
            "at most 80"
        )
    others = Keeper.objects.filter(username__iexact=name)
    if but is not None:
        others = others.exclude(pk=but.pk)
    if others.exists():
        raise InputError(f"NAME {quoted(name)} is taken")


def make(name: str, password: str) -> Keeper:
    """Make a keeper. Raises InputError for a name or a password that is not accepted."""
    check_new_name(name)
    made = Keeper(username=name)
    set_password(made, password)
    return made


def set_password(keeper: Keeper, password: str) -> None:
    """Give a keeper a password, and let in again whom wrong ones have locked out.

    Raises InputError for one that is too weak.
    """
    try:
        validate_password(password, keeper)
    except ValidationError as wrong:
        raise InputError(f"the password is not accepted: {' '.join(wrong.messages)}") from None
    keeper.set_password(password)
    keeper.save()
    # wrong ones are counted by the name in small letters (keepers.name_tried)
    reset(username=keeper.username.lower())


def rename(keeper: Keeper, name: str) -> None:
    """Give a keeper another name. Raises InputError for one that is none or taken."""
    check_new_name(name, but=keeper)
    keeper.username = name
    keeper.save(update_fields=["username"])


def named(name: str) -> Keeper:
    """Return the keeper of a name, however its letters are cased.

    Raises InputError where there is none, naming those there are.
    """
    found = Keeper.objects.filter(username__iexact=name).first()
    if found is None:
        names = Keeper.objects.order_by("username").values_list("username", flat=True)
        there = f"there is {', '.join(names)}" if names else "nobody is there yet"
        raise InputError(f"NAME {quoted(name)}: there is no such keeper; {there}")
    return found


def lines() -> list[str]:
    """Return each keeper with the number of tanks, and whether there is a password; by name."""
    found = Keeper.objects.annotate(count=Count("share")).order_by("username")
    return [_line(keeper, keeper.count) for keeper in found]


def _line(keeper: Keeper, tanks: int) -> str:
    has = f"{tanks} tank" if tanks == 1 else f"{tanks} tanks"
    ways = "a password" if keeper.has_usable_password() else "no password"
    return f"{keeper.username}: {has}, {ways}{'' if keeper.is_active else ', not let in'}"
