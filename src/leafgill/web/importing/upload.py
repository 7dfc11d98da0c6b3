"""One file as a browser sends it."""

from __future__ import annotations

from typing import Any

from django.core.files.uploadedfile import UploadedFile

from leafgill.errors import InputError

_MB = 1_000_000
# What is larger is no such file; each is far above what years of one tank come to.
LARGEST = {"diary": 5 * _MB, "probe": 50 * _MB, "tank": _MB, "archive": 50 * _MB}
_LONGEST_NAME = 80


def uploaded(file: UploadedFile[Any] | None, kind: str) -> tuple[str, bytes]:
    """Return a file's name, fit to be shown, and its bytes.

    `kind` is one of LARGEST. Raises InputError where there is no file, an empty one, or one that
    is too large.
    """
    if file is None:
        raise InputError("Choose a file first.")
    name = "".join(letter for letter in (file.name or "") if letter.isprintable())[-_LONGEST_NAME:]
    most = LARGEST[kind]
    if (file.size or 0) > most:
        raise InputError(f"is larger than {most // _MB} MB, the most that is taken", name)
    data = file.read()
    if not data:
        raise InputError("is empty", name)
    return name, data
