"""The keeper's calendar: its page in the settings, and the file that a link gives."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST, require_safe

from leafgill.tank.clock import zone
from leafgill.web.calendar_file import TanksPlan, calendar_of
from leafgill.web.clock import now as clock_now
from leafgill.web.store import feeds
from leafgill.web.store.tanks import tanks_of
from leafgill.web.views.helping import keeper_of, stamp


@login_required
@require_GET
def page(request: HttpRequest) -> HttpResponse:
    """Tell of the calendar, and whether a link to it works."""
    return _page(request)


def _page(request: HttpRequest, link: str = "") -> HttpResponse:
    keeper = keeper_of(request)
    made = feeds.feed_made(keeper)
    since = "" if made is None else stamp(made.astimezone(zone(keeper.time_zone)))
    return render(request, "web/calendar/calendar.html", {"link": link, "since": since})


@login_required
@require_POST
@never_cache
def make(request: HttpRequest) -> HttpResponse:
    """Make a link, and show it this once; the one before works no more."""
    token = feeds.make_feed(keeper_of(request), clock_now())
    return _page(request, request.build_absolute_uri(reverse("calendar_file", args=[token])))


@login_required
@require_POST
def revoke(request: HttpRequest) -> HttpResponse:
    """Let the link work no more."""
    feeds.revoke_feed(keeper_of(request))
    return redirect("calendar")


@require_safe
def file(request: HttpRequest, token: str) -> HttpResponse:
    """Send the calendar; the link is the right to it, and to nothing else."""
    keeper = feeds.keeper_of_feed(token)
    if keeper is None:
        raise Http404("There is no such calendar.")
    now = clock_now()
    plans = [
        TanksPlan(
            row.public_id,
            row.name,
            request.build_absolute_uri(reverse("today", args=[row.public_id])),
            feeds.plans_of(row, now),
        )
        for row in tanks_of(keeper)
    ]
    response = HttpResponse(calendar_of(plans), content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = 'inline; filename="leafgill.ics"'
    # whoever has the link once can be kept out again only where nothing keeps what it gave
    response["Cache-Control"] = "private, no-store"
    return response


urlpatterns = [
    path("settings/calendar/", page, name="calendar"),
    path("settings/calendar/make/", make, name="calendar_make"),
    path("settings/calendar/revoke/", revoke, name="calendar_revoke"),
    path("calendar/<str:token>.ics", file, name="calendar_file"),
]
