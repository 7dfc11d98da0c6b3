"""Care: work that comes round, how often by the tank's record, and what the record says."""

from __future__ import annotations

from datetime import datetime
from typing import Any, NamedTuple

from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from leafgill.advise.care import BASIS, Starter, State, done_words, due, starters
from leafgill.diary import Entry, Kind
from leafgill.tank.clock import zone
from leafgill.web.care_done import done_last
from leafgill.web.clock import now as clock_now
from leafgill.web.forms.care_form import read_task, task_fields, typed_of
from leafgill.web.models import EntryRow, SensorRow, TankRow, TaskRow
from leafgill.web.store.access import tank_for
from leafgill.web.store.entries import add_entry
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.helping import keeper_of
from leafgill.web.views.trouble import trouble_of
from leafgill.web.working.answers import kept_answer

# Overdue first, then by how near it is.
_ORDER = [State.OVERDUE, State.TODAY, State.NEVER, State.SOON, State.LATER]
MOST_TASKS = 60


@login_required
@require_GET
def care(request: HttpRequest, public_id: str) -> HttpResponse:
    """List the work by when it is due, and what is wrong by the record."""
    return _page(request, tank_for(request, public_id))


def _page(
    request: HttpRequest,
    row: TankRow,
    typed: dict[str, str] | None = None,
    errors: dict[str, str] | None = None,
    status: int = 200,
) -> HttpResponse:
    now = _now(row)
    trouble, jobs = trouble_of(row), _jobs(row)
    tasks = [_shown(task, now, jobs.get(task.what)) for task in TaskRow.objects.filter(tank=row)]
    tasks.sort(key=lambda task: (not task["called"], _ORDER.index(task["due"].state), task["at"],
                                 task["task"].what))  # fmt: skip
    context = {
        "tank": row,
        "tasks": tasks,
        "starters": [_start(task, jobs.get(task.what)) for task in _starters_left(row)],
        "basis": BASIS,
        "fields": task_fields(typed or {}, errors or {}),
        "faults": len(errors or {}),
        "trouble": trouble,
    }
    return render(request, "web/care/care.html", context, status=status)


def _now(row: TankRow) -> datetime:
    return clock_now().astimezone(zone(spec_of(row).timezone))


def _jobs(row: TankRow) -> dict[str, Any]:
    """Return what was last worked out of each job, by what it is called."""
    kept = kept_answer(row.pk)
    jobs = kept.payload.get("care") if kept is not None and kept.payload else None
    return jobs or {}


class Start(NamedTuple):
    """A usual task: its days, and whether they are told by the record."""

    what: str
    why: str
    days: int
    told: bool


def _start(task: Starter, job: dict[str, Any] | None) -> Start:
    """Return a usual task, with the interval of the record where that tells one."""
    told = job is not None and not job["usual"]
    days = job["days"] if job is not None and told else task.every_days
    return Start(task.what, task.why, days, told)


def _shown(task: TaskRow, now: datetime, job: dict[str, Any] | None) -> dict[str, Any]:
    last = done_last(task.last_done, job)
    when = due(task.every_days, last, now)
    called = job["called_for"] if job is not None else ""
    other = job is not None and not job["usual"] and job["days"] != task.every_days
    return {
        "job": job,
        "called": called,
        "take": job["days"] if job is not None and other else 0,
        "task": task,
        "due": when,
        "at": when.at or now,
        "done": done_words(last, now),
        "seen": _seen(task),
        "urgent": bool(called) or when.state in (State.OVERDUE, State.TODAY),
    }


def _seen(task: TaskRow) -> str:
    """Return what tells one doing of a task from the next."""
    return "" if task.last_done is None else task.last_done.isoformat()


def _starters_left(row: TankRow) -> list[Starter]:
    there = set(TaskRow.objects.filter(tank=row).values_list("what", flat=True))
    probe = SensorRow.objects.filter(tank=row, kind="ph").exists()
    probe = probe or EntryRow.objects.filter(tank=row, kind=Kind.PH_PROBE.value).exists()
    return [task for task in starters(spec_of(row), probe) if task.what not in there]


