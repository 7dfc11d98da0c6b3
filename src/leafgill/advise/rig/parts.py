"""What to buy, with the keeper's own prices, and what a year's gas costs with each source."""

from __future__ import annotations

import math
from dataclasses import dataclass

from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.rig.cylinders import Choice
from leafgill.advise.rig.diffuse import Way, range_of_figure
from leafgill.advise.rig.sources import DAYS_A_YEAR, Source
from leafgill.advise.rig.use import USUAL_LENGTH_M
from leafgill.science.cited import Range
from leafgill.tank.spec import Prices, Tank

# A solenoid draws so much where its plate was not read [W] (common practice, no source).
USUAL_SOLENOID_W = Range(3.0, 1.5, 8.0)


@dataclass(frozen=True)
class Part:
    """One thing to buy: its name and what to mind, how many, and the price of one, if given."""

    name: str
    note: str
    count: int
    each: float | None
    key: str

    @property
    def price(self) -> float | None:
        """Price of all of them."""
        return None if self.each is None else self.count * self.each


@dataclass(frozen=True)
class Bill:
    """What a source takes to buy: `total` sums the prices given, `unpriced` names the others."""

    parts: tuple[Part, ...]
    total: Figure | None
    unpriced: tuple[str, ...]


@dataclass(frozen=True)
class Running:
    """What a source costs a year: `cost` of what has a price, `unpriced` names what has none."""

    kind: str
    name: str
    cost: Figure | None
    unpriced: tuple[str, ...]


def bill_of(tank: Tank, source: str, choice: Choice, way: Way, regulator: str, hose: str) -> Bill:
    """Return the parts of a rig with this source."""
    makers = {"cylinder": _of_cylinder, "cartridge": _of_cylinder}
    first = makers.get(source, _of_generator)(tank, source, choice, regulator)
    parts = (*first, *_common(tank, way, hose))
    priced = [part for part in parts if part.price is not None]
    total = None
    if priced:
        total = figure(
            "parts_total",
            "Parts, as far as prices are given",
            sum(part.price for part in priced if part.price is not None),
            _money(tank.prices),
            "sum of number · price",
            tuple(Input(part.name, f"{part.count} · {part.each:g}", "", "tank file")
                  for part in priced),
            "your own prices",
        )  # fmt: skip
    return Bill(parts, total, tuple(part.name for part in parts if part.price is None))


def _of_cylinder(tank: Tank, source: str, choice: Choice, regulator: str) -> tuple[Part, ...]:
    prices = tank.prices
    first = (
        Part("cylinder", choice.size.name, 1, prices.cylinder, "cylinder")
        if source == "cylinder"
        else Part("first cartridge", "bought again and again", 1, prices.cartridge, "cartridge")
    )
    kind = regulator if source == "cylinder" else "single-stage, for cartridges"
    parts = [
        first,
        Part("regulator", f"{kind}, with a needle valve and two gauges", 1, prices.regulator,
             "regulator"),
    ]  # fmt: skip
    if tank.rig.solenoid is not False:
        parts.append(Part("solenoid valve", "on a timer, shuts the gas at night", 1,
                          prices.solenoid, "solenoid"))  # fmt: skip
    return tuple(parts)


def _of_generator(tank: Tank, source: str, choice: Choice, regulator: str) -> tuple[Part, ...]:
    note = (
        "a vessel made to hold pressure, with a relief valve and a needle valve"
        if source == "acid-bicarbonate"
        else "a bottle with a way out for the gas; it bursts when that is shut"
    )
    return (Part("generator", note, 1, tank.prices.generator, "generator"),)


def _common(tank: Tank, way: Way, hose: str) -> tuple[Part, ...]:
    prices = tank.prices
    length = math.ceil(tank.rig.hose_length_m or USUAL_LENGTH_M)
    return (
        Part("bubble counter", "upright, after the needle valve", 1, prices.counter, "counter"),
        Part("check valve", "its arrow with the gas, one before each diffuser", way.count,
             prices.check_valve, "check_valve"),
        Part("metres of gas hose", hose, length, prices.hose, "hose"),
        Part(way.name, way.where.split(",")[0], way.count, prices.diffuser, "diffuser"),
        Part("drop checker", "with a 4 dKH reference and its indicator", 1, prices.drop_checker,
             "drop_checker"),
    )  # fmt: skip


def running_of(tank: Tank, source: Source) -> Running:
    """Return what a year of a source costs, as far as prices are given."""
    prices, key = tank.prices, source.kind.replace("-", "_")
    year = range_of_figure(source.year)
    fixed, inputs = Range(0.0, 0.0, 0.0), [given(f"{source.batch.what}s a year", year, "",
                                                 "computed above")]  # fmt: skip
    each, unpriced, priced = 0.0, [], 0
    for stuff in source.batch.stuff:
        price = _price(tank, source, stuff.price)
        if price is None:
            unpriced.append(_what(stuff.price, stuff.words))
            continue
        priced += 1
        each += stuff.amount * price
        inputs.append(Input(_what(stuff.price, stuff.words), f"{stuff.amount:g} · {price:g}", "",
                            "tank file"))  # fmt: skip
    if not source.at_night and tank.rig.solenoid is not False:
        fixed = _electricity(tank, source, inputs, unpriced)
    if not priced:
        return Running(source.kind, source.name, None, tuple(unpriced))
    cost = Range(*(part * each + more for part, more in zip(year, fixed, strict=True)))
    return Running(
        source.kind,
        source.name,
        figure(f"{key}_cost_a_year", f"A year of gas, {source.name}", cost, _money(prices),
               "fillings a year · price of what goes into one + electricity of the solenoid",
               tuple(inputs), "your own prices"),
        tuple(unpriced),
    )  # fmt: skip


def _electricity(tank: Tank, source: Source, inputs: list[Input], unpriced: list[str]) -> Range:
    watts = (
        USUAL_SOLENOID_W
        if tank.rig.solenoid_w is None
        else Range(tank.rig.solenoid_w, tank.rig.solenoid_w, tank.rig.solenoid_w)
    )
    price = tank.prices.electricity_kwh
    if price is None:
        unpriced.append("electricity of the solenoid")
        return Range(0.0, 0.0, 0.0)
    hours = source.hours.hours * DAYS_A_YEAR
    inputs.append(given("solenoid", watts, "W", "common practice, no source"
                        if tank.rig.solenoid_w is None else "tank file"))  # fmt: skip
    inputs.append(Input("electricity", price, "a kWh", "tank file"))
    return Range(*(w * 1e-3 * hours * price for w in watts))


def _price(tank: Tank, source: Source, key: str) -> float | None:
    # a refill has the price of the keeper's own size and of no other
    if key == "refill" and tank.rig.cylinder_kg is None:
        return None
    price: float | None = getattr(tank.prices, key)
    return price


def _what(key: str, words: str) -> str:
    return {"refill": f"refill of {words}", "cartridge": f"cartridge of {words}"}.get(key, words)


def _money(prices: Prices) -> str:
    return prices.currency or "(your money)"
