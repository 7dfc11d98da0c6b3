"""What the record says is wrong, and what is behind what the keeper sees."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import path
from django.views.decorators.http import require_GET

from leafgill.advise.trouble import SYMPTOMS, rank
from leafgill.answer.trouble_said import symptoms_by_group
from leafgill.web.care_page import clues_of_page, trouble_part
from leafgill.web.models import TankRow
from leafgill.web.store.access import tank_for
from leafgill.web.working import worker


@dataclass(frozen=True, slots=True)
class Trouble:
    """What does not fit and what was noticed, one line each.

    `known` is False before any answer; `words` say how fresh it is.
    """

    known: bool
    words: str
    misfits: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()


def trouble_of(row: TankRow) -> Trouble:
    """Return what the last answer tells of trouble; a newer one is asked for where there is need.

    Nothing is waited for.
    """
    told = worker.fresh(row, 0.0)
    said = told.payload.get("said", {})
    return Trouble(
        bool(told.payload),
        told.words,
        tuple(said.get("what_does_not_fit", ())),
        tuple(said.get("findings", ())),
    )


@login_required
@require_GET
def symptoms(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show what can be seen, to choose from."""
    row = tank_for(request, public_id)
    context = {"tank": row, "groups": symptoms_by_group(), "trouble": trouble_of(row)}
    return render(request, "web/trouble/symptoms.html", context)


@login_required
@require_GET
def symptom(request: HttpRequest, public_id: str, seen: str) -> HttpResponse:
    """Show the causes of what is seen, ranked by the tank's record; nothing is waited for."""
    row = tank_for(request, public_id)
    if seen not in SYMPTOMS:
        raise Http404("There is no such thing to be seen.")
    told = worker.fresh(row, 0.0)
    found = rank(SYMPTOMS[seen], clues_of_page(told.payload))
    context = {
        "tank": row,
        "found": trouble_part(found),
        "weighed": "clues" in told.payload,
        "words": told.words,
    }
    return render(request, "web/trouble/symptom.html", context)


urlpatterns = [
    path("tank/<slug:public_id>/trouble/", symptoms, name="trouble"),
    path("tank/<slug:public_id>/trouble/<slug:seen>/", symptom, name="trouble_symptom"),
]
