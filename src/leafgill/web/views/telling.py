"""Where a keeper is told of alerts, and when not."""

from __future__ import annotations

from datetime import time
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path, reverse
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_POST

from leafgill.answer import figures
from leafgill.errors import InputError
from leafgill.tank.clock import zone
from leafgill.web.alert_models import ChannelRow, TellingRow
from leafgill.web.alerts import addresses
from leafgill.web.alerts.teller import try_out
from leafgill.web.clock import now as clock_now
from leafgill.web.forms.field import FormField
from leafgill.web.models import Keeper, new_public_id
from leafgill.web.views.helping import keeper_of

MOST_CHANNELS = 10
LONGEST_NAME = 60
_QUIET = (("quiet_from", "Quiet from"), ("quiet_until", "Quiet until"))
_TOLD = {
    "added": "The address is kept. Try it out.",
    "removed": "The address is gone.",
    "tried": "The test was taken. Look whether it came.",
    "quiet": "The quiet hours are kept.",
}


@login_required
@require_GET
def telling(request: HttpRequest) -> HttpResponse:
    """Show where a keeper is told."""
    return _page(request)


def _page(
    request: HttpRequest,
    *,
    typed: dict[str, str] | None = None,
    errors: dict[str, str] | None = None,
    wrong: str = "",
    status: int = 200,
) -> HttpResponse:
    keeper, given, faults = keeper_of(request), typed or {}, errors or {}
    context: dict[str, Any] = {
        "channels": _shown(keeper),
        "fields": _address_fields(given, faults),
        "quiet_fields": _quiet_fields(keeper, given, faults),
        "zone": keeper.time_zone,
        "told": _TOLD.get(request.GET.get("told", ""), ""),
        "faults": len(faults),
        "wrong": [wrong] if wrong else [],
    }
    return render(request, "web/alerts/telling.html", context, status=status)


def _shown(keeper: Keeper) -> list[dict[str, Any]]:
    now = clock_now().astimezone(zone(keeper.time_zone))

    def at(moment: Any) -> str:
        return "" if moment is None else figures.moment(moment, now)

    return [
        {
            "number": channel.pk,
            "name": channel.name,
            "told_at": at(channel.told_at),
            "error": channel.error,
            "failures": channel.failures,
            "next_try": at(channel.next_try),
        }
        for channel in ChannelRow.objects.filter(keeper=keeper).order_by("pk")
    ]


def _address_fields(typed: dict[str, str], errors: dict[str, str]) -> list[FormField]:
    return [
        # shown as it is typed nowhere again: it holds a secret
        FormField("address", "Address", "password", error=errors.get("address", ""), required=True,
                  help="As the way you are told by has it, with ://. It is kept on this machine "
                  "alone, in a file that only the app reads, and not shown again.",
                  autocomplete="off"),
        FormField("name", "What you call it", value=typed.get("name", "")[:LONGEST_NAME],
                  error=errors.get("name", ""), help="As phone, or kitchen."),
    ]  # fmt: skip


def _quiet_fields(keeper: Keeper, typed: dict[str, str], errors: dict[str, str]) -> list[FormField]:
    row = TellingRow.objects.filter(keeper=keeper).first()
    kept = {} if row is None else {name: getattr(row, name) for name, _ in _QUIET}
    found = []
    for name, label in _QUIET:
        at = kept.get(name)
        value = typed.get(name, "" if at is None else f"{at:%H:%M}")
        found.append(FormField(name, label, "time", value, error=errors.get(name, "")))
    return found


def _back(told: str) -> HttpResponse:
    return redirect(f"{reverse('telling')}?told={told}")


@login_required
@require_POST
@sensitive_post_parameters("address")
def add(request: HttpRequest) -> HttpResponse:
    """Keep an address."""
    keeper = keeper_of(request)
    typed = {"name": " ".join(request.POST.get("name", "").split())}
    errors = {}
    address = ""
    if len(typed["name"]) > LONGEST_NAME or not typed["name"].isprintable():
        errors["name"] = f"At most {LONGEST_NAME} letters."
    try:
        address = addresses.check(request.POST.get("address", ""))
    except InputError as wrong:
        errors["address"] = str(wrong)
    if not errors and ChannelRow.objects.filter(keeper=keeper).count() >= MOST_CHANNELS:
        errors["address"] = f"{MOST_CHANNELS} addresses are enough."
    if not errors:
        slug = new_public_id()
        try:
            addresses.put(slug, address)
        except InputError as wrong:
            errors["address"] = str(wrong)
    if errors:
        return _page(request, typed=typed, errors=errors, status=422)
    name = typed["name"] or addresses.scheme_of(address)[:LONGEST_NAME]
    ChannelRow.objects.create(keeper=keeper, slug=slug, name=name, made_at=clock_now())
    return _back("added")


def _channel(request: HttpRequest, number: int) -> ChannelRow:
    return get_object_or_404(ChannelRow, keeper=keeper_of(request), pk=number)


@login_required
@require_POST
def remove(request: HttpRequest, number: int) -> HttpResponse:
    """Let an address go."""
    channel = _channel(request, number)
    try:
        addresses.take_out(channel.slug)
    except InputError as wrong:
        return _page(request, wrong=str(wrong), status=422)
    channel.delete()
    return _back("removed")


@login_required
@require_POST
def try_it(request: HttpRequest, number: int) -> HttpResponse:
    """Send a test to an address, and tell how it went."""
    wrong = try_out(_channel(request, number), clock_now())
    if wrong:
        return _page(request, wrong=f"The test was not taken: {wrong}.", status=422)
    return _back("tried")


@login_required
@require_POST
def quiet(request: HttpRequest) -> HttpResponse:
    """Keep the quiet hours; two empty fields are none."""
    typed = {name: request.POST.get(name, "").strip() for name, _ in _QUIET}
    read: dict[str, time | None] = {}
    errors = {}
    for name, text in typed.items():
        try:
            read[name] = time.fromisoformat(text).replace(tzinfo=None) if text else None
        except ValueError:
            errors[name] = "Write a time of day, as 22:00."
    if not errors and (read["quiet_from"] is None) != (read["quiet_until"] is None):
        empty = "quiet_from" if read["quiet_from"] is None else "quiet_until"
        errors[empty] = "Write both, or neither."
    if errors:
        return _page(request, typed=typed, errors=errors, status=422)
    TellingRow.objects.update_or_create(keeper=keeper_of(request), defaults=read)
    return _back("quiet")


urlpatterns = [
    path("settings/telling/", telling, name="telling"),
    path("settings/telling/add/", add, name="telling_add"),
    path("settings/telling/quiet/", quiet, name="telling_quiet"),
    path("settings/telling/<int:number>/remove/", remove, name="telling_remove"),
    path("settings/telling/<int:number>/try/", try_it, name="telling_try"),
]
