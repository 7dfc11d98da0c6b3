"""Today: where a tank stands, what to do next, quick entry; and the list of tanks."""

from __future__ import annotations

import secrets
from datetime import datetime
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.http import require_GET, require_POST

from leafgill.diary import Kind
from leafgill.tank.clock import zone
from leafgill.web import charts, quick, replies
from leafgill.web.alerts.page import part_of as alerts_part
from leafgill.web.clock import now as clock_now
from leafgill.web.clock import stands
from leafgill.web.forms import entry_form
from leafgill.web.forms.habits import Habits
from leafgill.web.models import AnswerRow, EntryRow, TankRow
from leafgill.web.store.access import tank_for
from leafgill.web.store.entries import entry_of
from leafgill.web.store.tanks import spec_of, tanks_of
from leafgill.web.tank_list import lines_of
from leafgill.web.today_page import ahead_of, step_of, where_of
from leafgill.web.views.charts import day_mark, night_mark, picture_told
from leafgill.web.views.helping import habits_of, keeper_of
from leafgill.web.working.reading import Told
from leafgill.web.working.worker import fresh

# How long a form waits for what it changed; a page does not wait, it looks again by itself.
WAIT_S = 1.5
_REPLIES = {"done": replies.DONE, "not-now": replies.NOT_NOW, "fish": replies.FISH}
_REFUSED = {
    "old": "That step is of more than two hours ago. Nothing was written; look at the step now.",
    "done": "That step was followed already. Nothing was written again.",
    "unknown": "That step is not one of this tank's. Nothing was written.",
}


@login_required
@require_GET
def tanks(request: HttpRequest) -> HttpResponse:
    """List the keeper's tanks; where there is one alone and no list was asked for, show it."""
    rows = tanks_of(keeper_of(request))
    if len(rows) == 1 and "all" not in request.GET and not request.htmx:  # type: ignore[attr-defined]
        return redirect("today", public_id=rows[0].public_id)
    lines = lines_of(rows, habits_of(request))
    context = {"lines": lines, "working": any(line.state == "working" for line in lines)}
    part = bool(request.htmx)  # type: ignore[attr-defined]
    return render(request, "web/tanks/lines.html" if part else "web/tanks/tanks.html", context)


