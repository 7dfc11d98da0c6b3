"""What was noticed while reading or checking a diary."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

WARNING, ERROR = "warning", "error"

FINDINGS = {
    # the file
    "bom": "The file starts with a byte order mark; it is left out.",
    "encoding": "The file is not UTF-8; it is read as what it seems to be.",
    "line-endings": "Lines end with a bare carriage return; they are read as lines.",
    "separator": "Cells are separated by semicolons, tabs or bars; they are read so.",
    "blank-line": "A line is blank; it is passed over.",
    "comment-line": "A line starts with #; it is passed over.",
    "unknown-column": "A column has a title that is not known; it is not read.",
    "unsorted-rows": "Rows are not in order of time; they are sorted.",
    "repeated-row": "A row repeats another word for word; it is kept once.",
    "wrong-row": "A row cannot be meant; the file is refused, naming the first such row.",
    # one cell
    "quoted-value": "A cell has quotes of its own; they are left out.",
    "unquoted-note": "A note has a comma but no quotes; it is kept whole.",
    "decimal-comma": "A number has a comma; it is read as the decimal sign, or as thousands where "
    "only that is accepted.",
    "date-form": "A date starts with the year but has no hyphens; it is read so.",
    "day-first-date": "A date is written day first, and the file shows that it is; it is read so.",
    "month-first-date": "A date is written month first, and the file shows that it is; it is read "
    "so.",
    "time-with-space": "A time has a space in place of the T; it is read as a T.",
    "time-with-offset": "A time has Z or an offset; it is that moment, wherever the tank stands.",
    # one entry
    "unusual-value": "A value is accepted but unusual; it is kept.",
    "unit-missing": "A dose has no unit; it is taken as mL.",
    "count-without-seconds": "A bubble count does not say over how many seconds; it is taken as "
    "counted over 10 s.",
    "drop-size": "A hardness is given in drops of unknown size; a drop is taken as one degree.",
    "instrument-missing": "A degassed sample does not say what it was read with; it is kept.",
    "drawn-not-read": "When the glass was drawn cannot be read from the note; it is kept without.",
    "drawn-after-reading": "A glass is said to be drawn after it was read; it is kept without.",
    "short-standing": "A glass stood for less than eight hours, so gas is left in it; it is kept.",
    "test-without-name": "A test does not say what it was of; it is kept.",
    # across entries
    "two-values": "One kind has two values at one time; both are kept.",
    "heavier-cylinder": "The cylinder weighs more than before and no note tells of a refill; it is "
    "kept.",
    "far-from-others": "An entry is most of a year from every other; the year may be a slip.",
    "in-the-future": "An entry or a reading is later than now; it is not used until then.",
    "skipped-hour": "A time falls in the hour the clocks skip in spring; it is moved later by it.",
    "repeated-hour": "A time falls in the hour the clocks repeat in autumn; the first is meant.",
    # probe readings
    "not-a-number": "A probe's cell has no number; it is left out and its line listed.",
    "probe-outside": "A probe's reading cannot be; it is left out and its line listed.",
    "probe-jump": "A probe jumps, and no water change or calibration explains it; it is kept.",
    "probe-stuck": "A probe shows one figure for too long; it is kept.",
}


@dataclass(frozen=True)
class Finding:
    """One thing noticed: a warning (kept, something was assumed) or an error (refused).

    `kind` is the finding's short name, one of `FINDINGS`; `line` the line of the file it stands
    on, None for an entry made in code; `lines` all lines of a finding that is about several;
    `time` the moment it is about, where there is one; `file` the file's name.
    """

    level: str
    line: int | None
    message: str
    kind: str
    time: datetime | None = None
    file: str = ""
    lines: tuple[int, ...] = ()

    def in_file(self, file: str, line: int | None = None) -> Finding:
        """Return this finding with the file (and the line, if it had none) it was found in."""
        return replace(self, file=file, line=self.line if self.line is not None else line)

    @property
    def where(self) -> str:
        """Return "diary.csv line 14", as far as it is known."""
        parts = [self.file] if self.file else []
        if self.line is not None:
            parts.append(f"line {self.line}")
        return " ".join(parts)

    def __str__(self) -> str:
        return f"{self.where}: {self.message}" if self.where else self.message


def warning(
    kind: str,
    message: str,
    line: int | None = None,
    *,
    lines: Sequence[int] = (),
    time: datetime | None = None,
    file: str = "",
) -> Finding:
    """Return a finding that only warns; with `lines`, it stands on the first of them."""
    if kind not in FINDINGS:
        raise KeyError(kind)
    if lines and line is None:
        line = lines[0]
    return Finding(WARNING, line, message, kind, time, file, tuple(lines))


def some_lines(lines: Sequence[int], most: int = 5) -> str:
    """Return "line 3" or "lines 3, 4, 5 and 12 more" for a message."""
    if len(lines) == 1:
        return f"line {lines[0]}"
    listed = ", ".join(str(line) for line in lines[:most])
    rest = len(lines) - most
    return f"lines {listed}" + (f" and {rest} more" if rest > 0 else "")
