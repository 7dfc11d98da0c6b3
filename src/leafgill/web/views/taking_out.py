"""Files going out: diary, sensors, description, everything; and an archive coming back."""

from __future__ import annotations

import re
import tempfile
from typing import IO, Any, cast

from django.contrib.auth.decorators import login_required
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from leafgill.diary import entries_to_csv, streams_to_csv
from leafgill.errors import InputError
from leafgill.tank.writing import to_toml
from leafgill.web.clock import now as clock_now
from leafgill.web.importing.upload import uploaded
from leafgill.web.models import TankRow
from leafgill.web.store import archive
from leafgill.web.store.access import tank_for
from leafgill.web.store.entries import diary_of
from leafgill.web.store.tanks import spec_of, tanks_of
from leafgill.web.views.helping import keeper_of, owns, pending_of
from leafgill.web.wall_times import by_the_clock

ARCHIVE = "archive"
# An archive beyond this lies on disk while it is made.
_IN_MEMORY = 20_000_000


@login_required
@require_GET
def diary(request: HttpRequest, public_id: str) -> HttpResponse:
    """Send the diary as a file that comes back equal."""
    row = tank_for(request, public_id)
    entries = by_the_clock(diary_of(row, streams=False).entries)
    return _download(entries_to_csv(entries).encode(), "text/csv", _name(row, "diary.csv"))


@login_required
@require_GET
def probe(request: HttpRequest, public_id: str) -> HttpResponse:
    """Send every sensor's readings as a file that comes back equal."""
    row = tank_for(request, public_id)
    streams = {name: s for name, s in diary_of(row).streams.items() if len(s)}
    text = streams_to_csv(streams) if streams else "time,ph\n"
    return _download(text.encode(), "text/csv", _name(row, "probe.csv"))


@login_required
@require_GET
def tank(request: HttpRequest, public_id: str) -> HttpResponse:
    """Send the description in force."""
    row = tank_for(request, public_id)
    return _download(to_toml(spec_of(row)).encode(), "application/toml", _name(row, "tank.toml"))


@login_required
@require_GET
def everything(request: HttpRequest, public_id: str) -> FileResponse:
    """Send all there is of a tank as one archive."""
    row = tank_for(request, public_id)
    return _archive([row], _name(row, "leafgill.zip"))


@login_required
@require_GET
def all_tanks(request: HttpRequest) -> FileResponse:
    """Send all there is of the keeper's own tanks as one archive."""
    rows = [row for row in tanks_of(keeper_of(request)) if owns(row, request)]
    return _archive(rows, f"leafgill-{clock_now():%Y-%m-%d}.zip")


def _archive(rows: list[TankRow], name: str) -> FileResponse:
    # closed by the response when it is sent
    out = cast(IO[bytes], tempfile.SpooledTemporaryFile(_IN_MEMORY))  # noqa: SIM115
    archive.save(rows, out, clock_now())
    out.seek(0)
    return FileResponse(out, as_attachment=True, filename=name, content_type="application/zip")


def _download(data: bytes, kind: str, name: str) -> HttpResponse:
    response = HttpResponse(data, content_type=f"{kind}; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _name(row: TankRow, suffix: str) -> str:
    """Return a file name that any system takes: "living-room-diary.csv"."""
    plain = re.sub(r"[^a-z0-9]+", "-", row.name.lower()).strip("-")[:40]
    return f"{plain or 'tank'}-{suffix}"


# -- an archive coming back


@login_required
@require_http_methods(["GET", "POST"])
def bring_back(request: HttpRequest) -> HttpResponse:
    """Take an archive and look at it."""
    if request.method == "GET":
        return render(request, "web/files/archive.html", {"wrong": ""})
    try:
        name, data = uploaded(request.FILES.get("file"), ARCHIVE)
        told = archive.look(data, name)
    except InputError as wrong:
        return render(request, "web/files/archive.html", {"wrong": str(wrong)}, status=422)
    about: dict[str, Any] = {"name": name, "archive": told}
    token = pending_of(request).put(ARCHIVE, about, {"data": data})
    return redirect("archive_look", token=token)


@login_required
@require_http_methods(["GET", "POST"])
def look(request: HttpRequest, token: str) -> HttpResponse:
    """Show which tanks an archive holds; confirming brings them back as the keeper's, once."""
    pending = pending_of(request)
    if request.method == "POST":
        with pending.claimed(token, ARCHIVE) as held:
            if held is not None:
                archive.restore(
                    held.read("data"), held.about["name"], keeper_of(request), clock_now()
                )
        return redirect("tanks")
    held = pending.get(token, ARCHIVE)
    if held is None:
        return redirect("archive_upload")
    here = {row.name for row in tanks_of(keeper_of(request))}
    tanks = [{**told, "here": told["name"] in here} for told in held.about["archive"]["tanks"]]
    context = {"token": token, "file": held.about, "tanks": tanks}
    return render(request, "web/files/look_archive.html", context)


@login_required
@require_POST
def forget(request: HttpRequest, token: str) -> HttpResponse:
    """Throw an uploaded archive away."""
    pending_of(request).drop(token, ARCHIVE)
    return redirect("tanks")


urlpatterns = [
    path("tank/<slug:public_id>/files/out/diary.csv", diary, name="export_diary"),
    path("tank/<slug:public_id>/files/out/probe.csv", probe, name="export_probe"),
    path("tank/<slug:public_id>/files/out/tank.toml", tank, name="export_tank"),
    path("tank/<slug:public_id>/files/out/everything.zip", everything, name="export_archive"),
    path("archive/out.zip", all_tanks, name="export_all"),
    path("archive/", bring_back, name="archive_upload"),
    path("archive/<str:token>/", look, name="archive_look"),
    path("archive/<str:token>/forget/", forget, name="archive_forget"),
]