@login_required
@require_GET
def today(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show a tank's day."""
    row = tank_for(request, public_id)
    return _page(request, row, fresh(row, 0.0), said=_said(request, row))


@login_required
@require_GET
def parts(request: HttpRequest, public_id: str) -> HttpResponse:
    """Return the parts of today's page that grow old, to be put in the place of what is there."""
    row = tank_for(request, public_id)
    told = fresh(row, 0.0)
    return render(request, "web/today/parts.html", _context(request, row, told) | {"polled": True})


@login_required
@require_POST
def reply(request: HttpRequest, public_id: str) -> HttpResponse:
    """Note what the keeper replies to a step; a followed one goes into the diary."""
    row = tank_for(request, public_id, write=True)
    said = _REPLIES.get(request.POST.get("reply", ""))
    if said is None:
        raise Http404("There is no such reply.")
    now = clock_now()
    step = replies.unsealed(row, request.POST.get("step", ""))
    if step is None:
        return _answered(request, row, refused="unknown")
    if said == replies.DONE and replies.too_old(step, now):
        return _answered(request, row, refused="old")
    here = now.astimezone(zone(spec_of(row).timezone))
    written = replies.reply_to(row, step, said, keeper_of(request), here)
    if said == replies.FISH:
        return _to_emergency(request, row)
    if written is None:
        return _answered(request, row, refused="done")
    return _answered(request, row, wrote=[at.pk for at in written], noted=said)


def _to_emergency(request: HttpRequest, row: TankRow) -> HttpResponse:
    url = reverse("emergency", args=[row.public_id])
    if not request.htmx:  # type: ignore[attr-defined]
        return redirect(url)
    response = HttpResponse(status=204)
    response["HX-Redirect"] = url
    return response


@login_required
@require_POST
def quick_entry(request: HttpRequest, public_id: str, kind: str) -> HttpResponse:
    """Write down a reading taken just now."""
    row = tank_for(request, public_id, write=True)
    of_kind = next((k for k in quick.TILE_OF if k.value == kind), None)
    if of_kind is None:
        raise Http404("This is not entered here.")
    habits, timezone = habits_of(request), spec_of(row).timezone
    now = clock_now().astimezone(zone(timezone))
    typed = entry_form.fresh(of_kind, now, habits) | {
        name: text
        for name, text in entry_form.read_typed(of_kind, request.POST).items()
        if name in request.POST and name != "time"
    }
    # with its offset: the hour that comes twice is told apart
    typed["time"] = now.isoformat(timespec="minutes")
    came = quick.write_down(row, of_kind, typed, habits, keeper_of(request), timezone)
    if came.row is None:
        return _refused(request, row, of_kind, typed, came.errors or {}, now, habits)
    return _answered(request, row, wrote=[came.row.pk], there=came.there)


def _refused(
    request: HttpRequest,
    row: TankRow,
    kind: Kind,
    typed: entry_form.Typed,
    errors: dict[str, str],
    now: datetime,
    habits: Habits,
) -> HttpResponse:
    """Show the tile again as it was typed, with what is wrong."""
    tiles = quick.tiles_shown(row, now, habits, {kind: typed}, {kind: errors})
    if not request.htmx:  # type: ignore[attr-defined]
        return _page(request, row, fresh(row, 0.0), tiles=tiles, status=422)
    context = {"tank": row, **_quick(row, now, habits, tiles)}
    response = render(request, "web/today/quick.html", context, status=422)
    response["HX-Retarget"], response["HX-Reswap"] = "#quick", "outerHTML"
    return response


def _answered(
    request: HttpRequest,
    row: TankRow,
    *,
    wrote: list[int] | None = None,
    there: bool = False,
    noted: str = "",
    refused: str = "",
) -> HttpResponse:
    """Answer a form: the parts anew where the page asked for parts, else the page again."""
    if not request.htmx:  # type: ignore[attr-defined]
        query = "&".join(
            [
                *(f"wrote={number}" for number in wrote or []),
                *(["there=1"] if there else []),
                *([f"noted={noted.replace(' ', '-')}"] if noted else []),
                *([f"refused={refused}"] if refused else []),
            ]
        )
        return redirect(f"{reverse('today', args=[row.public_id])}?{query}")
    told = fresh(row, WAIT_S)
    habits = habits_of(request)
    said = said_of(row, told.now, habits, wrote or [], there=there, noted=noted, refused=refused)
    context = _context(request, row, told) | _quick(row, told.now, habits) | {"said": said}
    return render(request, "web/today/parts.html", context)


def _said(request: HttpRequest, row: TankRow) -> dict[str, Any] | None:
    """Return what is told after a form was sent without a script, out of the address."""
    given = request.GET
    if not any(name in given for name in ("wrote", "noted", "refused")):
        return None
    now = clock_now().astimezone(zone(spec_of(row).timezone))
    numbers = [int(n) for n in given.getlist("wrote")[:5] if n.isascii() and n.isdigit()]
    return said_of(
        row,
        now,
        habits_of(request),
        [n for n in numbers if n < 2**62],
        there="there" in given,
        noted=given.get("noted", "").replace("-", " "),
        refused=given.get("refused", ""),
    )


def said_of(
    row: TankRow,
    now: datetime,
    habits: Habits,
    wrote: list[int],
    *,
    there: bool = False,
    noted: str = "",
    refused: str = "",
) -> dict[str, Any] | None:
    """Return what a form did, as the page tells it: words, and the entries that can be undone."""
    if refused:
        return {"wrong": True, "words": _REFUSED.get(refused, ""), "entries": []}
    here = now.tzinfo
    assert here is not None, "the tank's clock has a zone"
    rows = EntryRow.objects.filter(tank=row, pk__in=wrote, removed_at__isnull=True).order_by("pk")
    entries = [{"number": at.pk, "words": quick.told(entry_of(at, here), habits)} for at in rows]
    words = ""
    if entries:
        words = "That is in the diary already" if there else "Written down"
    elif noted == replies.NOT_NOW:
        words = "Noted: not now. The step stays here."
    elif noted == replies.DONE:
        words = "Noted. Nothing had to be written down."
    return {"wrong": False, "words": words, "entries": entries} if words else None


def _page(
    request: HttpRequest,
    row: TankRow,
    told: Told,
    *,
    tiles: list[quick.Shown] | None = None,
    said: dict[str, Any] | None = None,
    status: int = 200,
) -> HttpResponse:
    entry = _quick(row, told.now, habits_of(request), tiles)
    context = _context(request, row, told) | entry | {"said": said}
    return render(request, "web/today/today.html", context, status=status)


def _quick(
    row: TankRow, now: datetime, habits: Habits, tiles: list[quick.Shown] | None = None
) -> dict[str, Any]:
    """Return what quick entry needs.

    Its tiles open one at a time; a new set must not be closed by the old one, which a browser
    still has while it puts the new one in its place.
    """
    return {
        "tiles": tiles or quick.tiles_shown(row, now, habits),
        "tap": quick.tap_errors(),
        "group": secrets.token_hex(4),
    }


def _context(request: HttpRequest, row: TankRow, told: Told) -> dict[str, Any]:
    habits = habits_of(request)
    step, ahead = step_of(told, habits), ahead_of(told, habits)
    before = None
    if told.payload:
        before = replies.last_reply(row, told.payload["said"]["what_to_do"], told.now)
    return {
        "tank": row,
        "made_at": told.now.isoformat(timespec="seconds"),
        "standing": stands(),
        "date": f"{told.now:%A} {told.now.day} {told.now:%B}, {told.now:%H:%M}",
        "where": where_of(told, habits),
        "step": step,
        "sealed": replies.sealed(row, told.payload) if told.payload else "",
        "replied": _replied(before, told.now),
        "ahead": ahead,
        "pictures": _pictures(row, told, ahead),
        "working": told.state == "working",
        **alerts_part(row, told.now, habits),
        "back": "today",
    }


def _replied(before: Any, now: datetime) -> str:
    if before is None or before.replied_at is None:
        return ""
    at = before.replied_at.astimezone(now.tzinfo)
    said = {"not now": "You said not now", "done": "You said done", "fish": "You looked for help"}
    return f"{said.get(before.reply, 'You replied')} at {at:%H:%M}."


def _pictures(row: TankRow, told: Told, ahead: Any) -> dict[str, charts.Picture]:
    answer = AnswerRow.objects.filter(tank=row).first()
    if answer is None or ahead is None:
        return {}
    marks = {"day": day_mark(row, answer, told.now), "night": night_mark(row, answer)}
    words = {"day": ahead.day_words, "night": ahead.night_words}
    return {what: picture_told(row, what, mark, words[what]) for what, mark in marks.items()}


urlpatterns = [
    path("", tanks, name="tanks"),
    path("tank/<slug:public_id>/", today, name="today"),
    path("tank/<slug:public_id>/now/", parts, name="today_parts"),
    path("tank/<slug:public_id>/step/", reply, name="step_reply"),
    path("tank/<slug:public_id>/quick/<slug:kind>/", quick_entry, name="quick_entry"),
]
