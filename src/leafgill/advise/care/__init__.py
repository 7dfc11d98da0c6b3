"""Care: work that comes round, how often by this tank's own record, and when it is due."""

from leafgill.advise.care.due import Due, State, done_words, due
from leafgill.advise.care.job import CarePlan, Job
from leafgill.advise.care.plan import care_of
from leafgill.advise.care.starters import BASIS, Starter, starters

__all__ = [
    "BASIS",
    "CarePlan",
    "Due",
    "Job",
    "Starter",
    "State",
    "care_of",
    "done_words",
    "due",
    "starters",
]
