"""The one call of trouble: a tank's record to its clues, and a symptom to its causes."""

from __future__ import annotations

from datetime import datetime

from leafgill.advise.balance.result import Balance
from leafgill.advise.care.job import CarePlan
from leafgill.advise.trouble.clue import Clue
from leafgill.advise.trouble.clues_food import food_clues
from leafgill.advise.trouble.clues_gas import gas_clues
from leafgill.advise.trouble.clues_habit import habit_clues
from leafgill.advise.trouble.clues_rig import rig_clues
from leafgill.advise.trouble.rank import Trouble, rank
from leafgill.advise.trouble.record import record_of
from leafgill.advise.trouble.symptoms import Symptom, symptom_of
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.tank.spec import Tank


def clues_of(
    tank: Tank,
    diary: Diary,
    belief: Belief,
    now: datetime,
    balance: Balance | None = None,
    care: CarePlan | None = None,
) -> dict[str, Clue]:
    """Return every clue of a tank's record at `now`, by its key.

    `balance` tells which nutrients hold growth back where it is known, `care` the work on the
    tank where that was worked out before.
    """
    record = record_of(tank, diary, belief, now, balance)
    found = (*gas_clues(record), *rig_clues(record, care), *food_clues(record),
             *habit_clues(record))  # fmt: skip
    return {clue.key: clue for clue in found}


def trouble_of(
    tank: Tank,
    diary: Diary,
    belief: Belief,
    now: datetime,
    symptom: str | Symptom,
    balance: Balance | None = None,
) -> Trouble:
    """Return the causes of what is seen, ranked by the tank's record.

    Raises InputError for a symptom that is not known.
    """
    seen = symptom_of(symptom) if isinstance(symptom, str) else symptom
    return rank(seen, clues_of(tank, diary, belief, now, balance))
