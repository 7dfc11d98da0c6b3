"""A diary file coming in: which rows are new, which are there already, which cannot be meant."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from leafgill.diary import Entry, Finding, check_entries, read_diary, written
from leafgill.diary.finding import ERROR
from leafgill.diary.localised import localised_entries
from leafgill.diary.table import decode

EntryKey = tuple[float, str, str, str, str]


def key_of(entry: Entry) -> EntryKey:
    """Return what makes two entries the same thing written twice; the time must be aware."""
    return (
        entry.time.timestamp(),
        entry.kind.value,
        written(entry),
        entry.unit,
        " ".join(entry.note.split()),
    )


@dataclass(frozen=True)
class DiaryFile:
    """What a diary file would bring.

    `new` are aware entries by the tank's clock, in the order of the file's lines; `there` how many
    rows the diary has already, `removed` how many it had once and the keeper took out. `errors`
    are rows that cannot be meant, one each; `findings` what was forgiven or is doubtful.
    """

    new: tuple[Entry, ...]
    there: int
    removed: int
    errors: tuple[Finding, ...]
    findings: tuple[Finding, ...]


def read_file(
    data: bytes,
    name: str,
    timezone: str,
    there: Iterable[Entry],
    removed: Iterable[Entry] = (),
) -> DiaryFile:
    """Return what a file would bring to a diary that has the entries `there`, which are aware.

    A row that is there already, or that was taken out, is no new one: the same file may come in
    twice. Raises InputError where the file is no diary at all.
    """
    text, findings = decode(data, name)
    entries, found = read_diary(text, name)
    findings += found
    known, gone = {key_of(e) for e in there}, {key_of(e) for e in removed}
    aware, found = localised_entries(entries, timezone)
    findings += [finding.in_file(name) for finding in found]
    new, old, out = [], 0, 0
    for entry in aware:
        key = key_of(entry)
        if key in known:
            old += 1
        elif key in gone:
            out += 1
        else:
            known.add(key)
            new.append(entry)
    in_order = sorted(entries, key=lambda entry: entry.time.replace(tzinfo=None))
    findings += [finding.in_file(name) for finding in check_entries(in_order)]
    return DiaryFile(
        tuple(new),
        old,
        out,
        tuple(f for f in findings if f.level == ERROR),
        tuple(dict.fromkeys(f for f in findings if f.level != ERROR)),
    )
