"""The diary: what was seen and done, to look through, to add to, to mend."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.db.models import Q, QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from leafgill.diary import Entry, Kind
from leafgill.diary.localised import localised_entries
from leafgill.tank.clock import zone
from leafgill.web.clock import now as clock_now
from leafgill.web.diary_page import LOOK_BACK, Listed, by_day
from leafgill.web.forms import entry_form
from leafgill.web.forms.entry_form import Typed
from leafgill.web.forms.entry_kinds import GROUPS, LEADS, TITLES
from leafgill.web.forms.habits import Habits
from leafgill.web.importing.diary_file import key_of
from leafgill.web.models import EntryRow, Keeper, Share, TankRow
from leafgill.web.sensors_page import sensor_lines
from leafgill.web.store.access import tank_for
from leafgill.web.store.entries import (
    add_entry,
    edit_entry,
    entry_of,
    remove_entry,
    restore_entry,
)
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.helping import habits_of, keeper_of

PAGE = 60
_TOLD = {
    "added": "Written down.",
    "there": "That is in the diary already.",
    "changed": "Changed.",
    "same": "Nothing was different.",
    "restored": "Back in the diary.",
}


@login_required
@require_GET
def diary(request: HttpRequest, public_id: str) -> HttpResponse:
    """List the diary by day, the newest first, a page at a time."""
    row = tank_for(request, public_id)
    here = zone(spec_of(row).timezone)
    kind, removed = _kind_or_none(request.GET.get("kind", "")), "removed" in request.GET
    found = list(_page_of(row, kind, removed, request.GET.get("before", ""))[: PAGE + 1])
    shown = found[:PAGE]
    me = keeper_of(request)
    shared = Share.objects.filter(tank=row).count() > 1
    listed = [
        Listed(at.pk, entry_of(at, here), _by(at, me) if shared else "", removed) for at in shown
    ]
    older = [] if removed or not shown else [entry_of(at, here) for at in _older(row, shown[-1])]
    context = {
        "tank": row,
        "days": by_day(listed, older, clock_now().astimezone(here), habits_of(request)),
        "kind": kind,
        "kinds": [(k.value, TITLES[k]) for _, kinds in GROUPS for k in kinds],
        "removed": removed,
        "older": shown[-1].pk if len(found) > PAGE else None,
        "first_page": not request.GET.get("before"),
        "told": _TOLD.get(request.GET.get("told", ""), ""),
        "undo": _taken_out(row, request.GET.get("undo", ""), habits_of(request)),
        "sensors": sensor_lines(row, here, clock_now().astimezone(here), habits_of(request)),
    }
    return render(request, "web/diary/diary.html", context)


def _page_of(row: TankRow, kind: Kind | None, removed: bool, before: str) -> QuerySet[EntryRow]:
    rows = EntryRow.objects.filter(tank=row, removed_at__isnull=not removed)
    if kind is not None:
        rows = rows.filter(kind=kind.value)
    last = EntryRow.objects.filter(tank=row, pk=_number(before)).first()
    if last is not None:
        rows = rows.filter(_before(last))
    return rows.select_related("made_by").order_by("-time", "-pk")


def _before(last: EntryRow) -> Q:
    return Q(time__lt=last.time) | Q(time=last.time, pk__lt=last.pk)


def _older(row: TankRow, last: EntryRow) -> QuerySet[EntryRow]:
    rows = EntryRow.objects.filter(_before(last), tank=row, removed_at__isnull=True)
    return rows.order_by("-time", "-pk")[:LOOK_BACK]


def _by(at: EntryRow, me: Keeper) -> str:
    """Return who wrote an entry, "" for whoever looks."""
    return at.made_by.username if at.made_by and at.made_by != me else ""


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 18 else 0


def _kind_or_none(text: str) -> Kind | None:
    try:
        return Kind(text)
    except ValueError:
        return None


def _kind_or_404(text: str) -> Kind:
    kind = _kind_or_none(text)
    if kind is None:
        raise Http404("There is no such kind of entry.")
    return kind


def _taken_out(row: TankRow, number: str, habits: Habits) -> dict[str, Any] | None:
    """Return what was just taken out, to be told and put back."""
    rows = EntryRow.objects.filter(tank=row, pk=_number(number), removed_at__isnull=False)
    at = rows.first()
    if at is None:
        return None
    entry = entry_of(at, zone(spec_of(row).timezone))
    return {"number": at.pk, "title": TITLES[entry.kind], "said": entry_form.said(entry, habits)}


@login_required
@require_GET
def choose_kind(request: HttpRequest, public_id: str) -> HttpResponse:
    """Offer every kind of entry."""
    row = tank_for(request, public_id, write=True)
    groups = [(name, [(kind.value, TITLES[kind]) for kind in kinds]) for name, kinds in GROUPS]
    return render(request, "web/diary/kinds.html", {"tank": row, "groups": groups})


@login_required
@require_http_methods(["GET", "POST"])
def add(request: HttpRequest, public_id: str, kind: str) -> HttpResponse:
    """Show a kind's form, or write down what was sent."""
    row = tank_for(request, public_id, write=True)
    of_kind, habits = _kind_or_404(kind), habits_of(request)
    timezone = spec_of(row).timezone
    if request.method == "GET":
        now = clock_now().astimezone(zone(timezone))
        return _form(request, row, of_kind, entry_form.fresh(of_kind, now, habits), {})
    typed = entry_form.read_typed(of_kind, request.POST)
    read = entry_form.read_entry(of_kind, typed, habits)
    if read.entry is None:
        return _form(request, row, of_kind, typed, read.errors, status=422)
    (entry,), _ = localised_entries([read.entry], timezone)
    if _is_there(row, entry):  # sent twice, or written down before
        return _back(row, "there")
    add_entry(row, entry, keeper_of(request))
    return _back(row, "added")


