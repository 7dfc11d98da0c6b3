"""Tanks and their descriptions, with what they were before."""

from __future__ import annotations

from datetime import datetime
from functools import lru_cache

from django.db import transaction
from django.db.models import F

from leafgill.tank.spec import Tank
from leafgill.tank.toml_file import tank_content
from leafgill.tank.writing import to_toml
from leafgill.web.clock import now as clock_now
from leafgill.web.models import Keeper, Share, SpecRow, TankRow
from leafgill.web.store.changed import tell


def create_tank(keeper: Keeper, tank: Tank) -> TankRow:
    """Make a tank of a keeper's own."""
    now = clock_now()
    with transaction.atomic():
        row = TankRow.objects.create(name=tank.name, created=now)
        Share.objects.create(tank=row, keeper=keeper, role="owner")
        SpecRow.objects.create(tank=row, valid_from=now, toml=to_toml(tank))
        tell(row)
    return row


@lru_cache(maxsize=512)
def tank_of_text(toml: str) -> Tank:
    """Return the tank that a kept description describes; it is frozen, and read once."""
    return Tank.from_mapping(tank_content(toml.encode(), "tank.toml"))


def spec_of(row: TankRow, at: datetime | None = None) -> Tank:
    """Return the description in force, now or at an aware moment.

    Before the first one was written, the first holds.
    """
    specs = SpecRow.objects.filter(tank=row).order_by("-valid_from", "-pk")
    found = specs.first() if at is None else specs.filter(valid_from__lte=at).first()
    found = found or specs.last()
    assert found is not None, "a tank is never without a description"
    return tank_of_text(found.toml)


def change_spec(row: TankRow, tank: Tank, keeper: Keeper) -> None:
    """Let another description hold from now on; what held before is kept.

    `keeper` is whose doing it is; whoever may write may do it.
    """
    with transaction.atomic():
        SpecRow.objects.create(tank=row, valid_from=clock_now(), toml=to_toml(tank))
        TankRow.objects.filter(pk=row.pk).update(name=tank.name)
        touch(row)
    row.name = tank.name


def tanks_of(keeper: Keeper) -> list[TankRow]:
    """Return the tanks a keeper has or may see, by name; those put away are left out."""
    rows = TankRow.objects.filter(share__keeper=keeper, archived_at__isnull=True)
    return list(rows.order_by("name", "pk"))


def touch(row: TankRow) -> None:
    """Note that something of a tank was written: what was worked out before is older.

    It belongs into the transaction that writes.
    """
    TankRow.objects.filter(pk=row.pk).update(version=F("version") + 1)
    row.refresh_from_db(fields=["version"])
    tell(row)
