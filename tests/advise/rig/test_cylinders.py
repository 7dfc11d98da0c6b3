"""How long cylinders last, and which one is advised."""

import numpy as np
import pytest

from leafgill.advise.rig.cylinders import DAYS_A_MONTH, advised, sizes_for
from leafgill.science.cylinder import last_liquid_kg
from leafgill.tank.spec import Rig


def by_name(plan, name):
    return next(choice for choice in plan.choices if choice.size.name == name)


def test_months_are_the_charge_over_the_gas(plan):
    made = plan(151.0)
    choice = by_name(made, "20 lb aluminium")
    months = 9071.8474 / made.use.gas_g / DAYS_A_MONTH
    assert choice.months.value == pytest.approx(np.median(months))
    assert choice.months.low == pytest.approx(np.quantile(months, 0.05))
    assert choice.months.high == pytest.approx(np.quantile(months, 0.95))


def test_the_gauge_falls_when_the_liquid_is_gone(plan):
    choice = by_name(plan(151.0), "20 lb aluminium")
    rest = last_liquid_kg(9.0718474 / 0.68, 20.0) / 9.0718474
    assert choice.steady.value == pytest.approx(choice.months.value * (1.0 - rest))
    assert rest == pytest.approx(0.286, abs=0.001)


def test_full_weight_and_the_air_of_the_room(plan):
    choice = by_name(plan(151.0, room={"volume_m3": 30}), "5 lb aluminium")
    assert choice.full_kg.value == pytest.approx(2.27 + 0.5 * (7.5 + 8.0) * 0.4536, abs=0.01)
    # 4.1 % of 30 m³, and what is in the air anyway
    assert choice.room_ppm.value == pytest.approx(41_500, rel=0.01)
    assert choice.room_ppm.inputs[1].origin == "tank file"
    assumed = by_name(plan(151.0), "5 lb aluminium").room_ppm
    assert assumed.inputs[1] == ("room", 30.0, "m³", "assumed")


def test_the_keepers_own_stands_in_for_the_one_like_it():
    own = sizes_for(Rig(cylinder_kg=2.27, cylinder_tare_kg=3.5, cylinder_height_cm=46.0,
                        cylinder_diameter_cm=13.3, cylinder_water_l=3.34))  # fmt: skip
    assert [size.name for size in own][2:5] == ["2 kg steel", "your 2.27 kg", "10 lb aluminium"]
    mine = own[3]
    assert (mine.tare_kg.low, mine.tare_kg.high) == (3.5, 3.5)
    assert mine.height_cm.low == mine.height_cm.high == 46.0
    assert mine.diameter_cm.value == 13.3
    assert mine.water_l == pytest.approx(3.34)


def test_an_unusual_one_is_drawn_from_the_nearest():
    sizes = sizes_for(Rig(cylinder_kg=3.2))
    mine = next(size for size in sizes if size.own)
    assert len(sizes) == 11
    assert "scaled from 5 lb aluminium" in str(mine.source)
    near = next(size for size in sizes if size.name == "5 lb aluminium")
    assert near.height_cm.value < mine.height_cm.value < 1.2 * near.height_cm.value
    assert mine.tare_kg.value / mine.charge_kg == pytest.approx(near.tare_kg.value / near.charge_kg)


def test_the_smallest_that_lasts_half_a_year_is_advised(plan):
    made = plan(60.0)
    assert made.choice.months.value >= 6.0
    smaller = [c for c in made.choices if c.size.charge_kg < made.choice.size.charge_kg]
    assert all(c.months.value < 6.0 for c in smaller)


def test_it_must_fit_the_cabinet(plan):
    low = plan(60.0, cabinet={"width_cm": 40, "depth_cm": 40, "height_cm": 50})
    assert low.choice.fit.verdict != "no"
    assert low.choice.size.charge_kg < plan(60.0).choice.size.charge_kg * 1.01
    assert {c.fit.verdict for c in low.choices if c.size.charge_kg >= 4.5} == {"no"}
    nothing = plan(60.0, cabinet={"width_cm": 10, "depth_cm": 10, "height_cm": 20})
    assert advised(nothing.choices) is nothing.choices[0]


def test_the_keepers_own_is_kept(plan):
    assert plan(60.0, rig={"cylinder_kg": 0.5}).choice.size.name == "your 0.5 kg"
