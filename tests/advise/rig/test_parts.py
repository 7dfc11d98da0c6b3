"""Parts with the keeper's own prices, and what a year costs."""

import pytest

PRICES = {"currency": "pebbles", "refill": 20, "cylinder": 70, "regulator": 80, "solenoid": 25,
          "counter": 9, "check_valve": 4, "hose": 2, "diffuser": 18, "drop_checker": 12,
          "electricity_kwh": 0.4, "cartridge": 6, "cartridge_g": 95, "citric_acid_kg": 7,
          "bicarbonate_kg": 4, "sugar_kg": 1.2, "yeast": 0.4, "generator": 30}  # fmt: skip
RIG = {"cylinder_kg": 2, "solenoid_w": 2.5, "hose_length_m": 1.2, "diffuser": "disc", "count": 2}


def running(plan, kind):
    return next(one for one in plan.running if one.kind == kind)


def test_the_sum_is_number_times_price(plan):
    bill = plan(151.0, rig=RIG, prices=PRICES).bill
    assert bill.unpriced == ()
    # cylinder, regulator, solenoid, counter, two check valves, two metres, two discs, checker
    assert bill.total.value == 70 + 80 + 25 + 9 + 2 * 4 + 2 * 2 + 2 * 18 + 12
    assert bill.total.unit == "pebbles"


def test_what_has_no_price_is_named_and_not_guessed(plan):
    some = {key: PRICES[key] for key in ("currency", "regulator", "hose")}
    bill = plan(151.0, rig=RIG, prices=some).bill
    assert bill.total.value == 84.0
    assert bill.unpriced == ("cylinder", "solenoid valve", "bubble counter", "check valve", "disc",
                             "drop checker")  # fmt: skip
    assert plan(151.0, rig=RIG).bill.total is None


def test_without_a_solenoid_none_is_bought(plan):
    names = [part.name for part in plan(151.0, rig={**RIG, "solenoid": False}).bill.parts]
    assert "solenoid valve" not in names


@pytest.mark.parametrize(
    ("source", "first", "price"),
    [("yeast", "generator", 30), ("acid-bicarbonate", "generator", 30),
     ("cartridge", "first cartridge", 6)],
)  # fmt: skip
def test_other_sources_have_other_parts(plan, source, first, price):
    made = plan(20.0, rig={"source": source}, prices=PRICES)
    assert (made.bill.parts[0].name, made.bill.parts[0].price) == (first, price)
    assert any(part.name == "regulator" for part in made.bill.parts) == (source == "cartridge")


def test_a_year_of_cylinders_is_refills_and_the_solenoid(plan):
    made = plan(151.0, rig=RIG, prices=PRICES)
    year = made.sources[0].year.value
    current = 2.5e-3 * made.need.gas.hours * 365.25 * 0.4
    cost = running(made, "cylinder").cost
    assert cost.value == pytest.approx(year * 20.0 + current)
    assert cost.low < cost.value < cost.high


def test_a_year_of_each_other_source_is_what_goes_into_it(plan):
    made = plan(151.0, rig=RIG, prices=PRICES)
    found = {source.kind: source for source in made.sources}
    yeast = running(made, "yeast").cost
    assert yeast.value == pytest.approx(found["yeast"].year.value * (0.2 * 1.2 + 0.4))
    current = 2.5e-3 * made.need.gas.hours * 365.25 * 0.4
    acid = running(made, "acid-bicarbonate").cost
    mix = 0.2 * 7 + 0.2 * 1.3117 * 4
    assert acid.value == pytest.approx(
        found["acid-bicarbonate"].year.value * mix + current, rel=1e-3
    )


def test_a_refill_has_the_price_of_the_keepers_own_size_and_of_no_other(plan):
    made = plan(151.0, prices={"refill": 20})
    assert running(made, "cylinder").cost is None
    assert "refill of" in running(made, "cylinder").unpriced[0]


def test_a_cost_tells_what_it_leaves_out(plan):
    made = plan(151.0, rig=RIG, prices={"sugar_kg": 1.0, "refill": 20})
    assert running(made, "yeast").unpriced == ("yeast for one bottle",)
    assert running(made, "yeast").cost is not None
    assert running(made, "cylinder").unpriced == ("electricity of the solenoid",)
    assert running(made, "cartridge").cost is None
