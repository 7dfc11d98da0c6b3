"""Quick entry: the readings a keeper takes at the tank, each one form of one or two inputs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo

from leafgill.answer import figures
from leafgill.diary import Entry, Kind
from leafgill.diary.localised import localised_entries
from leafgill.estimate.flow import BLUR_FROM_PER_S, BLUR_SD, COUNT_SD, END_ERROR_BUBBLES
from leafgill.web.forms import entry_form
from leafgill.web.forms.entry_kinds import TITLES
from leafgill.web.forms.field import FormField
from leafgill.web.forms.habits import Habits
from leafgill.web.importing.diary_file import key_of
from leafgill.web.models import EntryRow, Keeper, TankRow
from leafgill.web.store.entries import add_entry, entry_of


@dataclass(frozen=True, slots=True)
class Tile:
    """One thing to enter quickly: its words, and the kinds of entry it can become.

    `widget` is "number" (inputs and a button a kind), "colours" or "words" (a button a value), or
    "tap" (bubbles).
    """

    slug: str
    title: str
    widget: str
    kinds: tuple[Kind, ...]


TILES: tuple[Tile, ...] = (
    Tile("ph", "pH", "number", (Kind.PH_PROBE, Kind.PH)),
    Tile("drop-checker", "Drop checker", "colours", (Kind.DROP_CHECKER,)),
    Tile("bubbles", "Bubbles", "tap", (Kind.BUBBLE_COUNT,)),
    Tile("fish", "Fish", "words", (Kind.FISH,)),
    Tile("kh", "KH", "number", (Kind.KH,)),
    Tile("weight", "Cylinder", "number", (Kind.CYLINDER_MASS,)),
)
TILE_OF: dict[Kind, Tile] = {kind: tile for tile in TILES for kind in tile.kinds}
# What a button that sends says, where a tile can become more than one kind.
_BUTTONS = {Kind.PH_PROBE: "Read off an electrode", Kind.PH: "Hand test"}


@dataclass(frozen=True, slots=True)
class Shown:
    """A tile as the page shows it: its fields and buttons (kind, words), and what was last read."""

    tile: Tile
    fields: tuple[FormField, ...]
    buttons: tuple[tuple[str, str], ...]
    last: str = ""
    last_at: str = ""
    open: bool = False


def tiles_shown(
    row: TankRow,
    now: datetime,
    habits: Habits,
    typed: Mapping[Kind, entry_form.Typed] | None = None,
    errors: Mapping[Kind, dict[str, str]] | None = None,
) -> list[Shown]:
    """Return the tiles; `now` is aware, by the tank's clock. A refused one is open."""
    typed, errors = typed or {}, errors or {}
    here = now.tzinfo
    assert here is not None, "the tank's clock has a zone"
    found = []
    for tile in TILES:
        newest = _newest(row, tile.kinds, here)
        kinds = _likely_first(tile, newest)
        refused = next((kind for kind in kinds if kind in errors), None)
        kind = refused or kinds[0]
        values = typed.get(kind) or entry_form.fresh(kind, now, habits)
        fields = entry_form.form_fields(kind, values, habits, errors.get(kind, {}))
        shown = [
            replace(field, apart=tile.slug) for field in fields if field.name in _ASKED[tile.widget]
        ]
        found.append(
            Shown(
                tile=tile,
                fields=tuple(shown),
                buttons=tuple((k.value, _BUTTONS.get(k, "Write it down")) for k in kinds),
                last="" if newest is None else _short(newest, habits),
                last_at="" if newest is None else figures.moment(newest.time, now),
                open=refused is not None,
            )
        )
    return found


_ASKED = {
    "number": ("value", "unit"),
    "colours": ("value",),
    "words": ("value",),
    "tap": ("value", "seconds"),
}


def _newest(row: TankRow, kinds: tuple[Kind, ...], here: tzinfo) -> Entry | None:
    rows = EntryRow.objects.filter(
        tank=row, kind__in=[kind.value for kind in kinds], removed_at__isnull=True
    )
    found = rows.order_by("-time", "-pk").first()
    return None if found is None else entry_of(found, here)


def _short(entry: Entry, habits: Habits) -> str:
    """Return an entry's value as a tile has room for."""
    if entry.kind is Kind.BUBBLE_COUNT:
        return f"{habits.words(round(entry.number, 2))} per s"
    return entry_form.said(entry, habits)


def _likely_first(tile: Tile, newest: Entry | None) -> tuple[Kind, ...]:
    """Return the tile's kinds, that of the newest reading in front."""
    if newest is None:
        return tile.kinds
    return (newest.kind, *(kind for kind in tile.kinds if kind is not newest.kind))


@dataclass(frozen=True, slots=True)
class Written:
    """What came of a quick entry: its row, and whether it was there already; or what is wrong."""

    row: EntryRow | None = None
    there: bool = False
    errors: dict[str, str] | None = None


def write_down(
    row: TankRow,
    kind: Kind,
    typed: entry_form.Typed,
    habits: Habits,
    keeper: Keeper,
    timezone: str,
) -> Written:
    """Write down what was typed, once: the same thing of the same minute is not written again."""
    read = entry_form.read_entry(kind, typed, habits)
    if read.entry is None:
        return Written(errors=read.errors)
    (entry,), _ = localised_entries([read.entry], timezone)
    there = _there(row, entry)
    if there is not None:
        return Written(there, there=True)
    return Written(add_entry(row, entry, keeper))


def _there(row: TankRow, entry: Entry) -> EntryRow | None:
    here = entry.time.tzinfo
    assert here is not None, "it was localised"
    rows = EntryRow.objects.filter(
        tank=row, kind=entry.kind.value, time=entry.time, removed_at__isnull=True
    )
    return next((at for at in rows if key_of(entry_of(at, here)) == key_of(entry)), None)


def told(entry: Entry, habits: Habits) -> str:
    """Return an entry in one line: "pH, electrode 6.66"."""
    return f"{TITLES[entry.kind]} {entry_form.said(entry, habits)}"


def tap_errors() -> dict[str, float]:
    """Return what the tap counter takes for the error of a count, as the belief does.

    See `estimate.flow.count_sd`.
    """
    return {
        "end": END_ERROR_BUBBLES,
        "eye": COUNT_SD,
        "blur": BLUR_SD,
        "blur_from": BLUR_FROM_PER_S,
    }
