"""Reading a backup to its last byte, as for bringing it back, and holding it against its word."""

from __future__ import annotations

import hashlib
import json
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from leafgill.errors import InputError
from leafgill.web.keeping.backup_format import (
    LARGEST_MANIFEST,
    MANIFEST,
    SQLITE,
    SQLITE_FILE,
    Manifest,
    Member,
    Table,
    manifest_of,
)
from leafgill.web.keeping.sqlite_copy import check_database, tables_of

BLOCK = 1_000_000


class Backup:
    """A backup opened for reading. `name` is what messages call it.

    Raises InputError, on opening and while reading, for anything that is none of ours or damaged.
    """

    def __init__(self, path: Path) -> None:
        self.name = path.name
        try:
            self._zip = zipfile.ZipFile(path)
        except FileNotFoundError:
            raise InputError("is not there", str(path)) from None
        except (zipfile.BadZipFile, NotImplementedError, ValueError):
            raise InputError("is no zip file, or only the beginning of one", self.name) from None
        except OSError as wrong:
            raise InputError(f"cannot be read: {wrong.strerror}", self.name) from None
        try:
            self.manifest = self._manifest()
        except BaseException:
            self._zip.close()
            raise

    def close(self) -> None:
        """Close the file."""
        self._zip.close()

    def blocks(self, member: Member) -> Iterator[bytes]:
        """Give a member's bytes in blocks. Raises InputError at the end where they are not its."""
        found, size = hashlib.sha256(), 0
        try:
            with self._zip.open(member.name) as opened:
                while block := opened.read(BLOCK):
                    size += len(block)
                    if size > member.bytes:
                        break
                    found.update(block)
                    yield block
        except InputError:
            raise
        except KeyError:
            raise InputError(f"lacks {member.name}", self.name) from None
        except Exception as wrong:  # zlib.error and its kin share no base with the others
            why = f"{member.name} is damaged ({type(wrong).__name__})"
            raise InputError(why, self.name) from None
        if size != member.bytes or found.hexdigest() != member.sha256:
            raise InputError(f"{member.name} is not what was written", self.name)

    def put(self, member: Member, out: Path) -> None:
        """Write a member into a new file that is its user's alone.

        Raises InputError as `blocks`, and OSError where the file cannot be written.
        """
        with out.open("xb") as file:
            out.chmod(0o600)
            source = self.blocks(member)
            while (block := next(source, None)) is not None:
                file.write(block)

    def member(self, name: str) -> Member:
        """Return a member by its name. Raises InputError where there is none."""
        found = next((at for at in self.manifest.members if at.name == name), None)
        if found is None:
            raise InputError(f"lacks {name}", self.name)
        return found

    def _manifest(self) -> Manifest:
        try:
            with self._zip.open(MANIFEST) as opened:
                data = opened.read(LARGEST_MANIFEST + 1)
            told = json.loads(data) if len(data) <= LARGEST_MANIFEST else None
        except KeyError:
            raise InputError("is no backup of this program", self.name) from None
        except Exception as wrong:
            why = f"{MANIFEST} cannot be read ({type(wrong).__name__})"
            raise InputError(why, self.name) from None
        return manifest_of(told, self.name)


@contextmanager
def opened(path: Path) -> Iterator[Backup]:
    """Give a backup opened for reading."""
    backup = Backup(path)
    try:
        yield backup
    finally:
        backup.close()


def read_back(path: Path) -> Manifest:
    """Read all of a backup; return what it tells of itself, which then is so.

    Of SQLite the database is unpacked beside the backup and every page of it read. Raises
    InputError, in one line, for anything that is not as it was written, and OSError where there is
    no room to unpack it.
    """
    with opened(path) as backup:
        for member in backup.manifest.members:
            if member.name != SQLITE_FILE:
                _drain(backup, member)
        if backup.manifest.database == SQLITE:
            with tempfile.TemporaryDirectory(dir=path.absolute().parent) as folder:
                file = Path(folder) / SQLITE_FILE
                backup.put(backup.member(SQLITE_FILE), file)
                check_file(file, backup)
        else:
            for table in backup.manifest.tables:
                _check_lines(backup, table)
        return backup.manifest


def check_file(file: Path, backup: Backup) -> None:
    """Read all of a database that came out of a backup. Raises InputError as `read_back`."""
    check_database(file, backup.name)
    found = tables_of(file)
    if found != backup.manifest.tables:
        wrong = sorted({at.name for at in {*found} ^ {*backup.manifest.tables}})
        raise InputError(f"{', '.join(wrong)}: not the rows that were counted", backup.name)


def _drain(backup: Backup, member: Member) -> None:
    for _ in backup.blocks(member):
        pass


def member_of(table: Table) -> str:
    """Return the name of the member with a table's rows."""
    return f"tables/{table.name}.copy"


def _check_lines(backup: Backup, table: Table) -> None:
    """Hold a table's lines against its rows and columns. Raises InputError."""
    lines = tabs = 0
    for block in backup.blocks(backup.member(member_of(table))):
        lines += block.count(b"\n")
        tabs += block.count(b"\t")
    if lines != table.rows or tabs != lines * (len(table.columns) - 1):
        raise InputError(f"{table.name}: not the rows that were counted", backup.name)
