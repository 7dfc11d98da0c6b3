"""The rig: gas a day, sizes, parts, what is left; and how it is put together and proved tight."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import path
from django.views.decorators.http import require_GET

from leafgill.advise.commission import commission
from leafgill.web.equipment import commission_part
from leafgill.web.forms.hold_form import hold_fields, read_hold, sides_of, typed_of
from leafgill.web.forms.parts import BY_SLUG
from leafgill.web.forms.tank_shown import held, part_rows
from leafgill.web.store.access import tank_for
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.helping import habits_of
from leafgill.web.working import worker
from leafgill.web.working.answers import EXTRAS_VERSION

# The parts of the description that the rig is sized by.
_ABOUT = ("gas", "cylinder", "line", "place", "prices")


@login_required
@require_GET
def rig(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show the rig that was worked out of the tank, and what it was worked out from."""
    row = tank_for(request, public_id)
    tank, habits = spec_of(row), habits_of(request)
    sections = held(tank)
    told = worker.fresh(row, 0.0)
    row.refresh_from_db(fields=["version"])
    worked_out = told.payload.get(EXTRAS_VERSION)
    checklist = commission_part(commission(tank))
    context = {
        "tank": row,
        "rig": told.payload.get("rig"),
        "supply": told.payload.get("supply"),
        "older": worked_out is not None and worked_out != row.version,
        "words": told.words,
        "about": [
            {"part": BY_SLUG[slug], "rows": part_rows(BY_SLUG[slug], sections, habits)}
            for slug in _ABOUT
        ],
        "cautions": checklist["cautions"],
    }
    return render(request, "web/rig/rig.html", context)


@login_required
@require_GET
def checklist(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show what to do when the gas is put together; with two readings also what a hold says."""
    row = tank_for(request, public_id)
    tank, habits = spec_of(row), habits_of(request)
    typed, errors = typed_of(request.GET), {}
    hold = None
    if any(typed.values()):
        read = read_hold(typed, tank.rig, habits)
        hold, errors = read.hold, read.errors
    context = {
        "tank": row,
        "check": commission_part(commission(tank, hold=hold)),
        "fields": hold_fields(tank.rig, typed, errors, habits) if sides_of(tank.rig) else [],
        "faults": len(errors),
    }
    status = 422 if errors else 200
    return render(request, "web/rig/checklist.html", context, status=status)


urlpatterns = [
    path("tank/<slug:public_id>/rig/", rig, name="rig"),
    path("tank/<slug:public_id>/rig/together/", checklist, name="rig_checklist"),
]
