"""A new tank, described in steps: nothing of it is a tank until the review is confirmed."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.http import require_http_methods, require_POST

from leafgill.tank.spec import Tank
from leafgill.web.forms.habits import Habits
from leafgill.web.forms.parts import BY_SLUG, SETUP, Part
from leafgill.web.forms.tank_form import (
    Checked,
    check,
    form_fields,
    merged,
    read_typed,
    tank_of,
)
from leafgill.web.forms.tank_shown import (
    Typed,
    held,
    part_rows,
)
from leafgill.web.pending import Held
from leafgill.web.store.tanks import create_tank
from leafgill.web.views.helping import habits_of, keeper_of, newest_tank_of, pending_of

DRAFT = "draft"
_FIRST, _LAST = SETUP[0], SETUP[-1]


@login_required
@require_http_methods(["GET", "POST"])
def begin(request: HttpRequest) -> HttpResponse:
    """Show the first step with nothing begun; what is sent becomes a draft."""
    habits = habits_of(request)
    if request.method == "POST":
        typed = read_typed(_FIRST, request.POST)
        checked = check(_FIRST, typed, habits)
        if not checked.fine:
            return _step_page(request, _FIRST, typed, checked, status=422)
        token = pending_of(request).put(DRAFT, {"typed": typed, "seen": [_FIRST.slug]})
        return redirect("setup_step", token=token, slug=SETUP[1].slug)
    typed = {"tank-timezone": keeper_of(request).time_zone}
    return _step_page(request, _FIRST, typed, Checked(), begun=_drafts(request))


@login_required
@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, token: str, slug: str) -> HttpResponse:
    """Show one step of a draft; what is sent is kept, right or wrong, whichever way it goes."""
    part = _setup_part(slug)
    pending, habits = pending_of(request), habits_of(request)
    draft = pending.get(token, DRAFT)
    if draft is None:
        return redirect("setup_begin")
    typed: Typed = draft.about["typed"]
    if request.method == "POST":
        typed = {**typed, **read_typed(part, request.POST)}
        seen = sorted({*draft.about["seen"], part.slug})
        pending.change(draft, {"typed": typed, "seen": seen})
        go = request.POST.get("go", "next")
        checked = check(part, typed, habits)
        if go == "back":
            return redirect(_before(part, token))
        if not checked.fine:
            return _step_page(request, part, typed, checked, token=token, status=422)
        return redirect(_after(part, token, go))
    checked = check(part, typed, habits) if part.slug in draft.about["seen"] else Checked()
    return _step_page(request, part, typed, checked, token=token)


@login_required
@require_http_methods(["GET", "POST"])
def review(request: HttpRequest, token: str) -> HttpResponse:
    """Show all that was said before it becomes a tank; confirming makes the tank, once."""
    pending, habits = pending_of(request), habits_of(request)
    draft = pending.get(token, DRAFT)
    if request.method == "POST":
        return _make(request, token)
    if draft is None:
        return redirect("setup_begin")
    tank, doubts, wrong = _described(draft, habits)
    sections = held(tank) if tank is not None else _sections(draft, habits)
    rows = [
        {"part": part, "rows": part_rows(part, sections, habits), "doubts": _of(part, doubts)}
        for part in SETUP
    ]
    context = {"token": token, "rows": rows, "wrong": wrong, "steps": _steps(None, draft)}
    return render(request, "web/setup/review.html", context)


def _make(request: HttpRequest, token: str) -> HttpResponse:
    keeper, pending = keeper_of(request), pending_of(request)
    with pending.claimed(token, DRAFT) as draft:
        if draft is not None:
            tank, _, _ = _described(draft, habits_of(request))
            if tank is not None:
                return redirect("today", public_id=create_tank(keeper, tank).public_id)
    if draft is not None:  # it makes no tank yet: the review says why
        token = pending.put(DRAFT, draft.about)
        return redirect("setup_review", token=token)
    # sent twice: the first has made it
    newest = newest_tank_of(keeper)
    return redirect("today", public_id=newest.public_id) if newest else redirect("setup_begin")


@login_required
@require_POST
def forget(request: HttpRequest, token: str) -> HttpResponse:
    """Throw a draft away."""
    pending_of(request).drop(token, DRAFT)
    return redirect("setup_begin")


def _setup_part(slug: str) -> Part:
    part = BY_SLUG.get(slug)
    if part is None or not part.setup:
        raise Http404("There is no such step.")
    return part


def _before(part: Part, token: str) -> str:
    at = SETUP.index(part)
    return _url(SETUP[max(at - 1, 0)], token)


def _after(part: Part, token: str, go: str) -> str:
    if go == "review" or part is _LAST:
        return reverse("setup_review", args=[token])
    return _url(SETUP[SETUP.index(part) + 1], token)


def _url(part: Part, token: str) -> str:
    return reverse("setup_step", args=[token, part.slug])


def _sections(draft: Held, habits: Habits) -> dict[str, dict[str, Any]]:
    typed = draft.about["typed"]
    return merged({part.slug: check(part, typed, habits).sections for part in SETUP})


def _described(draft: Held, habits: Habits) -> tuple[Tank | None, dict[str, str], list[str]]:
    """Return the tank a draft makes, its doubts, and what keeps it from being one."""
    typed = draft.about["typed"]
    wrong = []
    for part in SETUP:
        if not check(part, typed, habits).fine:
            wrong.append(f"{part.title}: something there cannot be meant.")
    if wrong:
        return None, {}, wrong
    return tank_of(_sections(draft, habits), habits)


def _of(part: Part, doubts: dict[str, str]) -> list[str]:
    names = {f"{section}-{key}" for section, key in part.keys}
    return [text for name, text in doubts.items() if name in names]


def _steps(now: Part | None, draft: Held | None) -> list[dict[str, Any]]:
    """Return the steps as the page lists them: which is open, which were seen."""
    seen = draft.about["seen"] if draft is not None else []
    return [
        {"part": part, "open": part is now, "seen": part.slug in seen, "number": nth}
        for nth, part in enumerate(SETUP, start=1)
    ]


def _drafts(request: HttpRequest) -> list[dict[str, Any]]:
    return [
        {"token": draft.token, "name": draft.about["typed"].get("tank-name", "")}
        for draft in pending_of(request).listed(DRAFT)
    ]


def _step_page(
    request: HttpRequest,
    part: Part,
    typed: Typed,
    checked: Checked,
    *,
    token: str = "",
    begun: list[dict[str, Any]] | None = None,
    status: int = 200,
) -> HttpResponse:
    habits = habits_of(request)
    draft = pending_of(request).get(token, DRAFT) if token else None
    context = {
        "part": part,
        "token": token,
        "fields": form_fields(part, typed, habits, checked),
        "wrong": checked.general,
        "faults": len(checked.errors),
        "steps": _steps(part, draft),
        "number": SETUP.index(part) + 1,
        "count": len(SETUP),
        "first": part is _FIRST,
        "all_seen": draft is not None and len(draft.about["seen"]) == len(SETUP),
        "begun": begun or [],
    }
    return render(request, "web/setup/step.html", context, status=status)


urlpatterns = [
    path("tanks/new/", begin, name="setup_begin"),
    path("tanks/new/<str:token>/review/", review, name="setup_review"),
    path("tanks/new/<str:token>/forget/", forget, name="setup_forget"),
    path("tanks/new/<str:token>/<slug:slug>/", step, name="setup_step"),
]
