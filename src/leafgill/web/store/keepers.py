"""Keepers: made, found, and let in."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.hashers import UNUSABLE_PASSWORD_PREFIX
from django.db.models import Q, QuerySet
from django.http import HttpRequest

from leafgill.web.models import Keeper

# The name of the keeper that is made when the app is opened at the machine itself.
FIRST = "keeper"
_WITHOUT = Q(password="") | Q(password__startswith=UNUSABLE_PASSWORD_PREFIX)


def without_password() -> list[Keeper]:
    """Return the active keepers whom no password lets in, the first made first; two at most."""
    return list(_active().filter(_WITHOUT).order_by("pk")[:2])


def with_password() -> bool:
    """Return whether an active keeper has a password."""
    return _active().exclude(_WITHOUT).exists()


def first_keeper() -> Keeper:
    """Return the first keeper, made without a password where there is nobody yet."""
    found = Keeper.objects.order_by("pk").first()
    if found is None:
        found = Keeper(username=FIRST)
        found.set_unusable_password()
        found.save()
    return found


def _active() -> QuerySet[Keeper]:
    return Keeper.objects.filter(is_active=True)


def name_tried(request: HttpRequest | None, credentials: dict[str, Any] | None = None) -> str:
    """Return the name somebody tries to log in by, in small letters.

    Wrong passwords are counted by it: otherwise each way of writing a name had tries of its own.
    """
    given = (credentials or {}).get("username")
    if given is None and request is not None:
        given = request.POST.get("username", "")
    return str(given or "").lower()
