"""A tank's description: what is known, its parts to change, its history."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from leafgill.tank.clock import zone
from leafgill.web.clock import now as clock_now
from leafgill.web.forms.habits import Habits
from leafgill.web.forms.parts import BY_SLUG, PARTS, Part
from leafgill.web.forms.tank_form import (
    Checked,
    check,
    form_fields,
    read_typed,
    tank_of,
    with_part,
)
from leafgill.web.forms.tank_shown import (
    Typed,
    held,
    part_rows,
    shown_values,
)
from leafgill.web.forms.tank_words import in_page_words, label, place_of
from leafgill.web.importing.tank_file import differences
from leafgill.web.models import SpecRow, TankRow
from leafgill.web.store import away
from leafgill.web.store.access import tank_for
from leafgill.web.store.tanks import change_spec, spec_of, tank_of_text
from leafgill.web.views.helping import habits_of, keeper_of, owned_tank, owns, stamp

# A page shows so many changes of the description.
MOST_CHANGES = 50


@login_required
@require_GET
def about(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show the description in force, part by part, and how it has changed."""
    row = tank_for(request, public_id)
    habits, tank = habits_of(request), spec_of(row)
    sections = held(tank)
    context = {
        "tank": row,
        "parts": [{"part": part, "rows": part_rows(part, sections, habits)} for part in PARTS],
        "doubts": [_doubt(text, habits) for text in tank.findings],
        "changes": _changes(row, habits),
        "owner": owns(row, request),
    }
    return render(request, "web/about/about.html", context)


def _doubt(text: str, habits: Habits) -> str:
    key, message = place_of(text)
    return f"{label(key)}: {in_page_words(message, key, habits)}" if key else message


def _changes(row: TankRow, habits: Habits) -> list[dict[str, Any]]:
    """Return what each change of the description changed, the newest first."""
    rows = list(SpecRow.objects.filter(tank=row).order_by("-valid_from", "-pk")[: MOST_CHANGES + 1])
    here = zone(spec_of(row).timezone)
    specs = [tank_of_text(at.toml) for at in rows]
    return [
        {"at": stamp(at.valid_from.astimezone(here)), "what": differences(old, new, habits)}
        for at, new, old in zip(rows, specs, specs[1:], strict=False)
    ]


@login_required
@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, public_id: str, slug: str) -> HttpResponse:
    """Show a part of the description, or change it; what held until now is kept as history."""
    row = tank_for(request, public_id, write=True)
    part = BY_SLUG.get(slug)
    if part is None:
        raise Http404("There is no such part.")
    habits, tank = habits_of(request), spec_of(row)
    current = held(tank)
    if request.method == "GET":
        shown = shown_values(current, habits)
        return _page(request, row, part, shown, check(part, shown, habits, current))
    typed = read_typed(part, request.POST)
    checked = check(part, typed, habits, current)
    if not checked.fine:
        return _page(request, row, part, typed, checked, status=422)
    new, _, wrong = tank_of(with_part(current, part, checked.sections), habits)
    if new is None:
        checked.general += wrong
        return _page(request, row, part, typed, checked, status=422)
    if held(new) != current:
        change_spec(row, new, keeper_of(request))
    return redirect("about", public_id=public_id)


def _page(
    request: HttpRequest,
    row: TankRow,
    part: Part,
    typed: Typed,
    checked: Checked,
    status: int = 200,
) -> HttpResponse:
    context = {
        "tank": row,
        "part": part,
        "fields": form_fields(part, typed, habits_of(request), checked),
        "wrong": checked.general,
        "faults": len(checked.errors),
    }
    return render(request, "web/about/part.html", context, status=status)


@login_required
@require_POST
def put_away(request: HttpRequest, public_id: str) -> HttpResponse:
    """Take a tank out of the lists; nothing of it is lost."""
    away.put_away(owned_tank(request, public_id), clock_now())
    return redirect("about", public_id=public_id)


@login_required
@require_POST
def bring_back(request: HttpRequest, public_id: str) -> HttpResponse:
    """Put a tank back into the lists."""
    away.bring_back(owned_tank(request, public_id))
    return redirect("about", public_id=public_id)


urlpatterns = [
    path("tank/<slug:public_id>/about/away/", put_away, name="tank_away"),
    path("tank/<slug:public_id>/about/back/", bring_back, name="tank_back"),
    path("tank/<slug:public_id>/about/", about, name="about"),
    path("tank/<slug:public_id>/about/<slug:slug>/", change, name="about_part"),
]