def _is_there(row: TankRow, entry: Entry, but: int = 0) -> bool:
    same = EntryRow.objects.filter(
        tank=row, removed_at__isnull=True, kind=entry.kind.value, time=entry.time
    ).exclude(pk=but)
    here = entry.time.tzinfo or zone("UTC")
    return any(key_of(entry_of(other, here)) == key_of(entry) for other in same)


@login_required
@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Show an entry's form, or change the entry to what was sent."""
    row = tank_for(request, public_id, write=True)
    at = _entry_or_404(row, number)
    timezone, habits = spec_of(row).timezone, habits_of(request)
    before = entry_of(at, zone(timezone))
    if request.method == "GET":
        shown = entry_form.of_entry(before, habits)
        return _form(request, row, before.kind, shown, {}, number=at.pk)
    typed = entry_form.read_typed(before.kind, request.POST)
    read = entry_form.read_entry(before.kind, typed, habits, before)
    if read.entry is None:
        return _form(request, row, before.kind, typed, read.errors, number=at.pk, status=422)
    (entry,), _ = localised_entries([read.entry], timezone)
    if key_of(entry) == key_of(before):
        return _back(row, "same")
    edit_entry(at, entry, keeper_of(request))
    return _back(row, "changed")


def _entry_or_404(row: TankRow, number: int) -> EntryRow:
    at = EntryRow.objects.filter(tank=row, pk=number, removed_at__isnull=True).first()
    if at is None:
        raise Http404("There is no such entry.")
    return at


@login_required
@require_POST
def remove(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Take an entry out of the diary; it can be put back."""
    row = tank_for(request, public_id, write=True)
    at = EntryRow.objects.filter(tank=row, pk=number).first()
    if at is None:
        raise Http404("There is no such entry.")
    if at.removed_at is None:
        remove_entry(at, keeper_of(request))
    return redirect(f"{_url(row)}?undo={at.pk}")


@login_required
@require_POST
def restore(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Put an entry back that was taken out."""
    row = tank_for(request, public_id, write=True)
    at = EntryRow.objects.filter(tank=row, pk=number).first()
    if at is None:
        raise Http404("There is no such entry.")
    if at.removed_at is not None:
        restore_entry(at, keeper_of(request))
    return _back(row, "restored")


def _url(row: TankRow) -> str:
    return reverse("diary", args=[row.public_id])


def _back(row: TankRow, told: str) -> HttpResponse:
    return redirect(f"{_url(row)}?told={told}")


def _form(
    request: HttpRequest,
    row: TankRow,
    kind: Kind,
    typed: Typed,
    errors: dict[str, str],
    *,
    number: int | None = None,
    status: int = 200,
) -> HttpResponse:
    context = {
        "tank": row,
        "kind": kind.value,
        "title": TITLES[kind],
        "says": LEADS[kind],
        "fields": entry_form.form_fields(kind, typed, habits_of(request), errors),
        "faults": len(errors),
        "number": number,
    }
    return render(request, "web/diary/entry.html", context, status=status)


urlpatterns = [
    path("tank/<slug:public_id>/diary/", diary, name="diary"),
    path("tank/<slug:public_id>/diary/add/", choose_kind, name="diary_kinds"),
    path("tank/<slug:public_id>/diary/add/<slug:kind>/", add, name="diary_add"),
    path("tank/<slug:public_id>/diary/<int:number>/edit/", edit, name="diary_edit"),
    path("tank/<slug:public_id>/diary/<int:number>/remove/", remove, name="diary_remove"),
    path("tank/<slug:public_id>/diary/<int:number>/restore/", restore, name="diary_restore"),
]
