"""What a backup holds, in words."""

from __future__ import annotations

from leafgill.web.keeping.backup_format import Manifest

_TOLD = (
    ("web_keeper", "keeper", "keepers"),
    ("web_tankrow", "tank", "tanks"),
    ("web_entryrow", "entry", "entries"),
    ("web_readingrow", "reading", "readings"),
)


def size(count: int) -> str:
    """Return bytes as people say them: "640 kB", "1.2 MB", "23 GB"."""
    for unit, of in (("GB", 1e9), ("MB", 1e6)):
        if count >= 0.9995 * of:
            value = count / of
            return f"{value:.1f} {unit}" if value < 9.95 else f"{value:.0f} {unit}"
    return f"{count / 1e3:.0f} kB"


def contents(manifest: Manifest) -> str:
    """Return what of a keeper's is in it: "1 keeper, 2 tanks, 310 entries, 41208 readings"."""
    rows = {table.name: table.rows for table in manifest.tables}
    counts = ((rows.get(name, 0), one, many) for name, one, many in _TOLD)
    return ", ".join(f"{count} {one if count == 1 else many}" for count, one, many in counts)
