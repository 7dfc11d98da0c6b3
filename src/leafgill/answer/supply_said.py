"""A supply in words: each function gives lines that a screen lays out."""

from __future__ import annotations

from datetime import datetime, timedelta

from leafgill.advise.figure import Figure
from leafgill.advise.supply import Supply
from leafgill.advise.supply.figures import name_of, supply_figures
from leafgill.advise.supply.stock import MOST_DAYS
from leafgill.answer.explain import amount, shown
from leafgill.answer.figures import chance
from leafgill.answer.said import sentence
from leafgill.tank.limits import limits_of

_YEAR = 365.0
_ORDER_SOON_DAYS = 14.0
# Above this part of the last liquid's mass the fall is hard to tell from a cold day.
_AT_ONCE = 0.75


class Told:
    """A supply with its figures by key, so that each number said is one that opens."""

    def __init__(self, supply: Supply) -> None:
        self.supply = supply
        self.figures = supply_figures(supply)
        self._by_key = {figure.key: figure for figure in self.figures}

    def of(self, key: str) -> Figure:
        """Return the figure of a key. Raises KeyError where there is none."""
        return self._by_key[key]

    def get(self, key: str) -> Figure | None:
        """Return the figure of a key, None where there is none."""
        return self._by_key.get(key)

    def shown(self, key: str) -> str:
        """Return a figure as it is read, with unit and interval: "1.2 kg, 0.3 to 1.9"."""
        return shown(self.of(key))

    def within(self, key: str) -> str:
        """Return a figure as it stands in a sentence: "1.2 kg (0.3 to 1.9)"."""
        return within(self.shown(key))


def day_of(supply: Supply, days: float) -> datetime:
    """Return the moment so many days from now."""
    return supply.now + timedelta(days=min(days, MOST_DAYS))


def date(when: datetime, now: datetime) -> str:
    """Return a day as it is said: "12 March", with the year where it is another."""
    text = f"{when.day} {when:%B}"
    return text if when.year == now.year else f"{text} {when.year}"


def within(text: str) -> str:
    """Return "1.2 kg (0.3 to 1.9)" of "1.2 kg, 0.3 to 1.9"."""
    figure, _, ends = text.partition(", ")
    return f"{figure} ({ends})" if ends else figure


def days_text(figure: Figure) -> str:
    """Return days with their interval: "206 days, 9.6 to 370"; ten years is the most said."""
    ends = (figure.value, figure.low, figure.high)
    value, low, high = ("over 3600" if d and d >= MOST_DAYS else amount(d or 0.0, 2) for d in ends)
    text = f"{value} day{'' if value == '1' else 's'}"
    return text if figure.low is None else f"{text}, {low} to {high}"


def vessel(supply: Supply) -> str:
    """Return what holds the gas: "cylinder" or "cartridge"."""
    return supply.tank.rig.source


def _next_one(supply: Supply) -> str:
    return "a refill" if vessel(supply) == "cylinder" else "a new cartridge"


def headline(told: Told) -> list[str]:
    """Say how long the gas lasts and when to order; the first line is the days."""
    supply = told.supply
    days, change = told.of("days_left_days"), told.of("change_days")
    lines = [f"Gas for {days_text(days)}"]
    early = day_of(supply, supply.change_days.low)
    if supply.change_days.low < 1.0:
        lines.append(f"Order {_next_one(supply)} now: it may be needed any day.")
    else:
        soon = " (soon)" if supply.change_days.low < _ORDER_SOON_DAYS else ""
        lines.append(f"Order {_next_one(supply)} by {date(early, supply.now)}{soon}.")
    late = day_of(supply, supply.change_days.high)
    first = "now" if supply.change_days.low < 1.0 else date(early, supply.now)
    why = "before the regulator surges" if supply.change_g is not None else "when it is empty"
    lines.append(
        f"The {vessel(supply)} is to be changed between {first} and {date(late, supply.now)}, "
        f"{why}: in {within(days_text(change))}."
    )
    left, use = told.within("gas_left_kg"), told.within("use_g_per_day")
    lines.append(f"It holds {left}; {use} is used.")
    if supply.from_prior:
        lines.append(
            f"Nothing of this {vessel(supply)} was weighed or read: this rests on what was counted "
            "and on what such tanks use."
        )
    return lines


def by_source(told: Told) -> list[tuple[str, str, str]]:
    """Return (from what, gas left, days left) of each source alone, then of all of them."""
    rows = []
    for name in told.supply.stocks:
        if name == "all":
            continue
        left, days = told.of(f"gas_left_{name}_kg"), told.of(f"days_left_{name}_days")
        rows.append((sentence(name_of(told.supply, name)), shown(left), days_text(days)))
    left, days = told.of("gas_left_kg"), told.of("days_left_days")
    last = "Widest of them" if told.supply.contradictions else "Together"
    return [*rows, (last, shown(left), days_text(days))]


