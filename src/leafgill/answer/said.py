"""A counsel in words: each function gives lines that a screen lays out."""

from __future__ import annotations

from datetime import timedelta

from leafgill.advise.situation import STALE_H
from leafgill.advise.step import Reason
from leafgill.advise.words import rate_text
from leafgill.answer import figures
from leafgill.answer.counsel import Counsel
from leafgill.diary import check_future
from leafgill.diary.finding import Finding

_DOES = {
    "raise": "Raise the gas",
    "lower": "Lower the gas",
    "hold": "Leave the gas as it is",
    "hours": "Move the gas hours, leave the valve",
    "leave": "Leave it alone",
    "measure": "Measure before anything is changed",
    "first setting": "Set the gas for the first time",
    "emergency": "Shut the gas now",
}
# What is worth knowing beside a step, by what it is about.
_BESIDE = {
    "hours": "Gas hours would do",
    "surface": "Surface",
    "water change": "Water change",
    "leave": "Until then",
}
# Said under every counsel, whatever it is.
ALWAYS = (
    "Fish gasping at the surface or lying on their side: shut the gas at once and move the "
    "surface; the figures come later.",
    "CO2 gathers in a closed room: keep it ventilated, and the cylinder upright and secured.",
)
_TELLING = 0.005


def where_it_stands(counsel: Counsel) -> list[str]:
    """Say what the water has now, against what the animals stand; the first line is the CO2."""
    belief, now, limits = counsel.belief, counsel.now, counsel.limits
    return [
        f"CO2 {figures.interval(belief.co2(now))}",
        against_limit(limits.co2_mg_l, limits.target_mg_l, belief.co2_max(now).high),
        f"Oxygen {figures.interval(belief.o2(now))}; {figures.interval(belief.ph(now), 'pH')}.",
    ]


def against_limit(limit_mg_l: float, target_mg_l: float, worst_mg_l: float) -> str:
    """Say limit and aim, and what CO2 may be now where it is highest [mg/L]."""
    return (
        f"The animals' limit is {limit_mg_l:.3g} mg/L, the aim {target_mg_l:.3g}. "
        f"In the worst place it may be {figures.level(worst_mg_l)} now."
    )


def what_to_do(counsel: Counsel) -> str:
    """Say the step in one line."""
    step = counsel.step
    does = _DOES.get(step.action, step.action.capitalize())
    if step.rate == 0.0 and step.action == "lower":
        return "Shut the gas"
    if step.action == "hours":
        return f"{does}: {step.schedule}"
    if step.rate:
        does += f": {rate_text(step.rate)}"
        if step.rate >= 1.0:  # below, the words say it themselves
            does += f" ({10.0 * step.rate:.3g} in 10 s)"
    return does


def what_follows(counsel: Counsel) -> list[tuple[str, str]]:
    """Return (label, words) of what belongs to the step: when, hours, the next look, what then."""
    step, now = counsel.step, counsel.now
    rows = []
    if step.act_at is not None and step.act_at > now:
        rows.append(("When", figures.moment(step.act_at, now)))
    if step.schedule and step.action != "hours":
        rows.append(("Gas hours", step.schedule))
    if step.air:
        rows.append(("Only with", f"air {step.air}, every night"))
    if step.look_at is not None:
        rows.append(("Look again", figures.moment(step.look_at, now)))
    if step.measure:
        rows.append(("Read then", step.measure))
    rows.append(("Expect", _expected(counsel)))
    rows.append(("Close back", step.close_back_if))
    rows += [(_BESIDE[note.about], note.text) for note in step.beside]
    # how a reading is taken is told further down
    if step.later and not any(reading.how in step.later for reading in counsel.readings):
        rows.append(("After that", step.later))
    return [(label, sentence(words)) for label, words in rows]


def _expected(counsel: Counsel) -> str:
    expect = counsel.step.expect
    parts = []
    if expect.ph is not None:
        parts.append(f"{figures.interval(expect.ph, 'pH')} by the {_INSTRUMENT[expect.instrument]}")
    if expect.colour:
        parts.append(f"drop checker {' or '.join(expect.colour)}")
    parts.append(f"CO2 {figures.interval(expect.co2)}")
    return "; ".join(parts)


_INSTRUMENT = {"probe": "electrode", "hand": "hand test"}


