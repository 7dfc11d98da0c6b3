"""Care on a terminal: what is due first, with its grounds, then the rest in short."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from leafgill.advise.care.job import CarePlan, Job
from leafgill.answer import care_said as said
from leafgill.answer.said import sentence
from leafgill.cli.console import screen
from leafgill.cli.explain import print_figures
from leafgill.cli.lists import heading

_INDENT = (0, 0, 0, 2)


def show(name: str, plan: CarePlan, explain: bool) -> None:
    """Print the work; with `explain` also how each figure was worked out."""
    console = screen()
    console.print(Text(f"{name}, {plan.now:%A} {plan.now.day} {plan.now:%B %Y %H:%M}", style="dim"))
    console.print(Text(said.headline(plan), style="bold"))
    due = [job for job in plan.jobs if said.urgent(job)]
    if due:
        heading(console, "Due")
        for job in due:
            _job(console, job, plan, long=True)
    heading(console, "The rest" if due else "The work")
    for job in plan.jobs:
        if not said.urgent(job):
            _job(console, job, plan, long=False)
    if explain:
        print_figures(console, plan.figures)


def _job(console: Console, job: Job, plan: CarePlan, *, long: bool) -> None:
    console.print(Text.assemble((job.what, "bold"), f": {said.due_words(job)}."))
    lines = [f"{sentence(said.every(job))}. {said.grounds(job)}", said.when(job, plan)]
    lines += [f"{line}." for line in said.told(job)]
    if long:
        lines += [job.why, f"{sentence(job.how)}."]
    for line in lines:
        console.print(Padding(Text(line, style="" if long else "dim"), _INDENT))
