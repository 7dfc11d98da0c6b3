"""Any CSV file as cells, forgivingly: what a spreadsheet or a phone made of it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from leafgill.diary.finding import Finding, some_lines, warning
from leafgill.diary.words import plain, shown
from leafgill.errors import InputError

_STARTS_ROW = re.compile(r"\n\s*\d{4}-\d{2}-\d{2}[T ]\d{1,2}:\d{2}")


@dataclass
class Table:
    """A CSV file in cells: its titles, and its rows with the line each starts on."""

    name: str
    titles: list[str]
    rows: list[tuple[int, list[str]]]
    separator: str
    header_line: int = 1
    findings: list[Finding] = field(default_factory=list)


def read_bytes(path: str | Path) -> bytes:
    """Return a file's bytes. Raises InputError naming the file when it cannot be read."""
    try:
        return Path(path).read_bytes()
    except FileNotFoundError:
        raise InputError("no such file", str(path)) from None
    except IsADirectoryError:
        raise InputError("is a folder, not a file", str(path)) from None
    except OSError as wrong:
        raise InputError(f"cannot be read ({wrong.strerror})", str(path)) from None


def decode(data: bytes, name: str) -> tuple[str, list[Finding]]:
    """Return a file's text, and findings about how it was encoded.

    Raises InputError when the file is empty or no text.
    """
    found: list[Finding] = []
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        text = data.decode("utf-16", errors="replace")
        found.append(warning("encoding", "the file is UTF-16; read as that (save it as UTF-8)"))
    else:
        if data.startswith(b"\xef\xbb\xbf"):
            data = data[3:]
            found.append(warning("bom", "the file starts with a byte order mark; left out"))
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            text = data.decode("cp1252", errors="replace")
            found.append(
                warning("encoding", "the file is not UTF-8; read as Western European (cp1252)")
            )
    if "\0" in text:
        raise InputError("is not a text file; accepted: CSV in UTF-8", name)
    if not text.strip():
        raise InputError("the file is empty; accepted: CSV with a header", name)
    if re.search(r"\r(?!\n)", text):
        found.append(
            warning("line-endings", "lines end with a bare carriage return; read as line ends")
        )
    return text, [finding.in_file(name) for finding in found]


def read_table(text: str, name: str) -> Table:
    """Return the cells of a CSV text; blank lines and lines starting with # are noted and left.

    Raises InputError when a quote is never closed, and when there is no line but those.
    """
    table = Table(name, [], [], _separator(text))
    if table.separator != ",":
        what = {";": "semicolons", "\t": "tabs", "|": "bars"}[table.separator]
        table.findings.append(warning("separator", f"cells are separated by {what}").in_file(name))
    blank: list[int] = []
    comment: list[int] = []
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=table.separator, skipinitialspace=True
    )
    start = 1
    try:
        for cells in reader:
            line, start = start, reader.line_num + 1
            if not any(cell.strip() for cell in cells):
                blank.append(line)
            elif cells[0].lstrip().startswith("#"):
                comment.append(line)
            elif not table.titles and plain(cells[0]).startswith("sep="):
                continue
            elif not table.titles:
                table.titles = [cell.strip() for cell in cells]
                table.header_line = line
            else:
                _closed(cells, name, line)
                table.rows.append((line, [cell.strip() for cell in cells]))
    except csv.Error as wrong:
        raise InputError(f"not CSV ({wrong})", f"{name} line {start}") from None
    if not table.titles:
        raise InputError("the file is empty; accepted: CSV with a header", name)
    if blank:
        message = f"{some_lines(blank)} {'is' if len(blank) == 1 else 'are'} blank"
        table.findings.append(warning("blank-line", message, lines=blank, file=name))
    if comment:
        message = f"{some_lines(comment)} {'starts' if len(comment) == 1 else 'start'} with #"
        table.findings.append(warning("comment-line", message, lines=comment, file=name))
    return table


def _closed(cells: list[str], name: str, line: int) -> None:
    if any("\n" in cell and _STARTS_ROW.search(cell) for cell in cells):
        raise InputError('a quote (") is opened and not closed on this line', f"{name} line {line}")


def _separator(text: str) -> str:
    lines = [x for x in text[:4000].splitlines() if x.strip() and not x.lstrip().startswith("#")]
    if lines and plain(lines[0]).startswith("sep=") and lines[0].strip()[4:5] in ";,|":
        return lines[0].strip()[4:5] or ","
    first = lines[0] if lines else ""
    counts = {sep: first.count(sep) for sep in ",;\t|"}
    best = max(counts, key=lambda sep: counts[sep])
    return best if counts[best] else ","


def header_shown(titles: Sequence[str]) -> str:
    """Return a header as a message shows it."""
    return shown(",".join(titles))
