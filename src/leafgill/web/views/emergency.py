"""Emergency: what to do now, how fast it helps, and the few taps that write it down."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.http import require_GET, require_POST

from leafgill.answer import figures
from leafgill.diary import Entry, Kind
from leafgill.diary.kinds import FISH
from leafgill.tank.clock import zone
from leafgill.web import quick
from leafgill.web.clock import now as clock_now
from leafgill.web.emergency_page import SEEN, emergency_of
from leafgill.web.forms.habits import Habits
from leafgill.web.models import EntryRow, TankRow
from leafgill.web.store.access import tank_for
from leafgill.web.store.entries import add_entry, entry_of
from leafgill.web.store.tanks import spec_of, tanks_of
from leafgill.web.views.helping import habits_of, keeper_of
from leafgill.web.working.worker import ask_for, told_now

# Animals that are told of within this are not told of again by a page sent twice [s].
_TWICE_S = 60.0


@require_GET
def anywhere(request: HttpRequest) -> HttpResponse:
    """Show what holds for every tank, to anybody; whoever has tanks finds them here."""
    known = request.user.is_authenticated
    rows = tanks_of(keeper_of(request)) if known else []
    if len(rows) == 1:
        return redirect("emergency", public_id=rows[0].public_id)
    habits = habits_of(request) if known else Habits()
    context = {"page": emergency_of(None, None, habits), "tanks": rows}
    return render(request, "web/emergency/emergency.html", context)


@login_required
@require_GET
def emergency(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show what to do for a tank, with its own figures; nothing is waited for."""
    row = tank_for(request, public_id)
    tank, told, habits = spec_of(row), told_now(row), habits_of(request)
    context = {
        "tank": row,
        "page": emergency_of(tank, told, habits),
        "seen": SEEN,
        "said": _said(request, row, habits),
        "here": f"{told.now:%H:%M}",
        "shut_since": _shut_since(row, told.now),
    }
    return render(request, "web/emergency/emergency.html", context)


def _shut_since(row: TankRow, now: datetime) -> str:
    """Return since when the diary has the valve shut, "" where it has it open.

    Bubbles that were counted since tell that it was opened, or that it never closed.
    """
    rate = EntryRow.objects.filter(
        tank=row, kind=Kind.BUBBLE_RATE.value, removed_at__isnull=True, time__lte=now
    )
    newest = rate.order_by("-time", "-pk").first()
    here = now.tzinfo
    assert here is not None, "the tank's clock has a zone"
    if newest is None or entry_of(newest, here).number > 0.0:
        return ""
    counts = EntryRow.objects.filter(
        tank=row, kind=Kind.BUBBLE_COUNT.value, removed_at__isnull=True,
        time__gt=newest.time, time__lte=now,
    )  # fmt: skip
    if any(entry_of(at, here).number > 0.0 for at in counts):
        return ""
    return figures.moment(newest.time, now)


def _said(request: HttpRequest, row: TankRow, habits: Habits) -> list[dict[str, Any]]:
    numbers = [int(n) for n in request.GET.getlist("wrote")[:5] if n.isascii() and n.isdigit()]
    here = zone(spec_of(row).timezone)
    rows = EntryRow.objects.filter(
        tank=row, pk__in=[n for n in numbers if n < 2**62], removed_at__isnull=True
    )
    return [
        {"number": at.pk, "words": quick.told(entry_of(at, here), habits)}
        for at in rows.order_by("pk")
    ]


@login_required
@require_POST
def seen(request: HttpRequest, public_id: str) -> HttpResponse:
    """Write down how the animals are, or that the gas is shut."""
    row = tank_for(request, public_id, write=True)
    fish, shut = request.POST.get("fish", ""), "shut" in request.POST
    if fish not in FISH and not shut:
        raise Http404("Nothing was seen.")
    now = clock_now().astimezone(zone(spec_of(row).timezone))
    entries = []
    if fish in FISH:
        entries.append(Entry(now, Kind.FISH, fish))
    if shut:
        entries.append(Entry(now, Kind.BUBBLE_RATE, "0", "per s", "shut in an emergency"))
    with transaction.atomic():
        TankRow.objects.select_for_update().get(pk=row.pk)
        numbers = [_once(row, entry, request).pk for entry in entries]
    ask_for(row)
    query = "&".join(f"wrote={number}" for number in numbers)
    return redirect(f"{reverse('emergency', args=[row.public_id])}?{query}#told")


def _once(row: TankRow, entry: Entry, request: HttpRequest) -> EntryRow:
    """Return the row of an entry; what was written just now is not written again."""
    newest = (
        EntryRow.objects.filter(tank=row, kind=entry.kind.value, removed_at__isnull=True)
        .order_by("-time", "-pk")
        .first()
    )
    here = entry.time.tzinfo
    assert here is not None, "it has the tank's clock"
    if newest is not None and entry_of(newest, here).value == entry.value:
        since_s = (entry.time - newest.time).total_seconds()
        if 0.0 <= since_s < _TWICE_S:
            return newest
    return add_entry(row, entry, keeper_of(request))


urlpatterns = [
    path("emergency/", anywhere, name="emergency_any"),
    path("tank/<slug:public_id>/emergency/", emergency, name="emergency"),
    path("tank/<slug:public_id>/emergency/seen/", seen, name="emergency_seen"),
]
