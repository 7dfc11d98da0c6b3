"""Balance: what holds growth back, a week's doses, the nutrients through the weeks, and light."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.http import require_GET, require_POST

from leafgill.diary import Kind
from leafgill.tank.clock import zone
from leafgill.web import quick
from leafgill.web.balance_page import cautions
from leafgill.web.clock import now as clock_now
from leafgill.web.forms import balance_form, entry_form
from leafgill.web.forms.parts import BY_SLUG
from leafgill.web.forms.tank_shown import held, part_rows
from leafgill.web.models import AnswerRow, EntryRow, TankRow
from leafgill.web.store.access import tank_for
from leafgill.web.store.entries import entry_of
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.charts import picture_told, weeks_mark
from leafgill.web.views.helping import habits_of, keeper_of
from leafgill.web.working import worker
from leafgill.web.working.answers import EXTRAS_VERSION

# The parts of the description that the balance rests on.
_ABOUT = ("lamp", "tap", "fertiliser")
# Where what is to be done first is done: a part of the description, or a kind of entry.
_PART_FOR = {"lamp": "lamp", "hours": "day", "fertiliser": "fertiliser", "tap": "tap",
             "food": "fertiliser"}  # fmt: skip


@login_required
@require_GET
def balance(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show the balance that was worked out, and the two forms."""
    return _page(request, tank_for(request, public_id))


@login_required
@require_POST
def write(request: HttpRequest, public_id: str, kind: str) -> HttpResponse:
    """Write down a test or a dose of just now."""
    row = tank_for(request, public_id, write=True)
    of_kind = next((k for k in balance_form.KINDS if k.value == kind), None)
    if of_kind is None:
        raise Http404("This is not entered here.")
    habits, now = habits_of(request), _now(row)
    typed = entry_form.read_typed(of_kind, request.POST)
    wrong = balance_form.missing(of_kind, typed)
    # with its offset: the hour that comes twice is told apart
    typed["time"] = now.isoformat(timespec="minutes")
    if not wrong:
        came = quick.write_down(
            row, of_kind, typed, habits, keeper_of(request), spec_of(row).timezone
        )
        if came.row is not None:
            url = reverse("balance", args=[public_id])
            return redirect(f"{url}?wrote={came.row.pk}#write")
        wrong = came.errors or {}
    return _page(request, row, {of_kind: typed}, {of_kind: wrong}, status=422)


def _now(row: TankRow) -> datetime:
    return clock_now().astimezone(zone(spec_of(row).timezone))


def _page(
    request: HttpRequest,
    row: TankRow,
    typed: Mapping[Kind, entry_form.Typed] | None = None,
    errors: Mapping[Kind, dict[str, str]] | None = None,
    status: int = 200,
) -> HttpResponse:
    typed, errors = typed or {}, errors or {}
    tank, habits, now = spec_of(row), habits_of(request), _now(row)
    sections = held(tank)
    told = worker.fresh(row, 0.0)
    row.refresh_from_db(fields=["version"])
    worked_out = told.payload.get(EXTRAS_VERSION)
    part = told.payload.get("balance")
    forms = {
        kind.value: balance_form.fields_of(
            kind, typed.get(kind, {}), errors.get(kind, {}), habits, now, tank.salts
        )
        for kind in balance_form.KINDS
    }
    context = {
        "tank": row,
        "balance": part,
        "first": [_linked(step, row) for step in part["first"]] if part else [],
        "picture": _picture(row, part),
        "older": worked_out is not None and worked_out != row.version,
        "words": told.words,
        "forms": forms,
        "faults": {kind.value: len(wrong) for kind, wrong in errors.items()},
        "wrote": _wrote(request, row),
        "about": [
            {"part": BY_SLUG[slug], "rows": part_rows(BY_SLUG[slug], sections, habits)}
            for slug in _ABOUT
        ],
        "cautions": cautions(),
    }
    return render(request, "web/balance/balance.html", context, status=status)


def _linked(step: Mapping[str, str], row: TankRow) -> dict[str, str]:
    """Return something to do first, with where it is done."""
    slug = _PART_FOR.get(step["about"])
    if slug is None:
        return {"words": step["words"], "url": "#write", "do": "Write a test down"}
    url = reverse("about_part", args=[row.public_id, slug])
    return {"words": step["words"], "url": url, "do": BY_SLUG[slug].title}


def _picture(row: TankRow, part: Mapping[str, Any] | None) -> Any:
    answer = AnswerRow.objects.filter(tank=row).first()
    if answer is None or not part:
        return None
    return picture_told(row, "weeks", weeks_mark(row, answer), part["picture_words"])


def _wrote(request: HttpRequest, row: TankRow) -> dict[str, Any] | None:
    """Return what was just written down, to be told and changed."""
    number = request.GET.get("wrote", "")
    if not (number.isascii() and number.isdigit() and len(number) < 18):
        return None
    at = EntryRow.objects.filter(tank=row, pk=int(number), removed_at__isnull=True).first()
    if at is None:
        return None
    entry = entry_of(at, zone(spec_of(row).timezone))
    said = quick.told(entry, habits_of(request))
    return {"said": f"{said} {entry.note}".strip(), "number": at.pk}


urlpatterns = [
    path("tank/<slug:public_id>/balance/", balance, name="balance"),
    path("tank/<slug:public_id>/balance/write/<slug:kind>/", write, name="balance_write"),
]
