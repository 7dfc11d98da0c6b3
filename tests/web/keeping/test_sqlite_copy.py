"""Copies of a SQLite file, and what its check says."""

import sqlite3

import pytest

from leafgill.errors import InputError
from leafgill.web.keeping import sqlite_copy
from leafgill.web.keeping.backup_format import Table


@pytest.fixture
def source(tmp_path):
    made = sqlite3.connect(tmp_path / "source.db")
    made.executescript("PRAGMA journal_mode=WAL; CREATE TABLE a (n integer); CREATE TABLE b (n)")
    made.execute("INSERT INTO a VALUES (1), (2)")
    made.commit()
    yield made
    made.close()


def test_a_copy_is_one_file_with_every_row(source, tmp_path):
    out = tmp_path / "out" / "copy.db"
    out.parent.mkdir()
    sqlite_copy.copy_database(source, out)
    assert sqlite_copy.tables_of(out) == (Table("a", 2), Table("b", 0))
    sqlite_copy.check_database(out, "copy")
    assert list(out.parent.iterdir()) == [out]


def test_a_source_that_somebody_holds_is_not_waited_for_for_ever(tmp_path, monkeypatch):
    monkeypatch.setattr(sqlite_copy, "_LOCKED_FOR_S", 0.1)
    holding = sqlite3.connect(tmp_path / "source.db", isolation_level=None)
    holding.execute("CREATE TABLE a (n integer)")
    holding.execute("BEGIN EXCLUSIVE")
    waiting = sqlite3.connect(tmp_path / "source.db", timeout=0.0)
    with pytest.raises(sqlite3.OperationalError, match="database is locked"):
        sqlite_copy.copy_database(waiting, tmp_path / "copy.db")
    waiting.close()
    holding.close()


BY_KEY = "PRIMARY KEY (s, t)) WITHOUT ROWID"


@pytest.mark.parametrize(
    "made",
    [
        # the second is what SQLite 3.40 calls NULL where nothing is
        f"CREATE TABLE r (s integer NOT NULL, t integer NOT NULL, v real NOT NULL, {BY_KEY}",
        f"CREATE TABLE r (t integer NOT NULL, v real NOT NULL, s integer NOT NULL, {BY_KEY}",
    ],
)
def test_a_table_that_lies_by_its_key_is_sound(tmp_path, made):
    file = tmp_path / "a.db"
    opened = sqlite3.connect(file)
    opened.execute(made)
    opened.executemany("INSERT INTO r (s, t, v) VALUES (1, ?, 6.5)", [(n,) for n in range(300)])
    opened.commit()
    opened.close()
    sqlite_copy.check_database(file, "a.db")


def test_what_really_is_null_is_told(tmp_path):
    file = tmp_path / "a.db"
    opened = sqlite3.connect(file)
    opened.execute("CREATE TABLE r (s integer, v real)")
    opened.execute("INSERT INTO r VALUES (1, NULL)")
    opened.execute("PRAGMA writable_schema=ON")
    opened.execute("UPDATE sqlite_master SET sql = 'CREATE TABLE r (s integer, v real NOT NULL)'")
    opened.commit()
    opened.close()
    with pytest.raises(InputError, match=r"a\.db: the database is damaged: NULL value in r\.v"):
        sqlite_copy.check_database(file, "a.db")


def test_a_row_without_the_one_it_belongs_to_is_told(tmp_path):
    file = tmp_path / "a.db"
    opened = sqlite3.connect(file)
    opened.execute("CREATE TABLE one (id integer PRIMARY KEY)")
    opened.execute("CREATE TABLE many (one integer REFERENCES one (id))")
    opened.execute("INSERT INTO many VALUES (7)")
    opened.commit()
    opened.close()
    with pytest.raises(InputError, match="a row of many belongs to one that is not there"):
        sqlite_copy.check_database(file, "a.db")
