"""A counsel in words: each function gives lines that a screen lays out."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from leafgill.advise.forecast import Forecast
from leafgill.cli import figures
from leafgill.cli.counsel import Counsel
from leafgill.diary import check_future
from leafgill.diary.finding import Finding

_DOES = {
    "raise": "Raise the gas",
    "lower": "Lower the gas",
    "hold": "Leave the gas as it is",
    "measure": "Measure before anything is changed",
    "first setting": "First setting",
    "emergency": "Stop the gas now",
}
# Said under every counsel, whatever it is.
ALWAYS = (
    "Fish gasping at the surface or lying on their side: shut the gas at once and move the "
    "surface; the figures come later.",
    "CO2 gathers in a closed room: keep it ventilated, and the cylinder upright and secured.",
    "This advises; your hand stays on the valve.",
)


def where_it_stands(counsel: Counsel) -> list[str]:
    """Say what the water has now, against what the animals stand."""
    belief, now, limits = counsel.belief, counsel.now, counsel.limits
    worst = belief.co2_max(now)
    return [
        f"CO2 {figures.interval(belief.co2(now))}",
        f"Limit {limits.co2_mg_l:.3g} mg/L for the animals, aim {limits.target_mg_l:.3g} mg/L; "
        f"in the worst place it may be {figures.level(worst.high)} mg/L now.",
        f"Oxygen {figures.interval(belief.o2(now))}; {figures.interval(belief.ph(now), 'pH')}.",
    ]


def what_to_do(counsel: Counsel) -> str:
    """Say the step in one line."""
    step = counsel.step
    does = _DOES.get(step.action, step.action.capitalize())
    if step.rate is not None and step.action in ("raise", "lower", "first setting"):
        does += f" to {rate(step.rate)}"
    return does


def rate(value: float) -> str:
    """Return a bubble rate as it is counted: "1.5 bubbles a second (15 in 10 s)"."""
    return f"{value:.3g} bubbles a second ({10.0 * value:.0f} in 10 s)"


def what_follows(counsel: Counsel) -> list[tuple[str, str]]:
    """Return (label, words) of what belongs to the step: hours, the next look, what to expect."""
    step, now = counsel.step, counsel.now
    rows = []
    if step.schedule:
        rows.append(("Hours", step.schedule))
    if step.look_at is not None:
        rows.append(("Look again", figures.moment(step.look_at, now)))
    if step.measure:
        rows.append(("Read then", step.measure))
    expected = _expected(counsel)
    if expected:
        rows.append(("Expect", expected))
    if step.close_back_if:
        rows.append(("Close back", step.close_back_if))
    return rows


def _expected(counsel: Counsel) -> str:
    expect = counsel.step.expect
    parts = []
    if expect.ph is not None:
        parts.append(figures.interval(expect.ph, "pH"))
    if expect.colour:
        parts.append(f"drop checker {' or '.join(expect.colour)}")
    parts.append(f"CO2 {figures.interval(expect.co2)}")
    return "; ".join(parts)


def day_ahead(counsel: Counsel) -> list[tuple[str, str, str]]:
    """Return rows of (what, as it is set, with the step); the last is "" where nothing changes."""
    plans = [counsel.as_set] + ([] if counsel.stepped is None else [counsel.stepped])
    limit, least = counsel.limits.co2_mg_l, counsel.limits.o2_min_mg_l
    rows = [
        ("Highest CO2 anywhere", [_peak(counsel, f) for f in plans]),
        (f"  chance of over {limit:.3g} mg/L", [figures.chance(f.p_over_limit) for f in plans]),
        ("Lowest oxygen", [_least(counsel, f) for f in plans]),
        (f"  chance of under {least:.3g} mg/L", [figures.chance(f.p_low_o2) for f in plans]),
    ]
    return [(what, said[0], said[1] if len(said) > 1 else "") for what, said in rows]


def _peak(counsel: Counsel, ahead: Forecast) -> str:
    return (
        f"{figures.interval(ahead.peak)}, {_when(counsel, ahead, int(ahead.co2_max.mean.argmax()))}"
    )


def _least(counsel: Counsel, ahead: Forecast) -> str:
    return f"{figures.interval(ahead.o2_min)}, {_when(counsel, ahead, int(ahead.o2.mean.argmin()))}"


def _when(counsel: Counsel, ahead: Forecast, at: int) -> str:
    when = datetime.fromtimestamp(float(ahead.times_s[at]), counsel.now.tzinfo)
    return figures.moment(when, counsel.now)


def why(counsel: Counsel) -> list[tuple[bool, str, str]]:
    """Return (passed, what was held, "figure comparison limit") of each reason."""
    return [
        (reason.passed, reason.text, f"{_number(reason.figure)} {reason.comparison} "
         f"{_number(reason.limit)}")
        for reason in counsel.step.reasons
    ]  # fmt: skip


def _number(value: object) -> str:
    if isinstance(value, float | int) and not isinstance(value, bool):
        return f"{value:.3g}" if np.isfinite(value) else "unknown"
    return str(value)


def what_would_help(counsel: Counsel, most: int = 3) -> list[str]:
    """Return the readings that would narrow the belief most, the best first."""
    return [
        f"{reading.what}: would make the CO2 interval about {100.0 * reading.narrows_by:.0f} % "
        f"narrower. {reading.how}"
        for reading in counsel.readings[:most]
        if reading.narrows_by >= 0.005
    ]


def what_does_not_fit(counsel: Counsel) -> list[str]:
    """Return the readings that no tank of the belief explains."""
    return [misfit.message for misfit in counsel.belief.misfits]


def cautions(counsel: Counsel) -> list[str]:
    """Return the step's own cautions, then those that always hold."""
    return [*counsel.step.cautions, *ALWAYS]


def findings(counsel: Counsel) -> list[str]:
    """Return what was noticed in the files and assumed for want of more, in one line each."""
    later = check_future(counsel.diary, counsel.now)
    known = {finding.message for finding in later}
    noticed = [str(finding) for finding in counsel.diary.findings if finding not in later]
    assumed = [text for text in counsel.belief.findings if text not in known]
    found = [*counsel.tank.findings, *noticed, *assumed]
    if later:
        found.append(_later(later))
    return list(dict.fromkeys(found))


def _later(later: list[Finding]) -> str:
    if len(later) == 1:
        return str(later[0])
    lines = sorted({finding.line for finding in later if finding.line is not None})
    where = f" (from line {lines[0]} on)" if lines else ""
    return f"{len(later)} entries are later than now{where}; not used until then"
