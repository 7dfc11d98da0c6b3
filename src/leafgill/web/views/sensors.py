"""Sensors that send by themselves: made, given tokens and topics, and looked after."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from leafgill.diary import SENSORS
from leafgill.errors import InputError
from leafgill.tank.clock import zone
from leafgill.web.clock import now as clock_now
from leafgill.web.ingest import folder, tokens, topics
from leafgill.web.ingest.parcel import sender_of
from leafgill.web.models import ReadingRow, SensorRow, TankRow, TopicRow
from leafgill.web.sensor_page import (
    doubts_of,
    listener_words,
    sensor_fields,
    token_fields,
    tokens_shown,
    topic_fields,
    topics_shown,
)
from leafgill.web.sensors_page import sensor_line, sensor_lines
from leafgill.web.store.access import tank_for
from leafgill.web.store.readings import sensor_for
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.helping import habits_of, keeper_of, stamp

MOST_SENSORS = 50
LONGEST_NAME = 40
_TOPIC = ("topic", "payload", "path", "time_path", "unit")


@login_required
@require_GET
def sensors(request: HttpRequest, public_id: str) -> HttpResponse:
    """List the sensors, and offer to make one."""
    return _sensors_page(request, tank_for(request, public_id), {}, {})


def _sensors_page(
    request: HttpRequest,
    row: TankRow,
    typed: dict[str, str],
    errors: dict[str, str],
    status: int = 200,
) -> HttpResponse:
    here = zone(spec_of(row).timezone)
    now = clock_now().astimezone(here)
    context = {
        "tank": row,
        "sensors": sensor_lines(row, here, now, habits_of(request)),
        "fields": sensor_fields(typed, errors),
        "faults": len(errors),
        "folder": f"{folder.FOLDER}/...-{row.public_id}/",
        "listener": listener_words(now, here),
    }
    return render(request, "web/sensors/sensors.html", context, status=status)


@login_required
@require_POST
def add(request: HttpRequest, public_id: str) -> HttpResponse:
    """Make a sensor."""
    row = tank_for(request, public_id, write=True)
    typed = {name: request.POST.get(name, "").strip() for name in ("kind", "name")}
    name, errors = " ".join(typed["name"].split()), {}
    if typed["kind"] not in SENSORS:
        errors["kind"] = "Choose what it measures."
    if len(name) > LONGEST_NAME or not name.isprintable():
        errors["name"] = f"At most {LONGEST_NAME} letters."
    there = SensorRow.objects.filter(tank=row)
    if not errors and there.filter(name=name or typed["kind"]).exists():
        errors["name"] = "There is a sensor of that name; give this one another."
    if not errors and there.count() >= MOST_SENSORS:
        errors["name"] = f"{MOST_SENSORS} sensors are enough."
    if errors:
        return _sensors_page(request, row, typed, errors, status=422)
    made = sensor_for(row, typed["kind"], name)
    return redirect("sensor", public_id=public_id, slug=made.slug)


@login_required
@require_GET
def sensor(request: HttpRequest, public_id: str, slug: str) -> HttpResponse:
    """Show one sensor, with its ways in."""
    row = tank_for(request, public_id)
    return _page(request, row, _sensor_or_404(row, slug))


def _page(
    request: HttpRequest,
    row: TankRow,
    found: SensorRow,
    *,
    wrong: str = "",
    token: str = "",
    typed: dict[str, str] | None = None,
    status: int = 200,
) -> HttpResponse:
    here = zone(spec_of(row).timezone)
    now = clock_now().astimezone(here)
    refused_at = found.refused_at
    line = sensor_line(found, here, now, habits_of(request))
    context: dict[str, Any] = {
        "tank": row,
        "sensor": found,
        "line": line,
        "doubts": doubts_of(found, now),
        "refused_at": "" if refused_at is None else stamp(refused_at.astimezone(here)),
        "address": request.build_absolute_uri(f"/in/{found.slug}/"),
        "tokens": tokens_shown(found, here),
        "topics": topics_shown(found),
        "token": token,
        "token_fields": token_fields({}),
        "topic_fields": topic_fields(found, typed or {}),
        "listener": listener_words(now, here),
        "wrong": [wrong] if wrong else [],
        "removable": not line.count,
    }
    return render(request, "web/sensors/sensor.html", context, status=status)


def _sensor_or_404(row: TankRow, slug: str) -> SensorRow:
    found = SensorRow.objects.filter(tank=row, slug=slug).first()
    if found is None:
        raise Http404("There is no such sensor.")
    return found


@login_required
@require_POST
def remove(request: HttpRequest, public_id: str, slug: str) -> HttpResponse:
    """Take a sensor away that has sent nothing; readings are never thrown away."""
    row = tank_for(request, public_id, write=True)
    found = _sensor_or_404(row, slug)
    if ReadingRow.objects.filter(sensor=found).exists():
        return _page(request, row, found, wrong="It has readings, and stays.", status=422)
    found.delete()
    tokens.DOORS.forget()
    return redirect("sensors", public_id=public_id)


@login_required
@require_POST
@never_cache
def token_make(request: HttpRequest, public_id: str, slug: str) -> HttpResponse:
    """Make a token, and show it this once."""
    row = tank_for(request, public_id, write=True)
    found = _sensor_or_404(row, slug)
    name = request.POST.get("name", "")
    try:
        token = tokens.make(found, name, keeper_of(request), clock_now())
    except InputError as wrong:
        return _page(request, row, found, wrong=str(wrong), status=422)
    return _page(request, row, found, token=token)


@login_required
@require_POST
def token_revoke(request: HttpRequest, public_id: str, slug: str, number: int) -> HttpResponse:
    """Take a token back; it opens nothing any more."""
    row = tank_for(request, public_id, write=True)
    tokens.revoke(_sensor_or_404(row, slug), number, clock_now())
    return _back(row, slug, "tokens")


@login_required
@require_POST
def topic_add(request: HttpRequest, public_id: str, slug: str) -> HttpResponse:
    """Let messages of a topic be this sensor's readings."""
    row = tank_for(request, public_id, write=True)
    found = _sensor_or_404(row, slug)
    typed = {name: request.POST.get(name, "").strip() for name in _TOPIC}
    payload = topics.JSON if typed["payload"] == topics.JSON else topics.NUMBER
    route = topics.Route(
        typed["topic"],
        sender_of(found),
        spec_of(row).timezone,
        payload,
        typed["path"],
        typed["time_path"],
        typed["unit"],
    )
    try:
        topics.add(found, route)
    except InputError as wrong:
        return _page(request, row, found, wrong=str(wrong), typed=typed, status=422)
    return _back(row, slug, "topics")


@login_required
@require_POST
def topic_remove(request: HttpRequest, public_id: str, slug: str, number: int) -> HttpResponse:
    """Take a topic away."""
    row = tank_for(request, public_id, write=True)
    TopicRow.objects.filter(sensor=_sensor_or_404(row, slug), pk=number).delete()
    return _back(row, slug, "topics")


def _back(row: TankRow, slug: str, part: str) -> HttpResponse:
    return redirect(f"{reverse('sensor', args=[row.public_id, slug])}#{part}")


_AT = "tank/<slug:public_id>/sensors/"
urlpatterns = [
    path(_AT, sensors, name="sensors"),
    path(f"{_AT}add/", add, name="sensor_add"),
    path(f"{_AT}<slug:slug>/", sensor, name="sensor"),
    path(f"{_AT}<slug:slug>/remove/", remove, name="sensor_remove"),
    path(f"{_AT}<slug:slug>/token/", token_make, name="token_make"),
    path(f"{_AT}<slug:slug>/token/<int:number>/", token_revoke, name="token_revoke"),
    path(f"{_AT}<slug:slug>/topic/", topic_add, name="topic_add"),
    path(f"{_AT}<slug:slug>/topic/<int:number>/", topic_remove, name="topic_remove"),
]