@login_required
@require_POST
def add(request: HttpRequest, public_id: str) -> HttpResponse:
    """Add a task of the keeper's own."""
    row = tank_for(request, public_id, write=True)
    now = _now(row)
    typed = typed_of(request.POST)
    read = read_task(typed, now.tzinfo or zone("UTC"), now.date())
    tasks = TaskRow.objects.filter(tank=row)
    if not read.errors and tasks.count() >= MOST_TASKS:
        read.errors["what"] = f"{MOST_TASKS} tasks are enough; take one out first."
    if read.errors:
        return _page(request, row, typed, read.errors, status=422)
    if not tasks.filter(what=read.what).exists():  # sent twice it stays one
        TaskRow.objects.create(
            tank=row,
            what=read.what,
            every_days=read.every_days,
            last_done=read.last_done,
            note=read.note,
        )
    return redirect("care", public_id=public_id)


@login_required
@require_POST
def add_starters(request: HttpRequest, public_id: str) -> HttpResponse:
    """Add the ticked tasks of the list to begin with."""
    row = tank_for(request, public_id, write=True)
    wanted = set(request.POST.getlist("what"))
    jobs = _jobs(row)
    for task in _starters_left(row):
        if task.what in wanted:
            days = _start(task, jobs.get(task.what)).days
            TaskRow.objects.create(tank=row, what=task.what, every_days=days, note=task.why)
    return redirect("care", public_id=public_id)


@login_required
@require_POST
def done(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Note a task as done now, in its place and in the diary."""
    row = tank_for(request, public_id, write=True)
    task = _task_or_404(row, number)
    now = _now(row)
    with transaction.atomic():
        # only whoever saw it undone does it: two taps are one doing
        same = TaskRow.objects.filter(pk=task.pk, last_done=task.last_done)
        if request.POST.get("seen", "") == _seen(task) and same.update(last_done=now):
            add_entry(row, Entry(now, Kind.CARE, task.what), keeper_of(request))
    return redirect("care", public_id=public_id)


@login_required
@require_POST
def take(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Let a task come round as often as the record has it."""
    row = tank_for(request, public_id, write=True)
    task = _task_or_404(row, number)
    job = _jobs(row).get(task.what)
    if job is not None:
        task.every_days = job["days"]
        task.save(update_fields=["every_days"])
    return redirect("care", public_id=public_id)


@login_required
@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Show a task's form, or change the task."""
    row = tank_for(request, public_id, write=True)
    task, now = _task_or_404(row, number), _now(row)
    here = now.tzinfo or zone("UTC")
    before = {
        "what": task.what,
        "every_days": str(task.every_days),
        "last_done": f"{task.last_done.astimezone(here):%Y-%m-%d}" if task.last_done else "",
        "note": task.note,
    }
    if request.method == "GET":
        return _task_page(request, row, task, before, {})
    typed = typed_of(request.POST)
    read = read_task(typed, here, now.date())
    if read.errors:
        return _task_page(request, row, task, typed, read.errors, status=422)
    if typed["last_done"] == before["last_done"]:
        read.last_done = task.last_done  # the same day keeps its hour
    task.what, task.every_days, task.note = read.what, read.every_days, read.note
    task.last_done = read.last_done
    task.save()
    return redirect("care", public_id=public_id)


def _task_page(
    request: HttpRequest,
    row: TankRow,
    task: TaskRow,
    typed: dict[str, str],
    errors: dict[str, str],
    status: int = 200,
) -> HttpResponse:
    context = {
        "tank": row,
        "task": task,
        "fields": task_fields(typed, errors),
        "faults": len(errors),
    }
    return render(request, "web/care/task.html", context, status=status)


@login_required
@require_POST
def remove(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Take a task out of the list; what was done stays in the diary."""
    row = tank_for(request, public_id, write=True)
    TaskRow.objects.filter(tank=row, pk=number).delete()
    return redirect("care", public_id=public_id)


def _task_or_404(row: TankRow, number: int) -> TaskRow:
    task = TaskRow.objects.filter(tank=row, pk=number).first()
    if task is None:
        raise Http404("There is no such task.")
    return task


urlpatterns = [
    path("tank/<slug:public_id>/care/", care, name="care"),
    path("tank/<slug:public_id>/care/add/", add, name="care_add"),
    path("tank/<slug:public_id>/care/begin/", add_starters, name="care_begin"),
    path("tank/<slug:public_id>/care/<int:number>/done/", done, name="care_done"),
    path("tank/<slug:public_id>/care/<int:number>/take/", take, name="care_take"),
    path("tank/<slug:public_id>/care/<int:number>/", edit, name="care_edit"),
    path("tank/<slug:public_id>/care/<int:number>/remove/", remove, name="care_remove"),
]
