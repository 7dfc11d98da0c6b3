"""Who may see and change a tank: invitations that work once, roles, leaving."""

from __future__ import annotations

import hashlib
import re
import secrets
from datetime import datetime, timedelta

from django.db import transaction

from leafgill.errors import InputError
from leafgill.web.models import Invitation, Keeper, Share, TankRow

OWNER, WRITE, READ = "owner", "write", "read"
ROLES = (READ, WRITE, OWNER)
VALID = timedelta(days=7)
# Open invitations beyond this are a slip; old ones have to be used or called back first.
MOST_OPEN = 20
_TOKEN = re.compile(r"[A-Za-z0-9_-]{43}")


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def invite(row: TankRow, role: str, by: Keeper, now: datetime) -> str:
    """Make an invitation to read or write; return the token of its link, which is kept nowhere.

    Raises InputError for another role, and when too many are open.
    """
    if role not in (READ, WRITE):
        raise InputError("An invitation is to read or to write.")
    if open_invitations(row, now).count() >= MOST_OPEN:
        raise InputError(f"{MOST_OPEN} invitations are open; call one back first.")
    token = secrets.token_urlsafe(32)
    Invitation.objects.create(
        tank=row,
        token_hash=_hash(token),
        role=role,
        made_by=by,
        made_at=now,
        expires_at=now + VALID,
    )
    return token


def open_invitations(row: TankRow, now: datetime):  # type: ignore[no-untyped-def]
    """Return the invitations to a tank that still work, the newest first."""
    found = Invitation.objects.filter(tank=row, used_by__isnull=True, expires_at__gt=now)
    return found.select_related("made_by").order_by("-made_at")


def invitation_of(token: str, now: datetime) -> Invitation | None:
    """Return the invitation a link stands for, None where it does not work (any more)."""
    if not _TOKEN.fullmatch(token):
        return None
    found = Invitation.objects.filter(
        token_hash=_hash(token), used_by__isnull=True, expires_at__gt=now
    )
    return found.select_related("tank", "made_by").first()


def accept(invitation: Invitation, keeper: Keeper, now: datetime) -> TankRow | None:
    """Let a keeper in by an invitation; None where somebody else was faster.

    Nobody gets less by it than what was there.
    """
    with transaction.atomic():
        still_open = Invitation.objects.filter(
            pk=invitation.pk, used_by__isnull=True, expires_at__gt=now
        )
        if not still_open.update(used_by=keeper):
            return None
        share, made = Share.objects.get_or_create(
            tank=invitation.tank, keeper=keeper, defaults={"role": invitation.role}
        )
        if not made and ROLES.index(share.role) < ROLES.index(invitation.role):
            share.role = invitation.role
            share.save(update_fields=["role"])
    return invitation.tank


def set_role(row: TankRow, keeper_id: int, role: str) -> None:
    """Give a keeper another role. Raises InputError when no owner would be left."""
    if role not in ROLES:
        raise InputError("There is no such role.")
    with transaction.atomic():
        share = _locked(row, keeper_id)
        if share is None or share.role == role:
            return
        if share.role == OWNER:
            _another_owner(row, keeper_id)
        share.role = role
        share.save(update_fields=["role"])


def end_share(row: TankRow, keeper_id: int) -> None:
    """Take a keeper's share away, or leave. Raises InputError when no owner would be left."""
    with transaction.atomic():
        share = _locked(row, keeper_id)
        if share is None:
            return
        if share.role == OWNER:
            _another_owner(row, keeper_id)
        share.delete()


def _locked(row: TankRow, keeper_id: int) -> Share | None:
    shares = Share.objects.select_for_update().filter(tank=row)
    return next((share for share in shares if share.keeper_id == keeper_id), None)


def _another_owner(row: TankRow, keeper_id: int) -> None:
    others = Share.objects.filter(tank=row, role=OWNER).exclude(keeper_id=keeper_id)
    if not others.exists():
        raise InputError("A tank needs an owner; make somebody else one first.")
