"""A tank's alerts: what is not well, what was, and whether somebody has seen it."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_POST

from leafgill.errors import InputError
from leafgill.tank.clock import zone
from leafgill.web.alert_models import AlertRow, PublishRow
from leafgill.web.alerts import book
from leafgill.web.alerts.page import part_of, shown
from leafgill.web.clock import now as clock_now
from leafgill.web.models import TankRow
from leafgill.web.store.access import tank_for
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.helping import habits_of, keeper_of, owned_tank, owns

# Where a form leads back to.
_BACK = ("today", "alerts")


@login_required
@require_GET
def alerts(request: HttpRequest, public_id: str) -> HttpResponse:
    """List what is not well, and what was."""
    return _page(request, tank_for(request, public_id))


def _page(request: HttpRequest, row: TankRow, wrong: str = "", status: int = 200) -> HttpResponse:
    now = clock_now().astimezone(zone(spec_of(row).timezone))
    habits = habits_of(request)
    context: dict[str, Any] = {
        "tank": row,
        **part_of(row, now, habits),
        "past": [shown(at, now, habits) for at in book.past_alerts(row)],
        "wrong": [wrong] if wrong else [],
        "owner": owns(row, request),
        "published": PublishRow.objects.filter(tank=row).exists(),
        "back": "alerts",
    }
    return render(request, "web/alerts/alerts.html", context, status=status)


@login_required
@require_GET
def part(request: HttpRequest, public_id: str) -> HttpResponse:
    """Return today's part about alerts; nothing where it says what the page that asks has."""
    row = tank_for(request, public_id)
    now = clock_now().astimezone(zone(spec_of(row).timezone))
    told = part_of(row, now, habits_of(request))
    if request.GET.get("mark") == told["mark"]:
        return HttpResponse(status=204)
    return render(request, "web/alerts/part.html", {"tank": row, "back": "today", **told})


def _alert(request: HttpRequest, public_id: str, number: int) -> tuple[TankRow, AlertRow]:
    row = tank_for(request, public_id, write=True)
    return row, get_object_or_404(AlertRow, tank=row, pk=number)


def _back(request: HttpRequest, row: TankRow) -> HttpResponse:
    name = request.POST.get("back", "")
    return redirect(name if name in _BACK else "alerts", public_id=row.public_id)


@login_required
@require_POST
def seen(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Note that somebody has seen an alert, so that it is told no more."""
    row, at = _alert(request, public_id, number)
    book.acknowledge(at, keeper_of(request), clock_now())
    return _back(request, row)


@login_required
@require_POST
def snooze(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Put an alert off for some hours."""
    row, at = _alert(request, public_id, number)
    told = request.POST.get("hours", "")
    try:
        book.snooze(at, int(told) if told.isascii() and told.isdigit() else 0, clock_now())
    except InputError as wrong:
        return _page(request, row, str(wrong), status=422)
    return _back(request, row)


@login_required
@require_POST
def publish(request: HttpRequest, public_id: str) -> HttpResponse:
    """Let a tank be published to the broker, or not any more."""
    row = owned_tank(request, public_id)
    wanted = request.POST.get("publish")
    if wanted == "yes":
        PublishRow.objects.get_or_create(tank=row, defaults={"made_at": clock_now()})
    elif wanted == "no":
        PublishRow.objects.filter(tank=row).delete()
    else:
        raise Http404("There is nothing of that kind to do.")
    return redirect("alerts", public_id=row.public_id)


urlpatterns = [
    path("tank/<slug:public_id>/alerts/", alerts, name="alerts"),
    path("tank/<slug:public_id>/alerts/now/", part, name="alerts_part"),
    path("tank/<slug:public_id>/alerts/<int:number>/seen/", seen, name="alert_seen"),
    path("tank/<slug:public_id>/alerts/<int:number>/snooze/", snooze, name="alert_snooze"),
    path("tank/<slug:public_id>/alerts/publish/", publish, name="alerts_publish"),
]
