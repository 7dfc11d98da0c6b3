"""A PostgreSQL server of one's own, gone afterwards; its care for the disk is as it comes."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote


def binary(name: str) -> str:
    """Return a program of PostgreSQL, on the path or where Debian keeps it."""
    found = shutil.which(name)
    places = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))
    if found is None and not places:
        raise SystemExit(f"{name} is not there; on Debian: apt-get install postgresql")
    return found or str(places[-1])


@contextmanager
def postgres(wanted: bool = True) -> Iterator[str]:
    """Give the URL of a database while it is used, "" where none is wanted."""
    if not wanted:
        yield ""
        return
    folder = Path(tempfile.mkdtemp(prefix="leafgill-pg-"))
    who = {}
    if os.getuid() == 0:  # which it refuses
        names = {entry.pw_name: entry for entry in pwd.getpwall()}
        one = names.get("postgres") or names["nobody"]
        who = {"user": one.pw_uid, "group": one.pw_gid, "extra_groups": []}
        os.chown(folder, one.pw_uid, one.pw_gid)
    data = folder / "data"

    def run(*words: str | Path) -> None:
        subprocess.run(words, check=True, cwd=folder, stdout=subprocess.DEVNULL, **who)

    try:
        run(
            binary("initdb"),
            "-D",
            data,
            "-U",
            "leafgill",
            "-A",
            "trust",
            "-E",
            "UTF8",
            "--locale",
            "C",
        )
        run(binary("pg_ctl"), "-D", data, "-w", "-l", folder / "log", "-o",
            f"-k {folder} -c listen_addresses=''", "start")  # fmt: skip
        yield f"postgresql://leafgill@{quote(str(folder), safe='')}/postgres"
    finally:
        if (data / "postmaster.pid").exists():
            run(binary("pg_ctl"), "-D", data, "-m", "fast", "-w", "stop")
        shutil.rmtree(folder, ignore_errors=True)
