"""Trouble: from what is seen to its causes, ranked by evidence in this tank's own record."""

from leafgill.advise.trouble.clue import Clue
from leafgill.advise.trouble.rank import CAUSES, OTHER, Ground, Suspect, Trouble, rank
from leafgill.advise.trouble.symptoms import GROUPS, SYMPTOMS, Symptom, symptom_of
from leafgill.advise.trouble.trouble import clues_of, trouble_of

__all__ = [
    "CAUSES",
    "GROUPS",
    "OTHER",
    "SYMPTOMS",
    "Clue",
    "Ground",
    "Suspect",
    "Symptom",
    "Trouble",
    "clues_of",
    "rank",
    "symptom_of",
    "trouble_of",
]
