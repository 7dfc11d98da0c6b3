"""The gas that leaves the source: need, waste and what the hose lets through."""

import numpy as np
import pytest

from leafgill.advise.rig.diffuse import way_of
from leafgill.advise.rig.use import use_of
from leafgill.science.hose import permeation_g_per_day


def test_gas_is_need_over_share_and_the_hose(need):
    made = need(151.0)
    way = way_of(made, "disc", 2)
    use = use_of(made, way)
    through = use.gas_g - made.given_g / way.share
    assert (through > 0.0).all()
    assert through.max() < 1.0  # polyurethane
    assert use.gas.value == pytest.approx(np.median(use.gas_g))


def test_a_better_way_takes_less_gas_for_the_same_water(need):
    made = need(151.0)
    disc, reactor = (use_of(made, way_of(made, kind)) for kind in ("disc", "reactor"))
    assert reactor.gas.value < 0.9 * disc.gas.value
    assert reactor.given == disc.given


def test_a_silicone_hose_costs_what_it_lets_through(need):
    rig = {"hose": "silicone", "hose_length_m": 2, "hose_bore_mm": 4, "hose_wall_mm": 1}
    made = need(151.0, rig=rig)
    way = way_of(made, "disc")
    use = use_of(made, way)
    law = permeation_g_per_day("silicone", 4.0, 1.0, 2.0, way.pressure_bar.value)
    assert use.hose.value == pytest.approx(law.value)
    assert use.hose.inputs[0] == ("material", "silicone", "", "tank file")
    through = use.gas_g - made.given_g / way.share
    # while the gas is on, up to all day
    assert 8.0 / 24.0 * law.value < np.median(through) < law.value
    assert use.hose_share.value == pytest.approx(np.median(through / use.gas_g))
    assert use.hose_share.value > 0.15
    assert {figure.key for figure in use.hoses} == {
        "hose_pvc_g_per_day",
        "hose_polyurethane_g_per_day",
        "hose_polyethylene_g_per_day",
    }


def test_most_goes_through_the_surface_of_a_tank_with_few_plants(need):
    few = need(100.0, plants={"density": "low"})
    many = need(100.0, plants={"density": "high"})
    few_lost, many_lost = (use_of(made, way_of(made, "disc")).lost for made in (few, many))
    assert few_lost.value > many_lost.value
    assert few_lost.high <= 1.0


def test_where_a_diary_taught_it_the_belief_says_what_dissolves(learnt):
    from leafgill.advise.gas_need import gas_need

    made = gas_need(learnt.tank, learnt)
    own, other = (use_of(made, way_of(made, kind)) for kind in ("disc", "reactor"))
    assert own.dissolved.source == "belief of the diary"
    assert own.share == pytest.approx(made.believed_share)
    assert other.dissolved.key == "reactor_dissolved_share"
