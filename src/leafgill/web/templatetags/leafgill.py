"""Tags and filters of the pages: figures as the keeper writes them, where a page stands."""

from __future__ import annotations

from typing import Any

from django import template
from django.template.context import Context

from leafgill.web.forms.habits import Habits
from leafgill.web.page_figures import interval_of, level_of

register = template.Library()


def habits_in(context: Context) -> Habits:
    """Return how whoever reads the page writes numbers; the usual way for nobody known."""
    user = context.get("user")
    return Habits(getattr(user, "units", "metric"), getattr(user, "decimal", "."))


@register.simple_tag(takes_context=True)
def interval(context: Context, told: Any, unit: str = "mg/L") -> str:
    """Write a belief with its unit and its 90 % interval: "24 mg/L, 20 to 28"."""
    return habits_in(context).text(interval_of(told, unit))


@register.simple_tag(takes_context=True)
def level(context: Context, value: float) -> str:
    """Write mg/L as people say it: "24", below ten "6.3"."""
    return habits_in(context).text(level_of(value))


@register.simple_tag(takes_context=True)
def mine(context: Context, text: object) -> str:
    """Write a text with the decimal sign of its numbers as the keeper has it."""
    return habits_in(context).text(str(text))


@register.simple_tag(takes_context=True)
def here(context: Context, part: str) -> bool:
    """Return whether the page belongs to a part of the tank's pages ("today", "diary" ...)."""
    request = context.get("request")
    found = getattr(request, "resolver_match", None)
    name = "" if found is None else (found.url_name or "")
    return part_of(name) == part


# Pages whose address is not called after the part they belong to.
_PART_OF = {
    "files": "diary",
    "import": "diary",
    "export": "diary",
    "report": "diary",
    "sensors": "diary",
    "sensor": "diary",
    "token": "diary",
    "topic": "diary",
    "people": "about",
    "card": "about",
    "invite": "about",
    "charts": "today",
    "alerts": "today",
    "alert": "today",
    "bottles": "water",
    "trouble": "care",
}


def part_of(url_name: str) -> str:
    """Return the part of the tank's pages that an address belongs to, "" for none."""
    first = url_name.split("_", 1)[0]
    return _PART_OF.get(first, first)


@register.simple_tag
def item(table: dict[str, Any], key: str) -> Any:
    """Return what stands under a key of a table."""
    return table[key]


@register.inclusion_tag("web/partials/opens.html", takes_context=True)
def opens(context: Context, figure: dict[str, Any]) -> dict[str, Any]:
    """Show a figure that opens to its formula, what went in, and its source."""
    return {"figure": figure, "user": context.get("user")}
