"""A tank file off the disk: what keeps it from being read, in one line."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from leafgill.errors import InputError, quoted

_LARGEST = 1_000_000
_PLACE = re.compile(r"\s*\(at (?:line (?P<line>\d+), column \d+|end of document)\)")
# Slips that TOML reports in words only its authors understand, by the line they stand in.
_SLIPS = tuple(
    (re.compile(pattern, re.IGNORECASE), hint)
    for pattern, hint in (
        (r"=\s*\d{1,2}:\d{2}\s*(#|$)", 'a time needs quotes, as "08:30"'),
        (r"=\s*[-+]?\d+,\d+\s*(#|$)", "a number takes a decimal point, not a comma"),
        (r"=\s*[-+]?(\.\d|\d+\.(\s|$))", "a decimal point needs a digit on both sides"),
        (r"=\s*[-+]?0\d", "a number cannot start with 0"),
        (r"=\s*[-+]?[\d.,]+\s*[^\d\s.,#e_+:-]", 'a number with its unit needs quotes, as "40 gal"'),
        (r"=\s*(true|false|yes|no|on|off)\b", "write true or false"),
        (r"=\s*[a-zà-ÿ]", 'text needs quotes, as "UTC"'),
        (r"=\s*[“”„‘’]", 'quotes must be straight ones, as "UTC"'),
        (r'^[^"]*"[^"]*$', "a quote is opened and not closed"),
        (r"=\s*(#|$)", "nothing stands after ="),
        (r"^[\w-]+\s*(:|#|$|[\d\"])", "a key and its value are joined by ="),
        (r"^\[[^]]*(#|$)", "a section stands in brackets, as [tank]"),
    )
)


def read_toml(path: Path) -> dict[str, Any]:
    """Return what a TOML file holds. Raises InputError when it cannot be read, naming the line."""
    return tank_content(_bytes(path), path.name)


def tank_content(raw: bytes, name: str) -> dict[str, Any]:
    """Return what the bytes of a TOML file hold, as `read_toml` does."""
    text = decoded(raw, name)
    if re.match(r"\s*\"?time\"?\s*[,;]", text, re.IGNORECASE):
        raise InputError(f"{name} is a diary or a probe file; a tank file starts with [tank]")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as wrong:
        raise _not_toml(str(wrong), text, name) from None
    except (RecursionError, ValueError):
        # brackets a thousand deep, or a number of thousands of digits
        raise InputError(f"{name} is not a tank file: its values cannot be read") from None


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            raw = file.read(_LARGEST + 1)
    except FileNotFoundError:
        raise InputError(f"{quoted(path.name)}: there is no such file") from None
    except IsADirectoryError:
        raise InputError(f"{quoted(path.name)} is a folder, not a tank file") from None
    except PermissionError:
        # what some systems say of a folder, too
        what = "is a folder, not a tank file" if path.is_dir() else "may not be read by this user"
        raise InputError(f"{quoted(path.name)} {what}") from None
    except (OSError, ValueError) as wrong:
        why = getattr(wrong, "strerror", None) or "its name is no file name"
        raise InputError(f"{quoted(path.name)} cannot be read: {why}") from None
    if len(raw) > _LARGEST:
        raise InputError(f"{path.name} is larger than 1 MB; that is no tank file")
    return raw


def decoded(raw: bytes, name: str) -> str:
    """Return the text of a file. Raises InputError, with the line, where it is not UTF-8."""
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff") or b"\x00" in raw[:200]:
        raise InputError(f"{name} is not UTF-8 text (it may be UTF-16); save it as UTF-8")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        line = raw.count(b"\n", 0, wrong.start) + 1
        raise InputError(f"{name} line {line}: not UTF-8 text; save it as UTF-8") from None
    if not text.strip():
        raise InputError(f"{name} is empty; a tank file starts with [tank]")
    # old line ends; TOML knows only the other two
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _not_toml(message: str, text: str, name: str) -> InputError:
    found = _PLACE.search(message)
    lines = text.split("\n")
    number = int(found["line"]) if found and found["line"] else len(lines)
    # at the end of a file the fault is in the last line that holds something
    while number > 1 and not lines[number - 1].strip():
        number -= 1
    line = lines[number - 1].strip()
    why = _PLACE.sub("", message).strip().rstrip(".")
    if "overwrite" in why or "twice" in why:
        hint = "the key or section stands twice"
    else:
        hint = next((hint for slip, hint in _SLIPS if slip.search(line)), why[:1].lower() + why[1:])
    return InputError(f"{name} line {number}: {quoted(line)} cannot be read: {hint}")
