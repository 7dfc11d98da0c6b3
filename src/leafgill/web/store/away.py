"""Tanks that are kept no more: put away with everything, out of the lists, and brought back."""

from __future__ import annotations

from datetime import datetime

from leafgill.web.models import Keeper, Share, TankRow


def put_away(row: TankRow, now: datetime) -> None:
    """Put a tank away; its pages stay where they are. Nothing happens where it is away."""
    TankRow.objects.filter(pk=row.pk, archived_at__isnull=True).update(archived_at=now)


def bring_back(row: TankRow) -> None:
    """Put a tank back into the lists."""
    TankRow.objects.filter(pk=row.pk).update(archived_at=None)


def put_away_by(keeper: Keeper) -> list[TankRow]:
    """Return the keeper's own tanks that are put away, by name."""
    owned = Share.objects.filter(keeper=keeper, role="owner").values_list("tank", flat=True)
    rows = TankRow.objects.filter(pk__in=list(owned), archived_at__isnull=False)
    return list(rows.order_by("name", "pk"))
