"""The charts of a tank: as pictures for its pages, as files, as specifications to look closer."""

from __future__ import annotations

import gzip
import hashlib
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from typing import Any, NamedTuple

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified, JsonResponse
from django.shortcuts import render
from django.urls import path, re_path, reverse
from django.utils.cache import patch_cache_control, patch_vary_headers
from django.utils.http import parse_etags, quote_etag
from django.views.decorators.http import require_GET, require_safe

from leafgill import __version__
from leafgill.answer import record
from leafgill.charts.picture import DayPicture
from leafgill.diary import Kind
from leafgill.tank.clock import zone
from leafgill.web import charts
from leafgill.web.clock import now as clock_now
from leafgill.web.home import home
from leafgill.web.kept import Kept
from leafgill.web.models import AnswerRow, EntryRow, TankRow
from leafgill.web.store.access import tank_for
from leafgill.web.store.entries import diary_of
from leafgill.web.store.tanks import spec_of
from leafgill.web.working.answers import EXTRAS_AT, EXTRAS_VERSION
from leafgill.web.working.night import night_from
from leafgill.web.working.pictures import picture_from
from leafgill.web.working.weeks import weeks_from

# The record's chart goes back so many days, today included.
RECORD_DAYS = 14
# An address that names its content's mark never means anything else.
_WEEK_S = 7 * 86_400
_DRAWN = Kept(200)
# The mark of now moves along the day's chart in steps of this [s].
_NOW_STEP_S = 600.0


Make = Callable[[str, str], charts.Spec]


class Drawing(NamedTuple):
    """A chart that can be made: the mark of its content, and how to get its specification.

    `live` gives that of a page with a script, which may answer the pointer.
    """

    mark: str
    spec: Make
    live: Make


def chart_url(row: TankRow, what: str, size: str, theme: str, form: str, mark: str = "") -> str:
    """Return the address of a chart; with its content's mark it may be kept for long."""
    url = reverse("chart", args=[row.public_id, what, size, theme, form])
    return f"{url}?v={mark}" if mark else url


def picture_told(row: TankRow, what: str, mark: str, words: str) -> charts.Picture:
    """Return a chart as a page shows it: in each size and theme, to look closer, and as files."""
    url = partial(chart_url, row, what)
    sizes = (charts.PHONE, charts.DESK)
    return charts.Picture(
        what=what,
        words=words,
        urls={z: {t: url(z, t, "svg", mark) for t in charts.LOOKS} for z in sizes},
        specs={z: {t: url(z, t, "json", mark) for t in charts.LOOKS} for z in sizes},
        library=reverse("chart_library", args=[charts.library_version()]),
        files={f: f"{url(charts.PAPER, 'light', f)}?download" for f in charts.FORMS},
    )


def day_mark(row: TankRow, answer: AnswerRow, now: datetime) -> str:
    """Return the mark of the day's chart."""
    return _mark(row, "day", *_made(answer), _now_step(now))


def night_mark(row: TankRow, answer: AnswerRow) -> str:
    """Return the mark of the night's chart."""
    return _mark(row, "night", *_made(answer))


def _made(answer: AnswerRow) -> tuple[object, ...]:
    # where the clock stands, the version alone tells a new answer from the one before
    return answer.version, answer.made_at


def weeks_mark(row: TankRow, answer: AnswerRow) -> str:
    """Return the mark of the nutrients' chart."""
    payload = answer.payload or {}
    return _mark(row, "weeks", payload.get(EXTRAS_VERSION), payload.get(EXTRAS_AT))


def record_mark(row: TankRow, now: datetime) -> str:
    """Return the mark of the record's chart: it grows by what is written, and by the hour."""
    return _mark(row, "record", row.version, now.strftime("%Y%m%d%H"))


def _mark(row: TankRow, *parts: object) -> str:
    told = "|".join(str(part) for part in (__version__, row.pk, *parts))
    return hashlib.sha256(told.encode()).hexdigest()[:16]


