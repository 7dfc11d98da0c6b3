"""What a keeper has begun and not confirmed: uploads and drafts, in the data folder.

Nothing of it is part of a tank. Each lies in a folder of its own below the keeper's, under a name
that cannot be guessed, and is cleaned up when it is old or when there are too many.
"""

from __future__ import annotations

import json
import re
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

_TOKEN = re.compile(r"[A-Za-z0-9_-]{22}")
_ABOUT, _TAKEN = "about.json", ".taken"
OLDEST_S = {"draft": 30 * 86_400.0}
UPLOAD_OLDEST_S = 86_400.0
# More than this many begun at once are slips; the oldest go.
MOST = 12


@dataclass(frozen=True, slots=True)
class Held:
    """One thing begun: its kind ("draft", "diary", "probe", "tank", "archive"), and its files."""

    token: str
    kind: str
    folder: Path
    about: dict[str, Any]

    def path(self, name: str) -> Path:
        """Return where a file of it lies."""
        return self.folder / name

    def read(self, name: str) -> bytes:
        """Return a file of it."""
        return self.path(name).read_bytes()


class Pending:
    """The things one keeper has begun."""

    def __init__(self, root: Path, keeper_id: int, now_s: float) -> None:
        self._mine = root / str(int(keeper_id))
        self._now_s = now_s

    def put(self, kind: str, about: dict[str, Any], files: dict[str, bytes] | None = None) -> str:
        """Keep something begun; return the token that finds it again."""
        token = secrets.token_urlsafe(16)
        making = self._mine / f".{token}"
        making.mkdir(parents=True, mode=0o700)
        self._write_about(making, {**about, "kind": kind, "made_s": self._now_s})
        for name, data in (files or {}).items():
            (making / name).write_bytes(data)
        making.rename(self._mine / token)
        self.clean(keep=token)
        return token

    def get(self, token: str, kind: str) -> Held | None:
        """Return what a token stands for, None when there is no such thing of this kind."""
        if not _TOKEN.fullmatch(token):
            return None
        return self._held(self._mine / token, token, kind)

    def _held(self, folder: Path, token: str, kind: str) -> Held | None:
        try:
            about = json.loads((folder / _ABOUT).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return None
        return Held(token, kind, folder, about) if about.get("kind") == kind else None

    def change(
        self, held: Held, about: dict[str, Any], files: dict[str, bytes] | None = None
    ) -> None:
        """Put other content in the place of what was there; files not named stay."""
        for name, data in (files or {}).items():
            held.path(name).write_bytes(data)
        self._write_about(held.folder, {**held.about, **about})

    def _write_about(self, folder: Path, about: dict[str, Any]) -> None:
        text = json.dumps(about, ensure_ascii=False)
        new = folder / f"{_ABOUT}.new"
        new.write_text(text, encoding="utf-8")
        new.replace(folder / _ABOUT)

    @contextmanager
    def claimed(self, token: str, kind: str) -> Iterator[Held | None]:
        """Take something to finish it: of two that try at once only one gets it, the other None.

        It is gone afterwards; where the work fails it is put back.
        """
        held = self.get(token, kind)
        if held is None:
            yield None
            return
        mine = self._mine / f"{token}{_TAKEN}"
        try:
            held.folder.rename(mine)
        except OSError:  # somebody was faster
            yield None
            return
        try:
            yield Held(token, kind, mine, held.about)
        except BaseException:
            mine.rename(held.folder)
            raise
        shutil.rmtree(mine, ignore_errors=True)

    def drop(self, token: str, kind: str) -> None:
        """Forget something begun."""
        with self.claimed(token, kind):
            pass

    def listed(self, kind: str) -> list[Held]:
        """Return all begun of a kind, the newest first."""
        found = []
        for folder in self._folders():
            held = self._held(folder, folder.name, kind)
            if held is not None and _TOKEN.fullmatch(folder.name):
                found.append(held)
        return sorted(found, key=lambda held: held.about.get("made_s", 0.0), reverse=True)

    def clean(self, keep: str = "") -> None:
        """Remove what is too old, and of each kind the oldest of too many; never `keep`."""
        aged: dict[str, list[tuple[float, int, Path]]] = {}
        for folder in self._folders():
            kind, made_s, put_ns = self._age(folder)
            aged.setdefault(kind, []).append((made_s, put_ns, folder))
        for kind, found in aged.items():
            oldest_s = self._now_s - OLDEST_S.get(kind, UPLOAD_OLDEST_S)
            found.sort(reverse=True)
            for nth, (made_s, _, folder) in enumerate(found):
                if (made_s < oldest_s or nth >= MOST) and folder.name != keep:
                    shutil.rmtree(folder, ignore_errors=True)

    def _age(self, folder: Path) -> tuple[str, float, int]:
        """Return a folder's kind, when it was made by the clock given, and when it was written."""
        try:
            put_ns = folder.stat().st_mtime_ns
            about = json.loads((folder / _ABOUT).read_text(encoding="utf-8"))
            return str(about["kind"]), float(about["made_s"]), put_ns
        except FileNotFoundError:
            # in the making, or half made: left alone for a day
            return "", folder.stat().st_mtime if folder.exists() else self._now_s, 0
        except (OSError, ValueError, KeyError):
            return "", 0.0, 0

    def _folders(self) -> list[Path]:
        try:
            return [path for path in self._mine.iterdir() if path.is_dir()]
        except OSError:
            return []
