"""What the views of this program share: the keeper, the keeper's habits, what was begun."""

from __future__ import annotations

import time
from datetime import datetime
from typing import cast

from django.http import Http404, HttpRequest

from leafgill.web.forms.habits import Habits
from leafgill.web.home import home
from leafgill.web.models import Keeper, Share, TankRow
from leafgill.web.pending import Pending
from leafgill.web.store.access import tank_for


def keeper_of(request: HttpRequest) -> Keeper:
    """Return who asks; the views behind a login have one."""
    return cast(Keeper, request.user)


def habits_of(request: HttpRequest) -> Habits:
    """Return how the keeper who asks writes numbers."""
    keeper = keeper_of(request)
    return Habits(keeper.units, keeper.decimal)


def pending_of(request: HttpRequest) -> Pending:
    """Return what the keeper who asks has begun and not confirmed."""
    # the real clock: a demonstration's standing one would never let anything grow old
    return Pending(home() / "pending", keeper_of(request).pk, time.time())


def newest_tank_of(keeper: Keeper) -> TankRow | None:
    """Return the tank the keeper made last, None where there is none."""
    owned = Share.objects.filter(keeper=keeper, role="owner").select_related("tank")
    share = owned.order_by("-tank__pk").first()
    return None if share is None else share.tank


def owns(row: TankRow, request: HttpRequest) -> bool:
    """Return whether who asks owns a tank."""
    return Share.objects.filter(tank=row, keeper=keeper_of(request), role="owner").exists()


def owned_tank(request: HttpRequest, public_id: str) -> TankRow:
    """Return a tank of the asker's own. Raises as `tank_for`, and Http404 for other roles."""
    row = tank_for(request, public_id, write=True)
    if not owns(row, request):
        raise Http404("Only an owner may do that.")
    return row


def stamp(when: datetime) -> str:
    """Return a moment by its own zone's clock, as paper has it: "8 March 2025, 12:10".

    Templates get this text and not the time, which they would turn to another zone.
    """
    return f"{when.day} {when:%B %Y}, {when:%H:%M}"
