"""What is acknowledged is on the disk, also when the power goes."""

from __future__ import annotations

import threading

from django.db import Error, connection

from leafgill.web.ingest.failing import StoreError, words_of

# which of each thread's connections does so already
_done = threading.local()


def make_durable() -> None:
    """Have this thread's connection wait for the disk at each commit.

    The app's other connections to SQLite do not: what a page wrote in the last moment before the
    power went may be lost there, and nobody was told it is safe. PostgreSQL waits as it is.
    Raises StoreError where the database cannot be reached.
    """
    try:
        connection.ensure_connection()
        raw = connection.connection
        if connection.vendor == "sqlite" and getattr(_done, "of", None) is not raw:
            raw.execute("PRAGMA synchronous=FULL")
            _done.of = raw
    except Error as wrong:
        connection.close()
        raise StoreError(words_of(wrong)) from wrong
