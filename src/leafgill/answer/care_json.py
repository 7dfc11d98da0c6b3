"""Care as JSON: what the screen shows, for programs and pages."""

from __future__ import annotations

from typing import Any

from leafgill.advise.care.job import CarePlan, Job
from leafgill.answer import care_said as said
from leafgill.answer.explain import figure_ref, figures_json


def as_json(plan: CarePlan) -> dict[str, Any]:
    """Return the work on a tank as plain data; each figure's key stands in `figures`."""
    return {
        "now": plan.now,
        "said": said.headline(plan),
        "jobs": [_job(job, plan) for job in plan.jobs],
        "figures": figures_json(plan.figures),
    }


def _job(job: Job, plan: CarePlan) -> dict[str, Any]:
    return {
        "key": job.key,
        "what": job.what,
        "why": job.why,
        "how": job.how,
        "every_days": figure_ref(job.every),
        "days": job.days,
        "every": said.every(job),
        "basis": job.basis,
        "sure": job.sure,
        "grounds": said.grounds(job),
        "last_done": job.last_done,
        "due": {
            "at": job.due.at,
            "earliest": job.earliest,
            "latest": job.latest,
            "state": str(job.due.state),
            "words": said.due_words(job),
        },
        "when": said.when(job, plan),
        "called_for": job.called,
        "told": [figure_ref(figure) for figure in job.told],
        "told_words": said.told(job),
    }
