"""What is in the store in the end, asked of the database itself."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import psycopg

_ALL = "SELECT sensor_id, time_s, value, flag FROM web_readingrow"


@contextmanager
def _opened(home: Path, database_url: str) -> Iterator[Any]:
    if database_url:
        with psycopg.connect(database_url) as connection:
            yield connection
    else:
        with closing(sqlite3.connect(home / "leafgill.db", timeout=30)) as connection:
            yield connection


def count_readings(home: Path, database_url: str = "") -> int:
    """Return how many readings there are."""
    with _opened(home, database_url) as opened:
        return int(opened.execute(f"SELECT count(*) FROM ({_ALL}) AS a").fetchone()[0])


def readings(home: Path, database_url: str = "") -> dict[tuple[int, int], tuple[float, int]]:
    """Return (value, flag) by sensor and second."""
    with _opened(home, database_url) as opened:
        return {(s, t): (v, f) for s, t, v, f in opened.execute(_ALL).fetchall()}


def is_sound(home: Path) -> bool:
    """Return whether a SQLite database is whole, its keys included."""
    with _opened(home, "") as opened:
        whole = opened.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        return whole and not opened.execute("PRAGMA foreign_key_check").fetchall()
