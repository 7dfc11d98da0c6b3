"""Files coming in: uploaded, looked at, confirmed; nothing is written before that."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from leafgill.errors import InputError
from leafgill.web.importing import probe_file
from leafgill.web.importing.bringing import bring, look_at, streams_shown, streams_told
from leafgill.web.importing.probe_columns import mapping_of, read_choices, shown_choices
from leafgill.web.importing.upload import uploaded
from leafgill.web.models import TankRow
from leafgill.web.pending import Held
from leafgill.web.store.access import tank_for
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.helping import habits_of, keeper_of, pending_of

WAYS = {
    "diary": {
        "title": "Diary",
        "text": "Rows of time, kind, value, unit and note (CSV), as any spreadsheet writes them. "
        "What is there already is recognised.",
        "accept": ".csv,.txt,text/csv",
    },
    "probe": {
        "title": "Sensor readings",
        "text": "What a logger wrote (CSV), with any separator and any form of date. Where the "
        "titles are not known, you say which column is what.",
        "accept": ".csv,.txt,.tsv,text/csv",
    },
    "tank": {
        "title": "Tank",
        "text": "A description (TOML). You see what it changes; the old one is kept as history.",
        "accept": ".toml",
    },
}
_TOLD = {
    "done": "It is in.",
    "before": "That file was confirmed or thrown away before.",
    "forgotten": "The file is thrown away; nothing was written.",
    "gone": "That file is no longer here; choose it again.",
}


@login_required
@require_GET
def files(request: HttpRequest, public_id: str) -> HttpResponse:
    """Offer every way in and out."""
    return _files_page(request, tank_for(request, public_id))


def _files_page(
    request: HttpRequest, row: TankRow, wrong: dict[str, str] | None = None, status: int = 200
) -> HttpResponse:
    context = {
        "tank": row,
        "ways": [{"kind": k, "wrong": (wrong or {}).get(k, ""), **WAYS[k]} for k in WAYS],
        "told": _TOLD.get(request.GET.get("told", ""), ""),
    }
    return render(request, "web/files/files.html", context, status=status)


@login_required
@require_POST
def upload(request: HttpRequest, public_id: str, kind: str) -> HttpResponse:
    """Take a file, look at it, and lead to what it would bring."""
    row = tank_for(request, public_id, write=True)
    if kind not in WAYS:
        raise Http404("There is no such file.")
    try:
        name, data = uploaded(request.FILES.get("file"), kind)
        about, kept = look_at(kind, row, name, data, habits_of(request))
    except InputError as wrong:
        return _files_page(request, row, {kind: str(wrong)}, status=422)
    about |= {"name": name, "tank": row.public_id}
    token = pending_of(request).put(kind, about, kept)
    if about.get("columns_open"):
        return redirect("import_columns", public_id=row.public_id, token=token)
    return redirect("import_look", public_id=row.public_id, kind=kind, token=token)


# -- which column is what


@login_required
@require_http_methods(["GET", "POST"])
def columns(request: HttpRequest, public_id: str, token: str) -> HttpResponse:
    """Let the keeper say which column of a probe file is what."""
    row = tank_for(request, public_id, write=True)
    held = _held_or_none(request, row, token, "probe")
    if held is None:
        return _gone(row)
    data, name = held.read("data"), held.about["name"]
    if request.method == "GET":
        shown = shown_choices(data, name, held.about.get("chosen"))
        return _columns_page(request, row, token, shown, why=held.about.get("why", ""))
    chosen = read_choices(request.POST)
    try:
        found = probe_file.read_file(data, name, spec_of(row).timezone, mapping_of(chosen))
    except InputError as wrong:
        shown = shown_choices(data, name, chosen)
        return _columns_page(request, row, token, shown, wrong=str(wrong), status=422)
    about = {**streams_told(row, found), "chosen": chosen}
    pending_of(request).change(held, about, {"streams": probe_file.packed(found.streams)})
    return redirect("import_look", public_id=public_id, kind="probe", token=token)


def _columns_page(
    request: HttpRequest,
    row: TankRow,
    token: str,
    shown: dict[str, Any],
    *,
    wrong: str = "",
    why: str = "",
    status: int = 200,
) -> HttpResponse:
    context = {"tank": row, "token": token, "wrong": wrong, "why": why, **shown}
    return render(request, "web/files/columns.html", context, status=status)


# -- the look at it, and the confirmation


@login_required
@require_http_methods(["GET", "POST"])
def look(request: HttpRequest, public_id: str, kind: str, token: str) -> HttpResponse:
    """Show what a file would bring; confirming brings it, once."""
    row = tank_for(request, public_id, write=True)
    if kind not in WAYS:
        raise Http404("There is no such file.")
    held = _held_or_none(request, row, token, kind)
    if request.method == "POST":
        return _confirm(request, row, kind, token)
    if held is None:
        return _gone(row)
    if held.about.get("columns_open"):
        return redirect("import_columns", public_id=public_id, token=token)
    context = {
        "tank": row,
        "token": token,
        "kind": kind,
        "file": held.about,
        "streams": streams_shown(held, row, habits_of(request)),
        "anything": any(told["new"] or told["changed"] for told in held.about.get("streams", [])),
    }
    return render(request, f"web/files/look_{kind}.html", context)


def _confirm(request: HttpRequest, row: TankRow, kind: str, token: str) -> HttpResponse:
    if _held_or_none(request, row, token, kind) is None:
        return _back(row, "before")
    with pending_of(request).claimed(token, kind) as held:
        if held is None:  # sent twice: the first is at it
            return _back(row, "before")
        bring(kind, row, held, keeper_of(request))
    return _back(row, "done")


@login_required
@require_POST
def forget(request: HttpRequest, public_id: str, kind: str, token: str) -> HttpResponse:
    """Throw an upload away."""
    row = tank_for(request, public_id, write=True)
    if _held_or_none(request, row, token, kind) is not None:
        pending_of(request).drop(token, kind)
    return _back(row, "forgotten")


def _held_or_none(request: HttpRequest, row: TankRow, token: str, kind: str) -> Held | None:
    held = pending_of(request).get(token, kind)
    return held if held is not None and held.about.get("tank") == row.public_id else None


def _gone(row: TankRow) -> HttpResponse:
    return _back(row, "gone")


def _back(row: TankRow, told: str) -> HttpResponse:
    return redirect(f"{reverse('files', args=[row.public_id])}?told={told}")


urlpatterns = [
    path("tank/<slug:public_id>/files/", files, name="files"),
    path("tank/<slug:public_id>/files/<slug:kind>/", upload, name="import_upload"),
    path("tank/<slug:public_id>/files/probe/<str:token>/columns/", columns, name="import_columns"),
    path("tank/<slug:public_id>/files/<slug:kind>/<str:token>/", look, name="import_look"),
    path(
        "tank/<slug:public_id>/files/<slug:kind>/<str:token>/forget/", forget, name="import_forget"
    ),
]
