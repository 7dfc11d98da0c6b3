"""Whether the ways in are still those that are remembered: one small question for all of them."""

from __future__ import annotations

from django.db import connection

from leafgill.web.models import SpecRow, TankRow, TokenRow, TopicRow

Mark = tuple[int, ...]

_NAMES = tuple(row._meta.db_table for row in (TokenRow, TopicRow, SpecRow, TankRow))
_TOKENS, _TOPICS, _SPECS, _TANKS = _NAMES
# Rows of tokens, topics and descriptions are made and go; none of them is ever another one, but
# that a token may be taken back.
_ASK = f"""SELECT
    (SELECT count(*) FROM {_TOKENS} WHERE revoked_at IS NULL),
    (SELECT coalesce(max(id), 0) FROM {_TOKENS}),
    (SELECT count(*) FROM {_TOPICS}),
    (SELECT coalesce(max(id), 0) FROM {_TOPICS}),
    (SELECT coalesce(max(id), 0) FROM {_SPECS}),
    (SELECT count(*) FROM {_TANKS} WHERE archived_at IS NULL)"""


def mark() -> Mark:
    """Return numbers that are others when a token, a topic, a zone or a tank's place changed."""
    with connection.cursor() as cursor:
        cursor.execute(_ASK)
        return tuple(int(number) for number in cursor.fetchone())
