"""One program at a time on a data folder: a lock that goes with the process that holds it."""

from __future__ import annotations

import os
from pathlib import Path

from leafgill.web.home import home

LOCK_FILE = "running.lock"
_LONGEST = 20


class Lock:
    """The right to run the app on the data folder, held until `release`."""

    def __init__(self, path: Path | None = None) -> None:
        self._path = home() / LOCK_FILE if path is None else path
        self._number: int | None = None

    def take(self) -> bool:
        """Return whether the lock is held now; False where another process has it.

        Raises OSError for a folder that cannot be written.
        """
        number = os.open(self._path, os.O_RDWR | os.O_CREAT, 0o600)
        if not _lock(number):
            os.close(number)
            return False
        os.ftruncate(number, 0)
        os.write(number, str(os.getpid()).encode())
        self._number = number
        return True

    def release(self) -> None:
        """Let the lock go; its file stays, since another may be waiting to open it."""
        if self._number is not None:
            os.ftruncate(self._number, 0)
            os.close(self._number)
            self._number = None

    def holder(self) -> int | None:
        """Return the process id of whoever holds it, None where nobody does; writes nothing.

        0 where somebody does and the number cannot be read.
        """
        try:
            number = os.open(self._path, os.O_RDWR)
        except OSError:
            return None
        try:
            if _lock(number):
                return None
            told = os.read(number, _LONGEST)
        except OSError:
            return 0
        finally:
            os.close(number)
        return int(told) if told.isdigit() else 0


def _lock(number: int) -> bool:
    """Return whether an open file could be locked for this process; at once."""
    if os.name == "nt":
        import msvcrt

        try:
            # beyond the number, which others may then still read
            os.lseek(number, 1_000, os.SEEK_SET)
            msvcrt.locking(number, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
            os.lseek(number, 0, os.SEEK_SET)
        except OSError:
            return False
        return True
    import fcntl

    try:
        fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True
