"""The figures of a balance, each under a key of its own, so that all of them open side by side."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, replace

from leafgill.advise.balance.result import Balance, DayTrial, Dose, LightStep, NutrientOutlook
from leafgill.advise.figure import Figure, Input
from leafgill.answer.explain import amount
from leafgill.estimate.belief import Band


def step_figures(step: LightStep) -> dict[str, Figure]:
    """Return what one factor of light would ask, by the field's name."""
    name = f"light_{round(100.0 * step.factor)}"
    return _renamed(step, name, f"with {amount(step.factor)} times the light")


def day_figures(day: DayTrial) -> dict[str, Figure]:
    """Return what one day of other hours gives, by the field's name."""
    return _renamed(day, f"hours_{day.key}", day.words)


def _renamed(thing: LightStep | DayTrial, prefix: str, about: str) -> dict[str, Figure]:
    found = {}
    for field in fields(thing):
        one = getattr(thing, field.name)
        if isinstance(one, Figure):
            found[field.name] = replace(
                one, key=f"{prefix}_{one.key}", label=f"{one.label}, {about}"
            )
    return found


def dose_figure(dose: Dose) -> Figure:
    """Return the amount of one dose."""
    name = re.sub(r"[^a-z0-9]+", "_", dose.what.casefold()).strip("_")
    return replace(dose.each, key=f"dose_{name}_{dose.unit.casefold()}")


def end_figures(one: NutrientOutlook, weeks: int) -> tuple[Figure, Figure]:
    """Return a nutrient after the last week: as things go on, and with the doses advised."""
    ahead = f"{one.name} in {weeks} weeks" if weeks > 1 else f"{one.name} in a week"
    return (
        _end(one, one.as_now, f"{one.key}_end_mg_l", f"{ahead}, as things go on", weeks),
        _end(
            one, one.dosed, f"{one.key}_end_dosed_mg_l", f"{ahead}, with the doses advised", weeks
        ),
    )


def _end(one: NutrientOutlook, band: Band, key: str, label: str, weeks: int) -> Figure:
    ahead = Input("weeks ahead", float(weeks), "1", "asked for")
    mean, low, high = (float(part[-1]) for part in band)
    return replace(
        one.now, key=key, label=label, value=mean, low=low, high=high,
        inputs=(*one.now.inputs, ahead),
    )  # fmt: skip


def limit_figures(balance: Balance) -> Iterator[Figure]:
    """Yield growth, carbon, and how far each thing lets growth go."""
    yield balance.growth
    yield balance.carbon
    for limit in balance.limits:
        yield from (limit.fullness, limit.chance, limit.gain)


def dose_figures(balance: Balance) -> Iterator[Figure]:
    """Yield the doses, and the water changes they go with."""
    yield from (dose_figure(dose) for dose in balance.plan.doses)
    yield balance.water_change_percent_week


def nutrient_figures(balance: Balance) -> Iterator[Figure]:
    """Yield each nutrient now and ahead, its demand, its week, and the chances."""
    for one in balance.nutrients:
        yield from (one.now, *end_figures(one, balance.weeks), one.demand, *one.week)
        yield from (one.p_short, one.p_over)


def light_figures(balance: Balance) -> Iterator[Figure]:
    """Yield the light there is, more of it, and other hours."""
    yield from filter(None, (balance.light.ppfd, balance.light.daily))
    for step in balance.light_up:
        yield from step_figures(step).values()
    for day in balance.days:
        yield from day_figures(day).values()


def figures_of(balance: Balance) -> tuple[Figure, ...]:
    """Return every figure of a balance, in the order in which they are told."""
    parts = (limit_figures, dose_figures, nutrient_figures, light_figures)
    return tuple(figure for part in parts for figure in part(balance))
