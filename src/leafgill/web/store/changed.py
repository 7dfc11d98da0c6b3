"""Tells who listens that something of a tank was written, once it really is."""

from __future__ import annotations

from functools import partial

from django.db import transaction
from django.dispatch import Signal

# Sent with `row`, the tank's, after the transaction that wrote has ended well.
tank_changed = Signal()


def tell(row: object) -> None:
    """Tell that a tank has changed, when the transaction that changes it ends."""
    transaction.on_commit(partial(tank_changed.send_robust, type(row), row=row))
