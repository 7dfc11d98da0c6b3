"""A balance in words: what holds growth back, what to give, and how each nutrient goes on."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from leafgill.advise.balance.nutrients import NUTRIENTS
from leafgill.advise.balance.result import Balance, Dose, LimitShare, NutrientOutlook
from leafgill.answer.balance_figures import end_figures
from leafgill.answer.explain import amount, bare, within
from leafgill.answer.figures import chance
from leafgill.answer.said import sentence

LIMITS = ("", "lets growth go to, %", "chance to be the least", "growth with it in plenty, % more")
DOSES = ("give", "each time", "how often", "one brings, mg/L")
FLOWS = ("mg/L a week", "plants", "food", "water changes", "doses", "else")
_FLOW_ORDER = ("plants", "food", "tap", "dose", "other")
TESTS = ("test", "showed", "allows, mg/L", "beside the rest")
# Above this nothing holds growth back that is worth a change [%].
_PLENTY = 90.0
_LIKELY, _WORTH_A_WORD = 50.0, 20.0
# A gain that passes this says no more than "much".
_MUCH = 300.0
# What a dose brings is named from here on, in parts of the nutrient's floor.
_NAMED_FROM = 0.01
_CEILING = "; ceiling: "
# What nothing tells of is named where it could be the least with this chance [%].
_COULD = 10.0


def title(balance: Balance) -> str:
    """Return tank and moment: "Hallway tank, Saturday 8 March 2025 12:00"."""
    now = balance.now
    return f"{balance.tank.name}, {now:%A} {now.day} {now:%B %Y %H:%M}"


def headline(balance: Balance) -> list[str]:
    """Say what holds growth back, and how much grows; the first line is the limit."""
    if balance.carbon.value <= 0.0:
        return ["What holds growth back cannot be told: no hours of light are known"]
    return [
        _limit_line(balance),
        f"The plants fix {within(balance.carbon)} of carbon a day; that is "
        f"{within(balance.growth)} of new plant a week, weighed dry.",
    ]


def _limit_line(balance: Balance) -> str:
    first, *others = _contenders(balance)
    usual = "" if first.known else ", by what is usual: nothing of this tank tells"
    if first.fullness.value >= _PLENTY:
        return (
            f"Nothing holds growth back much: {first.name}, the likeliest, lets it go to "
            f"{amount(first.fullness.value, 2)} % of its most{usual}"
        )
    if first.chance.value >= _LIKELY:
        return (
            f"{sentence(first.name)} most likely holds growth back (chance {_percent(first)})"
            f"{_gained(first)}{usual}"
        )
    second = others[0]
    return (
        f"{sentence(first.name)} ({_percent(first)}) or {second.name} ({_percent(second)}) "
        f"holds growth back{usual}"
    )


def _gained(one: LimitShare) -> str:
    if one.gain.value < 1.0:
        return ""
    if one.gain.value > _MUCH:
        return "; with it in plenty there would be several times the growth"
    return f"; with it in plenty growth would be {amount(one.gain.value, 2)} % more"


def _percent(one: LimitShare) -> str:
    return chance(1e-2 * one.chance.value)


def _contenders(balance: Balance) -> list[LimitShare]:
    return [one for one in balance.limits if one.known or one.key in ("light", "carbon")]


def limit_rows(balance: Balance) -> list[tuple[str, str, str, str]]:
    """Return (what, how far growth goes, chance to be the least, gain) of all that can be told."""
    return [
        (
            sentence(one.name) + ("" if one.known else ", as is usual"),
            bare(one.fullness),
            _percent(one),
            _gain_cell(one),
        )
        for one in _contenders(balance)
    ]


def _gain_cell(one: LimitShare) -> str:
    high = one.gain.high if one.gain.high is not None else one.gain.value
    if high <= _MUCH:
        return bare(one.gain)
    value = f"{amount(one.gain.value, 2)}" if one.gain.value <= _MUCH else f"over {_MUCH:.0f}"
    return f"{value}, {amount(one.gain.low or 0.0, 2)} to over {_MUCH:.0f}"


def limit_notes(balance: Balance) -> list[str]:
    """Say which nutrients nothing tells of, and which of them could be the least."""
    untold = [one for one in balance.limits if not one.known and one.key in NUTRIENTS]
    lines = ["Growth goes no further than the least of them lets it (the law of the minimum)."]
    if untold:
        could = [one.name for one in untold if one.chance.value >= _COULD]
        names = _and(one.name for one in untold)
        line = f"No test and no dose tells of {names}; they are left out above."
        if could:
            line += f" By what is usual {_and(could)} could be the least all the same."
        lines.append(line)
    return lines


def doses_line(balance: Balance) -> str:
    """Say the week's doses in one line."""
    doses = balance.plan.doses
    if not doses:
        return "Nothing need be given in the week ahead."
    told = "; ".join(f"{_each(dose)} of {dose.what} {often(dose.a_week)}" for dose in doses)
    if not any(one.known for one in balance.nutrients):
        return f"By what is usual, and no more than a beginning: {told}."
    return f"In the week ahead give {told}."


def _each(dose: Dose) -> str:
    return f"{amount(dose.each.value, 2)} {dose.unit}"


def often(a_week: int) -> str:
    """Return how often: "once a week", "twice a week", "every day"."""
    return {1: "once a week", 2: "twice a week", 7: "every day"}.get(
        a_week, f"{a_week} times a week"
    )


def dose_rows(balance: Balance) -> list[tuple[str, str, str, str]]:
    """Return (what, one dose, how often, what one brings)."""
    return [
        (dose.what, _each(dose), often(dose.a_week), brings(dose)) for dose in balance.plan.doses
    ]