def disagreements(told: Told) -> list[str]:
    """Say which readings cannot both be right, and which one fits nothing."""
    supply = told.supply
    lines = []
    for pair in supply.contradictions:
        one, other = name_of(supply, pair.one), name_of(supply, pair.other)
        kg, other_kg = amount(pair.one_g.value * 1e-3, 2), amount(pair.other_g.value * 1e-3, 2)
        lines.append(
            f"{sentence(one)} {kg} kg would be left, {other} {other_kg} kg: one of them is wrong. "
            "The figures above hold both; find the wrong one before you trust either."
        )
    for odd in supply.oddities:
        at = datetime.fromtimestamp(odd.at_s, supply.now.tzinfo)
        lines.append(f"{odd.what} of {date(at, supply.now)} does not fit the rest.")
    return lines


def leak(told: Told) -> list[str]:
    """Say whether gas goes that nobody counts, and the one check that settles it."""
    sign = told.supply.leak
    lines = []
    if sign.gone_g is not None:
        gone = within(shown(told.of("gone_g"), 3))
        lines.append(
            f"In {amount(sign.days, 2)} days {gone} are gone by the scale; the "
            f"bubbles counted account for {told.within('counted_g')}."
        )
    if not sign.spoken_of:
        if sign.gone_g is not None:
            lines.append(f"Nothing points to a leak (chance {chance(sign.chance)}).")
        return lines
    size = f", {told.within('leak_g_per_day')}" if told.get("leak_g_per_day") else ""
    how_likely = "likely" if sign.likely else "possible"
    lines.append(
        f"A leak between cylinder and counter is {how_likely}: chance {chance(sign.chance)}{size}."
    )
    lines.append(
        "What settles it: brush soapy water on every joint from the cylinder's outlet on, tonight "
        "shut cylinder and needle valve, read the cylinder's gauge and the room's warmth, and read "
        "both again in the morning: `leafgill commission TANK --hold high` reckons the grams a day."
    )
    return lines


def end(told: Told) -> list[str]:
    """Say when the gauge begins to fall, and what to do then."""
    supply = told.supply
    guard, given = supply.guard, supply.tank.rig.regulator
    kind = given or "single-stage"
    liquid, last = told.within("liquid_gauge_bar"), told.within("last_liquid_kg")
    falls = f"in {within(days_text(told.of('liquid_days')))}"
    if supply.every.still_liquid < 0.5:
        falls = "and has most likely begun to"
    what = f"Your {kind} regulator" if given else "A single-stage regulator, if that is yours,"
    ratio = within(shown(told.of(f"surge_{_word(kind)}"), 3))
    surges = f"{what} then passes {ratio} the gas it was set to"
    lines = [
        f"While there is liquid the gauge shows {liquid} whatever is left; it falls with the last "
        f"{last}, {falls}."
    ]
    if guard.as_set is None:
        return [
            *lines,
            f"{surges}; what that does to this tank can be said once a bubble rate is written "
            "down.",
        ]
    return [
        *lines,
        f"{surges}. {_when_to_change(told)}",
        "A worn seat, a regulator that creeps or a working pressure that is not the one written "
        "down can surge more than this.",
    ]


def _when_to_change(told: Told) -> str:
    surge = told.supply.surge
    if surge.change_part is None:
        return (
            "The chance that CO2 passes the animals' limit stays within one in ten, so the "
            "cylinder may be used up; look at the counter twice a day once the gauge falls."
        )
    left, gauge = told.within("change_kg"), told.within("change_gauge_bar")
    soon = "as soon as the gauge falls" if surge.change_part > _AT_ONCE else "once the gauge fell"
    return (
        f"Change the {vessel(told.supply)} {soon} to {gauge} in a room of "
        f"{told.supply.room_c:.3g} °C, {left} left; do not open the valve to use up the rest."
    )


def end_table(told: Told) -> list[tuple[str, str, str, str]]:
    """Return (what, gas, highest CO2, chance over the limit): as set, and at the end."""
    supply = told.supply
    if supply.guard.as_set is None:
        return []
    rows = [("As set", "1", told.shown("peak_as_set_mg_l"), _over(told, "as_set"))]
    for kind in supply.guard.kinds:
        rows.append(
            (
                f"End, {kind}",
                shown(told.of(f"surge_{_word(kind)}"), 3).replace(" times", ""),
                told.shown(f"peak_{_word(kind)}_mg_l"),
                _over(told, _word(kind)),
            )
        )
    return rows


def limit_title(supply: Supply) -> str:
    """Return the title of the last column: "over 30 mg/L"."""
    return f"over {limits_of(supply.tank).co2_mg_l:.3g} mg/L"


def _over(told: Told, name: str) -> str:
    return chance(1e-2 * told.of(f"over_limit_{name}_percent").value)


def _word(kind: str) -> str:
    return kind.replace("-", "_")


def what_would_help(told: Told, most: int = 3) -> list[str]:
    """Return the readings that would narrow the days left most, the best first."""
    return [
        sentence(
            f"{one.what}: would make the interval of days about {100.0 * one.narrows_by:.0f} % "
            f"narrower. {one.how}"
        )
        for one in told.supply.helps[:most]
    ]


def assumed(told: Told) -> list[str]:
    """Return what was taken for granted, a sentence each."""
    taken = [sentence(text) + ("" if text.endswith(".") else ".") for text in told.supply.assumed]
    return [*taken, *told.supply.tank.findings]
