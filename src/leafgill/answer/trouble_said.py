"""Trouble in words: each function gives lines that a screen lays out."""

from __future__ import annotations

from leafgill.advise.trouble.rank import OTHER, Ground, Suspect, Trouble
from leafgill.advise.trouble.symptoms import GROUPS, SYMPTOMS
from leafgill.answer.figures import chance
from leafgill.answer.said import sentence

# A factor nearer to 1 than this is said to tell nothing.
_TELLS = 1.2
HOW_RANKED = (
    "Each cause begins with how often it is behind that sight (common practice, no source). Each "
    "thing the record tells then makes it likelier or less, by a factor that is a choice of ours "
    "on common practice; chances come from the belief's draws. The range is what is left if those "
    "factors are half or once more as telling."
)
ACT_FIRST = (
    "Animals in distress come first: shut the gas and move the surface now; look for the cause "
    "after."
)
ANIMALS_ARE_RIGHT = (
    "Animals are right, whatever the figures say: a belief can be wrong. Leave the gas shut until "
    "the cause is found."
)


def headline(trouble: Trouble) -> str:
    """Say what the record tells of the cause."""
    first = trouble.first
    named = f"{first.cause.name[:1].lower()}{first.cause.name[1:]}"
    if trouble.verdict == "known":
        return f"Most likely: {named} ({share(first)})."
    if trouble.verdict == "not known":
        return "Not known: the record tells nothing of these causes."
    if first.cause is OTHER:
        return "Not known: the record speaks against the causes that are usual for it."
    return f"Not known for sure: the record does not tell the causes apart. First: {named}."


def share(suspect: Suspect) -> str:
    """Return a cause's share with its range: "72 %, 39 to 90"."""
    low, middle, high = (round(100.0 * part) for part in (suspect.low, suspect.share, suspect.high))
    ends = "" if low == high else f", {low} to {high}"
    return f"{middle} %{ends}"


def against_usual(suspect: Suspect) -> str:
    """Say what the share is without this tank's record."""
    return f"usually {100.0 * suspect.usual:.0f} %"


def grounds(suspect: Suspect) -> list[str]:
    """Return what the record says for and against a cause, the most telling first."""
    return [_ground(ground) for ground in suspect.grounds]


def _ground(ground: Ground) -> str:
    clue, factor = ground.clue, ground.factor
    assert clue.chance is not None, "only known clues are grounds"
    if clue.chance in (0.0, 1.0):
        holds = "yes" if clue.chance == 1.0 else "no"
    else:
        holds = f"chance {chance(clue.chance)}"
    return f"{sentence(clue.says)}: {holds}; {_speaks(factor)}."


def _speaks(factor: float) -> str:
    if 1.0 / _TELLS < factor < _TELLS:
        return "tells next to nothing"
    if factor > 1.0:
        return f"speaks for it ({_times(factor)} as likely)"
    return f"speaks against it ({_times(1.0 / factor)} less likely)"


def _times(factor: float) -> str:
    return f"{factor:.1f} times" if factor < 9.5 else f"{factor:.0f} times"


def not_told(suspect: Suspect) -> list[str]:
    """Return what the record does not tell of a cause, with what would."""
    return [
        f"Not known whether {clue.says}. To know it: {clue.ask}."
        for clue in suspect.unknown
        if clue.ask
    ]


def stopped(text: str) -> str:
    """Return a sentence with a capital in front, ended by a full stop unless it asks."""
    return sentence(text if text.endswith(("?", ".")) else f"{text}.")


def would_tell(trouble: Trouble) -> list[str]:
    """Return what would tell most, the most useful first."""
    return [f"{sentence(ask)}." for ask in trouble.ask]


def symptoms_by_group() -> list[tuple[str, list[tuple[str, str, str]]]]:
    """Return (group, its symptoms as (key, name, looks)) for whoever has to choose."""
    return [
        (title, [(s.key, s.name, s.looks) for s in SYMPTOMS.values() if s.group == group])
        for group, title in GROUPS.items()
    ]
