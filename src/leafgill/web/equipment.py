"""The rig page's content as plain data: what the worker works out, and a page lays out."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from leafgill.advise.commission import Commission
from leafgill.advise.rig.plan import plan_rig
from leafgill.advise.supply import supply
from leafgill.advise.supply.supply import WEIGHED
from leafgill.answer import commission_said, rig_notes, rig_said, rig_tables, supply_said
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.tank.spec import Tank
from leafgill.web.page_words import page_words
from leafgill.web.sections import figures_told, full, lines, pairs, table


def rig_part(tank: Tank, belief: Belief) -> dict[str, Any]:
    """Return the rig for a tank, from what is believed of it."""
    plan = plan_rig(tank, belief)
    vessel = tank.rig.source in ("cylinder", "cartridge")
    end = f"When the {tank.rig.source} runs out and nobody looks"
    sections = [
        pairs("What to get", rig_said.to_buy(plan)),
        table("Cylinders", rig_tables.CYLINDERS, rig_tables.cylinders(plan),
               rig_notes.about_cylinders(plan)),
        table("Bringing the gas into the water", rig_tables.WAYS, rig_tables.ways(plan),
               rig_notes.about_ways(plan)),
        *([table(end, rig_tables.ENDS, rig_tables.ends(plan), rig_notes.about_ends(plan))]
          if vessel else []),
        lines("From the gas to the water", rig_said.in_order(plan), ordered=True),
        pairs("Setting it", rig_said.setting(plan)),
        table("Parts and what they cost", rig_tables.PARTS, rig_tables.parts(plan),
               rig_notes.about_prices(plan)),
        table("Other sources of gas: what they take", rig_tables.SOURCES,
               rig_tables.sources(plan), rig_notes.about_sources(plan)),
        table("Other sources of gas: what they do to the day, mg/L", rig_tables.DAYS,
               rig_tables.days(plan), rig_notes.about_days(plan)),
        lines("Noticed", rig_said.noticed(plan)),
    ]  # fmt: skip
    return {
        "headline": page_words(rig_said.headline(plan)),
        "lines": [page_words(line) for line in rig_said.about_gas(plan)],
        "sections": full(sections),
        "cautions": [page_words(line) for line in plan.cautions],
        "figures": figures_told(plan.figures),
    }


def supply_part(tank: Tank, diary: Diary, now: datetime) -> dict[str, Any] | None:
    """Return what is left of the gas, None for a source that is not weighed."""
    if tank.rig.source not in WEIGHED:
        return None
    told = supply_said.Told(supply(tank, diary, now))
    first, order, *rest = supply_said.headline(told)
    order_by = supply_said.day_of(told.supply, told.supply.change_days.low)
    sections = [
        table("What is left", ("", "gas left", "gas for"), supply_said.by_source(told)),
        lines("Does not fit", supply_said.disagreements(told)),
        lines("Is there a leak", supply_said.leak(told)),
        lines("The end of the cylinder", supply_said.end(told)),
        table(
            "The day, as it is set and at the end",
            ("a day", "gas, times", "highest CO2", supply_said.limit_title(told.supply)),
            supply_said.end_table(told),
        ),
        lines("A reading that would help", supply_said.what_would_help(told)),
        lines("Taken for granted", supply_said.assumed(told)),
    ]
    return {
        "headline": page_words(first),
        "order": page_words(order),
        "order_by": order_by.isoformat(timespec="seconds"),
        "lines": [page_words(line) for line in rest],
        "sections": full(sections),
        "cautions": [page_words(line) for line in told.supply.cautions],
        "figures": figures_told(told.figures),
    }


def commission_part(commission: Commission) -> dict[str, Any]:
    """Return the checklist of a rig, and what a pressure hold says where there was one."""
    test = commission.hold
    return {
        "headline": page_words(commission_said.title(commission)),
        "items": [
            {"title": page_words(item.title), "text": page_words(item.text)}
            for item in commission.items
        ],
        "assumed": [page_words(line) for line in commission_said.assumed(commission)],
        "cautions": [page_words(line) for line in commission.cautions],
        "figures": figures_told(commission.figures),
        "hold": None
        if test is None
        else {
            "verdict": page_words(commission_said.verdict(test)),
            "found": test.verdict,
            "lines": [page_words(line) for line in commission_said.hold_lines(test)],
        },
    }