def brings(dose: Dose) -> str:
    """Return what one dose adds: "nitrate 4.5, potassium 2.8"."""
    named = [
        f"{NUTRIENTS[key].name} {amount(mg_l, 2)}"
        for key, mg_l in dose.gives
        if mg_l >= _NAMED_FROM * NUTRIENTS[key].floor_mg_l
    ]
    return ", ".join(named)


def dose_notes(balance: Balance) -> list[str]:
    """Say on what the doses rest, what lacks, and the water changes they go with."""
    changed = balance.water_change_percent_week
    with_water = (
        f"Reckoned with {amount(changed.value, 2)} % of the water changed a week."
        if changed.value > 0.0
        else "Reckoned without water changes: none are known."
    )
    return [*(_stopped(line) for line in balance.plan.reasons), with_water]


def outlook_titles(balance: Balance) -> tuple[str, ...]:
    """Return the titles of the nutrients' table."""
    ahead = f"in {balance.weeks} weeks" if balance.weeks > 1 else "in a week"
    return ("mg/L", "now", "to stay between", "plants take a week", f"{ahead}, as things go on",
            f"{ahead}, with the doses")  # fmt: skip


def outlook_rows(balance: Balance, *, traces: bool = False) -> list[tuple[str, ...]]:
    """Return a row a nutrient: now, floor and ceiling, demand, and both outlooks.

    Traces that nothing tells of stand apart, with `traces`.
    """
    return [_outlook_row(balance, one) for one in balance.nutrients if _apart(one) == traces]


def _apart(one: NutrientOutlook) -> bool:
    return one.trace and not one.known


def _outlook_row(balance: Balance, one: NutrientOutlook) -> tuple[str, ...]:
    end, dosed = end_figures(one, balance.weeks)
    return (
        sentence(one.name),
        bare(one.now),
        f"{one.target.floor_mg_l:g} and {one.target.ceiling_mg_l:g}",
        bare(one.demand),
        bare(end),
        bare(dosed),
    )


def outlook_lines(balance: Balance, *, traces: bool = False) -> list[str]:
    """Say of each nutrient how it goes on as things are."""
    return [
        f"{sentence(one.name)}: {outlook_words(one, balance.now)}."
        for one in balance.nutrients
        if _apart(one) == traces
    ]


def outlook_words(one: NutrientOutlook, now: datetime) -> str:
    """Say in a few words how a nutrient goes on as things are."""
    words = []
    if one.p_short.value >= _WORTH_A_WORD:
        short = _short(one, now)
        words.append(f"{short} (chance {chance(1e-2 * one.p_short.value)})")
    if one.p_over.value >= _WORTH_A_WORD:
        much = "likely too much" if one.p_over.value >= _LIKELY else "may become too much"
        words.append(f"{much} (chance {chance(1e-2 * one.p_over.value)})")
    told = ", ".join(words) or "stays between"
    return told if one.known else f"nothing tells; by what is usual {told}"


def _short(one: NutrientOutlook, now: datetime) -> str:
    if one.short_from_s is None:
        return "may run short"
    at = datetime.fromtimestamp(one.short_from_s, now.tzinfo)
    return "likely short now" if at <= now else f"likely short from {at.day} {at:%B}"


def flow_rows(balance: Balance) -> list[tuple[str, ...]]:
    """Return what comes (and goes, with a minus) of each nutrient in a week, as things go on."""
    rows = []
    for one in balance.nutrients:
        if _apart(one):
            continue
        flows = {figure.key.split("_")[1]: figure for figure in one.week}
        cells = (amount(flows[name].value, 2).replace("-", "\u2212") for name in _FLOW_ORDER)
        rows.append((sentence(one.name), *cells))
    return rows


def test_rows(balance: Balance) -> list[tuple[str, str, str, str]]:
    """Return (test and day, what it showed, what that allows, whether it fits), newest first."""
    tests = [(test, one.name) for one in balance.nutrients for test in one.tests]
    rows = []
    for test, name in sorted(tests, key=lambda pair: -pair[0].time_s):
        at = datetime.fromtimestamp(test.time_s, balance.now.tzinfo)
        allows = f"{amount(test.low_mg_l, 2)} to {amount(test.high_mg_l, 2)}"
        fits = "fits" if test.fits else "does not fit: test again"
        rows.append((f"{sentence(name)}, {at.day} {at:%B}", test.shown, allows, fits))
    return rows


def target_lines(balance: Balance) -> list[str]:
    """Say on what grounds each nutrient is kept where it is; one line for equal grounds."""
    grounds: dict[tuple[str, str], list[str]] = {}
    for one in balance.nutrients:
        if _apart(one):
            continue
        floor, _, ceiling = one.target.basis.partition(_CEILING)
        for side, level, basis in (
            ("floor", one.target.floor_mg_l, floor.removeprefix("floor: ")),
            ("ceiling", one.target.ceiling_mg_l, ceiling),
        ):
            grounds.setdefault((side, basis), []).append(f"{one.name} {level:g}")
    # floors first
    ordered = sorted(grounds.items(), key=lambda item: item[0][0], reverse=True)
    return [f"{sentence(side)} of {_and(names)} mg/L: {basis}." for (side, basis), names in ordered]


def cautions(balance: Balance) -> list[str]:
    """Return what to mind, a sentence each."""
    return [_stopped(line) for line in balance.cautions]


def assumed(balance: Balance) -> list[str]:
    """Return what was taken for granted, a sentence each."""
    return [*(_stopped(line) for line in balance.assumed), *balance.tank.findings]


def _stopped(line: str) -> str:
    return sentence(line) + ("" if line.endswith((".", "?")) else ".")


def _and(names: Iterable[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last
