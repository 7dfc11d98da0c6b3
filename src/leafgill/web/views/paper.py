"""Pages made to be printed: the card for the cabinet's door, and the report of some days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import path
from django.views.decorators.http import require_GET

from leafgill.advise.care import due
from leafgill.answer import record
from leafgill.answer.card import card_of
from leafgill.charts.record import record_chart
from leafgill.tank.clock import zone
from leafgill.tank.limits import limits_of
from leafgill.tank.spec import Tank
from leafgill.web.clock import now as clock_now
from leafgill.web.diary_page import Listed, by_day
from leafgill.web.forms.habits import Habits
from leafgill.web.models import StepRow, TankRow, TaskRow
from leafgill.web.page_words import page_words
from leafgill.web.store.access import tank_for
from leafgill.web.store.entries import diary_of
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.helping import habits_of, stamp
from leafgill.web.working.answers import kept_answer

USUAL_DAYS, MOST_DAYS = 28, 366
# More does not go on a card of half an A4.
MOST_WORK = 6


@dataclass(frozen=True, slots=True)
class Days:
    """The days of a report by the tank's clock, both ends included."""

    first: date
    last: date
    wrong: str = ""


@login_required
@require_GET
def card(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show the card of a tank as it is set now."""
    row = tank_for(request, public_id)
    tank = spec_of(row)
    now = clock_now().astimezone(zone(tank.timezone))
    made = card_of(tank, diary_of(row, streams=False), now, _work(row, now))
    kept = kept_answer(row.pk)
    told = kept.payload.get("emergency", {}) if kept is not None and kept.payload else {}
    context = {
        "tank": row,
        "card": made,
        "people": [page_words(line) for line in made.people],
        "halves": told.get("halves", {}).get("said", ""),
        "day": f"{now.day} {now:%B %Y}",
    }
    return render(request, "web/paper/card.html", context)


def _work(row: TankRow, now: datetime) -> tuple[tuple[str, str], ...]:
    """Return the tasks that come round soonest: what, how often, when next."""
    tasks = [(due(t.every_days, t.last_done, now), t) for t in TaskRow.objects.filter(tank=row)]
    tasks.sort(key=lambda pair: (pair[0].at or now, pair[1].what))
    return tuple(
        (task.what, f"every {task.every_days} days{_next(when.at)}")
        for when, task in tasks[:MOST_WORK]
    )


def _next(at: datetime | None) -> str:
    return "" if at is None else f", next {at.day} {at:%b}"


@login_required
@require_GET
def report(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show what was read, set and done in some days, to be printed."""
    row = tank_for(request, public_id)
    tank, habits = spec_of(row), habits_of(request)
    now = clock_now().astimezone(zone(tank.timezone))
    days = _days(request, now.date())
    begin, end = record.ends_of(days.first, days.last, tank.timezone)
    entries = record.within(diary_of(row, streams=False), begin, end)
    listed = [Listed(nth, entry) for nth, entry in enumerate(reversed(entries))]
    context = {
        "tank": row,
        "days": days,
        "about": _about(tank, habits),
        "ranges": [_told(row, habits) for row in record.ranges(entries)],
        "distress": [(stamp(e.time), e.value, e.note) for e in record.not_normal(entries)],
        "entries": list(reversed(by_day(listed, [], now, habits, relative=False))),
        "count": len(entries),
        "steps": _steps(row, begin, end),
        "made": stamp(now),
    }
    return render(request, "web/paper/report.html", context)


def _about(tank: Tank, habits: Habits) -> str:
    """Return the tank and its limits in a line."""
    limits = limits_of(tank)
    water = f"{habits.words(tank.volume_l, 'L')} {habits.shown_unit('L')}"
    warmth = f"{habits.words(tank.temperature_c, 'degC')} {habits.shown_unit('degC')}"
    co2, aim, o2 = (
        habits.words(level) for level in (limits.co2_mg_l, limits.target_mg_l, limits.o2_min_mg_l)
    )
    return (
        f"{water} at {warmth}. The animals' limit is {co2} mg/L of CO2, the aim {aim} mg/L; "
        f"oxygen at least {o2} mg/L."
    )


def _told(row: record.Range, habits: Habits) -> dict[str, Any]:
    unit = {"°C": "degC"}.get(row.unit, row.unit)
    numbers = {n: habits.words(getattr(row, n), unit) for n in ("low", "high", "newest")}
    return {"what": row.what, "unit": habits.shown_unit(unit), "times": row.times, **numbers}


@login_required
@require_GET
def report_chart(request: HttpRequest, public_id: str) -> HttpResponse:
    """Draw the record of some days as SVG."""
    import vl_convert

    row = tank_for(request, public_id)
    tank = spec_of(row)
    now = clock_now().astimezone(zone(tank.timezone))
    days = _days(request, now.date())
    begin, end = record.ends_of(days.first, days.last, tank.timezone)
    diary = diary_of(row, until=end, streams_since=begin)
    picture = record.picture_of(tank, diary, days.first, days.last, now)
    if picture is None:
        raise Http404("Nothing was read in these days.")
    svg = vl_convert.vegalite_to_svg(record_chart(picture).to_dict())
    return HttpResponse(svg, content_type="image/svg+xml")


def _days(request: HttpRequest, today: date) -> Days:
    """Return the days that were asked for, the last four weeks where none were."""
    usual = Days(today - timedelta(days=USUAL_DAYS - 1), today)
    typed = [request.GET.get(name, "") for name in ("from", "to")]
    if not any(typed):
        return usual
    try:
        first, last = (date.fromisoformat(text) for text in typed)
    except ValueError:
        return Days(usual.first, usual.last, "Write the days as 2025-03-04.")
    if not date(1990, 1, 1) <= first <= last <= date(2199, 12, 31):
        return Days(usual.first, usual.last, "The first day must not be after the last.")
    if (last - first).days >= MOST_DAYS:
        return Days(usual.first, usual.last, f"A report is of at most {MOST_DAYS} days.")
    return Days(first, last)


def _steps(row: TankRow, begin: datetime, end: datetime) -> list[dict[str, Any]]:
    """Return the steps that were advised in the days, and what the keeper replied."""
    rows = StepRow.objects.filter(tank=row, made_at__gte=begin, made_at__lt=end)
    return [
        {
            "at": stamp(step.made_at.astimezone(begin.tzinfo)),
            "what": step.payload.get("what", ""),
            "reply": step.reply,
            "replied": stamp(step.replied_at.astimezone(begin.tzinfo)) if step.replied_at else "",
        }
        for step in rows.order_by("made_at")
    ]


urlpatterns = [
    path("tank/<slug:public_id>/card/", card, name="card"),
    path("tank/<slug:public_id>/report/", report, name="report"),
    path("tank/<slug:public_id>/report/chart.svg", report_chart, name="report_chart"),
]
