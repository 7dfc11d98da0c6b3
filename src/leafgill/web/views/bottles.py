"""Bottles: those at home, and one to work out; whether they keep, and what a dose brings."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_POST

from leafgill.advise.stock.stock import CAUTIONS, Stock, stock_for, stock_of
from leafgill.errors import InputError
from leafgill.tank.bottle import Bottle, bottle_of
from leafgill.tank.spec import Tank
from leafgill.web.bottle_page import apart_lines, bottle_part, weighable
from leafgill.web.forms.bottle_form import (
    ReadBottle,
    dosing_fields,
    read_bottle,
    typed_of,
    wish_fields,
)
from leafgill.web.forms.field import FormField
from leafgill.web.forms.tank_shown import held
from leafgill.web.models import TankRow
from leafgill.web.page_words import page_words
from leafgill.web.store.access import tank_for
from leafgill.web.store.tanks import change_spec, spec_of
from leafgill.web.views.helping import habits_of, keeper_of

MOST_BOTTLES = 30


@login_required
@require_GET
def bottles(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show the bottles at home; with wishes typed also the bottle that they make."""
    row = tank_for(request, public_id)
    tank, habits = spec_of(row), habits_of(request)
    typed = typed_of(request.GET)
    read, wrong, tried = ReadBottle(), [], None
    if any(typed.values()):
        read = read_bottle(typed, habits, tank.salts.kept)
        if not read.errors:
            try:
                tried = _tried(tank, read)
            except InputError as refused:
                wrong.append(habits.text(page_words(refused.message)))
    return _page(request, row, typed, read, wrong, tried)


def _tried(tank: Tank, read: ReadBottle) -> Stock:
    made = stock_for(tank, read.wants, bottle_ml=read.bottle_ml, dose_ml=read.dose_ml)
    bottle = weighable(made.bottle)
    return _stock(tank, bottle, read, wants=made.wants)


def _stock(tank: Tank, bottle: Bottle, read: ReadBottle, **more: Any) -> Stock:
    # a dose that was typed for a large bottle is no dose of a small one at home
    dose = min(read.dose_ml, bottle.volume_ml or read.dose_ml)
    return stock_of(tank, bottle, dose_ml=dose, per_week=read.per_week,
                    coldest_c=read.coldest_c, **more)  # fmt: skip


def _page(
    request: HttpRequest,
    row: TankRow,
    typed: dict[str, str],
    read: ReadBottle,
    wrong: list[str],
    tried: Stock | None,
    keeping: str = "",
    refused: str = "",
) -> HttpResponse:
    tank, habits = spec_of(row), habits_of(request)
    ours = list(tank.salts.bottles)
    together = ours + ([tried.bottle] if tried is not None else [])
    context = {
        "tank": row,
        "bottles": [bottle_part(_stock(tank, bottle, read)) for bottle in ours],
        "tried": None if tried is None else bottle_part(tried),
        "line": "" if tried is None else _contents(tried.bottle),
        "name": FormField("name", "Its name", value=keeping, error=refused, required=True,
                          apart="keep"),
        "apart": apart_lines(together),
        "wishes": wish_fields(typed, read.errors, tank.salts.kept),
        "dosing": dosing_fields(typed, read.errors, habits),
        "faults": len(read.errors),
        "wrong": wrong,
        "cautions": [page_words(line) for line in CAUTIONS],
    }  # fmt: skip
    status = 422 if read.errors or wrong or refused else 200
    return render(request, "web/water/bottles.html", context, status=status)


def _contents(bottle: Bottle) -> str:
    """Return what is in a bottle, as the line after its name has it."""
    return str(bottle).partition(": ")[2]


@login_required
@require_POST
def keep(request: HttpRequest, public_id: str) -> HttpResponse:
    """Write a bottle into the tank's description, under a name of its own."""
    row = tank_for(request, public_id, write=True)
    tank = spec_of(row)
    name = " ".join(request.POST.get("name", "").replace(":", " ").split())[:60]
    try:
        bottle = bottle_of(f"{name}: {request.POST.get('line', '')[:400]}")
    except InputError as wrong:
        return _not_kept(request, row, name, wrong.message)
    there = {one.name.casefold(): one for one in tank.salts.bottles}
    if there.get(bottle.name.casefold()) == bottle:
        return redirect("bottles", public_id=public_id)  # sent twice it stays one
    if bottle.name.casefold() in there:
        return _not_kept(request, row, name, f'There is a bottle called "{bottle.name}" already.')
    if len(there) >= MOST_BOTTLES:
        return _not_kept(request, row, name, f"{MOST_BOTTLES} bottles are enough.")
    sections = held(tank)
    salts = sections.setdefault("salts", {})
    salts["bottles"] = [*map(str, tank.salts.bottles), str(bottle)]
    change_spec(row, Tank.from_mapping(sections), keeper_of(request))
    return redirect("bottles", public_id=public_id)


def _not_kept(request: HttpRequest, row: TankRow, name: str, why: str) -> HttpResponse:
    """Show the page again with what was to be kept, and why it was not."""
    tried = None
    try:
        bottle = bottle_of(f"new: {request.POST.get('line', '')[:400]}")
        tried = _stock(spec_of(row), bottle, ReadBottle())
    except InputError:
        name = ""
    wrong = [] if tried is not None else [page_words(why)]
    return _page(request, row, typed_of({}), ReadBottle(), wrong, tried, name, page_words(why))


urlpatterns = [
    path("tank/<slug:public_id>/bottles/", bottles, name="bottles"),
    path("tank/<slug:public_id>/bottles/keep/", keep, name="bottles_keep"),
]