def day_ahead(counsel: Counsel) -> list[tuple[str, str, str]]:
    """Return rows of (what, as it is set, with the step); the last is "" where nothing changes."""
    plans = [counsel.as_set] + ([] if counsel.stepped is None else [counsel.stepped])
    limit, least = counsel.limits.co2_mg_l, counsel.limits.o2_min_mg_l
    rows = [
        ("Highest CO2 anywhere", [figures.interval(a.peak) for a in plans]),
        ("  about", [figures.moment(a.peak_at, counsel.now) for a in plans]),
        (f"  chance of over {limit:.3g} mg/L", [figures.chance(a.p_over_limit) for a in plans]),
        ("Lowest oxygen", [figures.interval(a.o2_min) for a in plans]),
        ("  about", [figures.moment(a.o2_min_at, counsel.now) for a in plans]),
        (f"  chance of under {least:.3g} mg/L", [figures.chance(a.p_low_o2) for a in plans]),
    ]
    return [(what, said[0], said[1] if len(said) > 1 else "") for what, said in rows]


def why(counsel: Counsel) -> list[tuple[str, list[Reason]]]:
    """Return (title, reasons): those that hold, and those that stand against going further."""
    reasons, action = counsel.step.reasons, counsel.step.action
    if action == "emergency":
        return [("Why", sorted(reasons, key=lambda reason: reason.passed))]
    against = "Why not more" if action in ("raise", "first setting", "lower") else "Why not now"
    return [
        ("Why", [reason for reason in reasons if reason.passed]),
        (against, [reason for reason in reasons if not reason.passed]),
    ]


def what_would_help(counsel: Counsel, most: int = 3) -> list[str]:
    """Return the readings that would narrow the belief most, the best first; none in distress."""
    if urgent(counsel):
        return []
    return [
        sentence(
            f"{reading.what}: would make the CO2 interval about {100.0 * reading.narrows_by:.0f} % "
            f"narrower. {reading.how}"
        )
        for reading in counsel.readings[:most]
        if reading.narrows_by >= _TELLING
    ]


def what_does_not_fit(counsel: Counsel) -> list[str]:
    """Return the readings that no tank of the belief explains."""
    return [misfit.message for misfit in counsel.belief.misfits]


def urgent(counsel: Counsel) -> bool:
    """Return whether what the step cautions of has to be done before anything is read."""
    return counsel.step.action == "emergency"


def step_cautions(counsel: Counsel) -> list[str]:
    """Return what belongs to the step itself."""
    return [sentence(text) for text in counsel.step.cautions]


def cautions(counsel: Counsel) -> list[str]:
    """Return the step's own cautions, then those that always hold."""
    return [*step_cautions(counsel), *ALWAYS]


def findings(counsel: Counsel) -> list[str]:
    """Return what was noticed in the files and assumed for want of more, in one line each."""
    later = check_future(counsel.diary, counsel.now)
    told = {finding.message for finding in later} | set(counsel.step.cautions)
    noticed = [str(finding) for finding in counsel.diary.findings if finding not in later]
    assumed = [sentence(text) for text in counsel.belief.findings if text not in told]
    found = [*_old(counsel), *counsel.tank.findings, *noticed, *assumed]
    if later:
        found.append(_later(later))
    return list(dict.fromkeys(found))


def _old(counsel: Counsel) -> list[str]:
    """Say so when nothing was written down for longer than a reading is good for."""
    seen = counsel.diary.until(counsel.now)
    times = [entry.time for entry in seen.entries[-1:]]
    times += [stream.time(-1) for stream in seen.streams.values() if len(stream)]
    if not times:
        return ["Nothing is written in the diary yet; everything rests on what tanks are usually."]
    age = counsel.now - max(times)
    if age <= timedelta(hours=STALE_H):
        return []
    days = max(round(age / timedelta(days=1)), 2)
    return [f"The newest reading is {days} days old; what is said of today is a guess from then."]


def _later(later: list[Finding]) -> str:
    if len(later) == 1:
        return str(later[0])
    lines = sorted({finding.line for finding in later if finding.line is not None})
    where = f" (from line {lines[0]} of the diary on)" if lines else ""
    return f"{len(later)} things are later than now{where}; not used until then"


def sentence(text: str) -> str:
    """Return words with a capital in front, unless the first word is one like pH."""
    return text if text[:2] == "pH" else text[:1].upper() + text[1:]
