"""When the diary says that a job was done, and when something was found wanting."""

from __future__ import annotations

import re
from datetime import datetime

from leafgill.diary import Diary, Entry, Kind
from leafgill.diary.words import plain

# Words that stand beside work that was not done, or is only meant to be.
_NOT = re.compile(
    r"\b(?:not|no|never|should|must|need|needs|tomorrow|soon|next|todo|to do|forgot)\b"
)
_CLEAN = r"(?:clean\w*|rins\w*|scrub\w*|bleach\w*|soak\w*|wip\w*)"
_RENEW = r"(?:replac\w*|renew\w*|chang\w*|swap\w*|exchang\w*|new|fresh|afresh)"
_FILL = r"(?:re-?fill\w*|fill\w*|top\w*)"
_LOOK = r"(?:look\w*|check(?:ed|ing)?|inspect\w*|test\w*|seen)"

# (the thing, what was done with it) of each job; both must stand in one entry.
_DONE: dict[str, tuple[str, str]] = {
    "diffuser": (r"(?:diffus[eo]r|disc|ceramic|reactor)", rf"(?:{_CLEAN}|{_RENEW})"),
    "counter": (r"(?:bubble )?counter", rf"(?:{_FILL}|{_RENEW}|{_CLEAN})"),
    "checker": (r"(?:drop ?)checker", rf"(?:{_FILL}|{_RENEW}|{_CLEAN})"),
    "electrode": (r"(?:electrode|probe)", r"calibrat\w*"),
    "check_valve": (r"check ?valve", rf"(?:{_LOOK}|{_RENEW})"),
    "hose": (r"(?:hose|tubing|tube)", rf"(?:{_LOOK}|{_RENEW})"),
    "leak": (r"(?:leak|soap\w*)", r"(?:test\w*|brush\w*|soap\w*|search\w*)"),
    "stamp": (r"(?:test date|stamp\w*|inspection)", r"."),
    "filter": (r"(?:filter|canister)", _CLEAN),
    "weigh": (r"cylinder", r"weigh\w*"),
    "water_change": (r"water", r"chang\w*"),
    "kh": (r"(?:carbonate hardness|kh)", r"test\w*"),
    "trim": (r"(?:plants?|stems?)", r"(?:trim\w*|prun\w*|cut)"),
}
# What was found that the work was wanted for.
_WANTING: dict[str, tuple[str, str]] = {
    "counter": (r"(?:bubble )?counter", r"(?:dry|empty|half empty|low|too little)"),
    "checker": (r"(?:drop ?)checker", r"(?:dry|empty|cloudy|pale|faded|spoiled|tank water|stuck)"),
    "check_valve": (r"check ?valve", r"(?:wet|water|leak\w*|stuck|fail\w*|drip\w*)"),
    "hose": (r"(?:hose|tubing|tube)", r"(?:hard\w*|brittle|crack\w*|leak\w*|stiff\w*)"),
    "filter": (r"(?:filter|canister)", r"(?:slow\w*|clogg\w*|blocked)"),
    "diffuser": (r"(?:diffus[eo]r|disc|ceramic)", r"(?:clogg\w*|big bubbles|blocked)"),
}  # fmt: skip
# Kinds of entry that are the job itself.
_KIND_OF = {"water_change": Kind.WATER_CHANGE, "kh": Kind.KH, "weigh": Kind.CYLINDER_MASS,
            "electrode": Kind.CALIBRATION}  # fmt: skip


def done_at(diary: Diary, job: str) -> list[datetime]:
    """Return when a job was done, in order of time; `diary` is localised and of what is known."""
    found = [entry.time for entry in diary.of(_KIND_OF[job])] if job in _KIND_OF else []
    if job in _DONE:
        found += [e.time for e in diary.of(Kind.CARE) if _tells(e, *_DONE[job])]
    return sorted(set(found))


def wanting_at(diary: Diary, job: str) -> list[datetime]:
    """Return when the diary says that what a job looks after was found wanting."""
    if job not in _WANTING:
        return []
    return [e.time for e in diary.of(Kind.CARE, Kind.NOTE) if _tells(e, *_WANTING[job])]


def words_of(entry: Entry) -> str:
    """Return what an entry of words says, value and note, plainly."""
    value = entry.value if isinstance(entry.value, str) else ""
    return plain(f"{value} {entry.note}")


def _tells(entry: Entry, thing: str, deed: str) -> bool:
    """Return whether one of an entry's sentences names a thing and what was done with it."""
    for part in re.split(r"[.;,!]", words_of(entry)):
        if _NOT.search(part):
            continue
        if re.search(rf"\b{thing}\b", part) and re.search(
            rf"\b{deed}\b" if deed != "." else deed, part
        ):
            return True
    return False


def ages(done: list[datetime], at: list[datetime]) -> list[float]:
    """Return how old [days] the work was at moments: those before its first doing are left out."""
    found = []
    for moment in at:
        before = [one for one in done if one < moment]
        if before:
            found.append((moment - before[-1]).total_seconds() / 86400.0)
    return found