def _now_step(now: datetime) -> int:
    return int(now.timestamp() // _NOW_STEP_S)


def at_moment(picture: DayPicture, asked_for: datetime, now: datetime) -> DayPicture:
    """Return a day's picture with its mark of now where now is, as long as the day lasts."""
    if picture.now_h is None:
        return picture
    late_h = (_now_step(now) - _now_step(asked_for)) * _NOW_STEP_S / 3600.0
    moved = picture.now_h + late_h
    return replace(picture, now_h=moved if 0.0 <= moved <= picture.length_h else None)


def _drawing(row: TankRow, what: str, now: datetime) -> Drawing:
    """Return a chart of a tank. Raises Http404 where there is nothing to draw yet."""
    if what == "record":
        make = _record(row, now)
        return Drawing(record_mark(row, now), make, make)
    answer = AnswerRow.objects.filter(tank=row).first()
    if answer is None or not answer.payload or answer.asked_for is None:
        raise Http404("Nothing has been worked out of this tank yet.")
    if what == "night":
        make = partial(charts.night_spec, night_from(answer.payload))
        return Drawing(night_mark(row, answer), make, make)
    if what == "weeks":
        balance = answer.payload.get("balance")
        if not balance:
            raise Http404("The balance of this tank has not been worked out yet.")
        make = partial(charts.weeks_spec, weeks_from(balance["picture"]))
        return Drawing(weeks_mark(row, answer), make, make)
    day = at_moment(picture_from(answer.payload), answer.asked_for, now)
    make = partial(charts.day_spec, day)
    return Drawing(day_mark(row, answer, now), make, partial(make, live=True))


def _record(row: TankRow, now: datetime) -> Make:
    def spec(size: str, theme: str) -> charts.Spec:
        tank = spec_of(row)
        here = now.astimezone(zone(tank.timezone))
        last, first = here.date(), here.date() - timedelta(days=RECORD_DAYS - 1)
        begin, _ = record.ends_of(first, last, tank.timezone)
        # a rate that was set before the first day still holds in it
        diary = diary_of(row, until=now, streams_since=begin)
        picture = record.picture_of(tank, diary.localised(tank.timezone), first, last, here)
        if picture is None:
            raise Http404("Nothing was written down in these days.")
        return charts.record_spec(picture, size, theme)

    return spec


@login_required
@require_safe
def chart(
    request: HttpRequest, public_id: str, what: str, size: str, theme: str, form: str
) -> HttpResponse:
    """Return a chart of a tank: SVG, PNG or PDF, or its specification as JSON."""
    row = tank_for(request, public_id)
    drawing = _drawing(row, what, clock_now())
    tag = quote_etag(f"{drawing.mark}-{what}-{size}-{theme}-{form}")
    fixed = request.GET.get("v") == drawing.mark
    if _has(request, tag):
        return _kept_for(HttpResponseNotModified(), tag, fixed=fixed)
    if form == "json":
        return _kept_for(JsonResponse(drawing.live(size, theme)), tag, fixed=fixed)
    kind, make = charts.FORMS[form]
    data = _DRAWN.get(tag, lambda: make(drawing.spec(size, theme)))
    response = HttpResponse(data, content_type=kind)
    if "download" in request.GET:
        name = f"{_file_name(row)}-{what}.{form}"
        response["Content-Disposition"] = f'attachment; filename="{name}"'
    return _kept_for(response, tag, fixed=fixed)


def _has(request: HttpRequest, tag: str) -> bool:
    """Return whether a browser has what a tag stands for; the packed form's tag is a weak one."""
    had = parse_etags(request.headers.get("If-None-Match", ""))
    return tag in (one.removeprefix("W/") for one in had)


def _kept_for(response: Any, tag: str, *, fixed: bool) -> HttpResponse:
    response["ETag"] = tag
    if fixed:
        patch_cache_control(response, private=True, max_age=_WEEK_S, immutable=True)
    else:
        patch_cache_control(response, private=True, no_cache=True)
    found: HttpResponse = response
    return found


def _file_name(row: TankRow) -> str:
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in row.name.lower())
    return "-".join(part for part in plain.split("-") if part) or "tank"


@login_required
@require_GET
def charts_page(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show all charts of a tank, with their files."""
    row = tank_for(request, public_id)
    now = clock_now()
    answer = AnswerRow.objects.filter(tank=row).first()
    marks = {"record": record_mark(row, now)} if _has_record(row, now) else {}
    if answer is not None and answer.payload:
        marks = {"day": day_mark(row, answer, now), "night": night_mark(row, answer), **marks}
        if answer.payload.get("balance"):
            marks["weeks"] = weeks_mark(row, answer)
    pictures = [picture_told(row, what, mark, _WORDS[what]) for what, mark in marks.items()]
    context = {"tank": row, "pictures": pictures, "titles": _TITLES}
    return render(request, "web/today/charts.html", context)


def _has_record(row: TankRow, now: datetime) -> bool:
    since = now - timedelta(days=RECORD_DAYS)
    drawn = [kind.value for kind in (Kind.PH, Kind.PH_PROBE, Kind.DEGASSED_PH, Kind.BUBBLE_RATE)]
    entries = EntryRow.objects.filter(tank=row, removed_at__isnull=True, kind__in=drawn)
    return entries.filter(time__gte=since).exists()


_TITLES = {
    "day": "The day",
    "night": "Oxygen through the night",
    "record": f"pH and bubbles of {RECORD_DAYS} days",
    "weeks": "Nutrients through the weeks",
}
_WORDS = {
    "day": "CO2 from midnight to midnight, with the animals' limit, light and gas",
    "night": "Oxygen through the coming day, with the animals' minimum",
    "record": f"pH as read and logged, and bubbles a second as set, in the last {RECORD_DAYS} days",
    "weeks": "Nutrients through the weeks, with floor and ceiling, tests and doses",
}


@require_safe
def library(request: HttpRequest, version: str) -> HttpResponse:
    """Return the script that draws the charts one can look at closer; the same for everybody."""
    if version != charts.library_version():
        raise Http404("There is no such version.")
    tag = quote_etag(version)
    if _has(request, tag):
        response: Any = HttpResponseNotModified()
    else:
        zipped = "gzip" in request.headers.get("Accept-Encoding", "")
        packed = charts.library_packed(home() / "made")
        data = packed if zipped else gzip.decompress(packed)
        response = HttpResponse(data, content_type="text/javascript; charset=utf-8")
        if zipped:
            response["Content-Encoding"] = "gzip"
    response["ETag"] = tag
    patch_vary_headers(response, ["Accept-Encoding"])
    patch_cache_control(response, public=True, max_age=365 * 86_400, immutable=True)
    found: HttpResponse = response
    return found


_NAMES = r"(?P<what>day|night|record|weeks)-(?P<size>phone|desk|paper)-(?P<theme>light|dark)"
urlpatterns = [
    path("chart-library-<str:version>.js", library, name="chart_library"),
    path("tank/<slug:public_id>/charts/", charts_page, name="charts"),
    re_path(
        rf"^tank/(?P<public_id>[-\w]+)/chart/{_NAMES}\.(?P<form>svg|png|pdf|json)$",
        chart,
        name="chart",
    ),
]
