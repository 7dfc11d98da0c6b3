"""Water: what a change does to this tank, tap and pure water together, minerals for soft water."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import path
from django.views.decorators.http import require_GET

from leafgill.advise.water.blend import blend
from leafgill.advise.water.minerals import USUAL, Wish
from leafgill.advise.water.remineral import remineralise
from leafgill.advise.water.sources import pure_water, tap_of
from leafgill.advise.water.usual import usual_change
from leafgill.answer.water_said import ALWAYS
from leafgill.errors import InputError
from leafgill.tank.spec import Tank
from leafgill.web.forms import water_form as forms
from leafgill.web.forms.habits import Habits
from leafgill.web.forms.parts import BY_SLUG
from leafgill.web.forms.tank_shown import held, part_rows
from leafgill.web.page_words import page_words
from leafgill.web.store.access import tank_for
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.helping import habits_of
from leafgill.web.water_page import blend_part, recipe_part
from leafgill.web.working import worker
from leafgill.web.working.answers import EXTRAS_VERSION


@login_required
@require_GET
def water(request: HttpRequest, public_id: str) -> HttpResponse:
    """Show what the usual change does, and what one of the two forms was asked."""
    row = tank_for(request, public_id)
    tank, habits = spec_of(row), habits_of(request)
    told = worker.fresh(row, 0.0)
    row.refresh_from_db(fields=["version"])
    worked_out = told.payload.get(EXTRAS_VERSION)
    asked = request.GET.get("for", "")
    mix, minerals = _Mix(tank, habits), _Minerals(tank, habits)
    chosen = {forms.MIX: mix, forms.MINERALS: minerals}.get(asked)
    if chosen is not None:
        chosen.ask(request.GET)
    context = {
        "tank": row,
        "change": told.payload.get("water"),
        "older": worked_out is not None and worked_out != row.version,
        "words": told.words,
        "mix": mix,
        "minerals": minerals,
        "about": {"part": BY_SLUG["tap"], "rows": part_rows(BY_SLUG["tap"], held(tank), habits)},
        "cautions": [page_words(line) for line in ALWAYS],
    }
    refused = chosen is not None and chosen.refused
    return render(request, "web/water/water.html", context, status=422 if refused else 200)


class _Asked:
    """A form of the page: its fields, what is wrong with them, and what came of them."""

    name = ""

    def __init__(self, tank: Tank, habits: Habits) -> None:
        self.tank, self.habits = tank, habits
        self.litres = tank.volume_l * usual_change(tank).part
        self.typed: dict[str, str] = {}
        self.errors: dict[str, str] = {}
        self.wrong: list[str] = []
        self.part: dict[str, Any] | None = None

    @property
    def faults(self) -> int:
        """How many fields are wrong."""
        return len(self.errors)

    @property
    def refused(self) -> bool:
        """Whether it cannot be worked out as typed."""
        return bool(self.errors or self.wrong)

    def ask(self, get: Any) -> None:
        """Read what was typed, and work it out."""
        self.typed = forms.typed_of(self.name, get)
        try:
            self.part = self.work_out(get)
        except InputError as wrong:
            self.wrong.append(self.habits.text(page_words(wrong.message)))

    def work_out(self, get: Any) -> dict[str, Any] | None:
        """Return what comes of it; None where a field is wrong. Raises InputError."""
        raise InputError("nothing was asked")


class _Mix(_Asked):
    name = forms.MIX

    @property
    def fields(self) -> Any:
        """The fields as they are shown."""
        return forms.mix_fields(self.typed, self.errors, self.habits, self.litres)

    def work_out(self, get: Any) -> dict[str, Any] | None:
        read = forms.read_mix(self.typed, self.habits, self.litres)
        self.errors = read.errors
        if read.errors:
            return None
        tap = tap_of(self.tank)
        wanted = {
            "kh": {"kh_dkh": read.to},
            "gh": {"gh_dgh": read.to},
            "part": {"part": read.to / 100.0},
        }[read.aim]
        return blend_part(blend(tap, pure_water(tap), read.litres, **wanted))


class _Minerals(_Asked):
    name = forms.MINERALS

    def __init__(self, tank: Tank, habits: Habits) -> None:
        super().__init__(tank, habits)
        self.salts: tuple[str, ...] = USUAL
        known = {"kh": tank.water.kh_dkh, "gh": tank.water.gh_dgh}
        self.typed = {name: habits.number(v) for name, v in known.items() if v is not None}

    @property
    def fields(self) -> Any:
        """The fields as they are shown."""
        return forms.mineral_fields(self.typed, self.errors, self.salts, self.habits, self.litres)

    def work_out(self, get: Any) -> dict[str, Any] | None:
        self.salts = forms.salts_of(get)
        read = forms.read_minerals(self.typed, self.salts, self.habits, self.litres)
        self.errors = read.errors
        if read.errors:
            return None
        tap = tap_of(self.tank)
        base = pure_water(tap)
        if read.tap_part:
            base = blend(tap, base, read.litres, part=1.0 - read.tap_part).as_make_up("base water")
        wish = Wish(read.kh_dkh, read.gh_dgh, read.ca_to_mg)
        return recipe_part(remineralise(base, wish, read.litres, read.salts))


urlpatterns = [
    path("tank/<slug:public_id>/water/", water, name="water"),
]
