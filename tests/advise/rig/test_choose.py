"""Which way of bringing the gas in is advised."""

import pytest

from leafgill.advise.rig.choose import choose


@pytest.mark.parametrize(
    ("litres", "words"),
    [(30.0, "disc"), (60.0, "disc"), (160.0, "2 discs"), (500.0, "inline diffuser")],
)
def test_larger_tanks_get_more(need, litres, words):
    assert choose(need(litres)).advised.words == words


def test_each_way_passed_over_has_a_reason_with_its_figure(need):
    why = " | ".join(choose(need(500.0)).why)
    assert "of the gas of a disc only" in why
    assert "mL of gas a minute; beyond 20 bubbles merge" in why
    assert "each of two discs would have to pass" in why
    assert why.endswith("dissolves: enough")


def test_a_long_tank_wants_more_than_one(need):
    long = {"length_cm": 120, "width_cm": 22, "height_cm": 44, "volume_l": 100}
    chosen = choose(need(100.0, tank=long))
    assert chosen.advised.words == "2 discs"
    assert "the mist of a disc is carried about 90 cm, and the tank is 120 cm long" in chosen.why


def test_a_slow_filter_is_no_place_for_an_inline_diffuser(need):
    chosen = choose(need(500.0, rig={"filter_flow_l_h": 600}))
    assert chosen.advised.words == "reactor"
    assert any("the filter moves only 1.2 tank volumes an hour" in line for line in chosen.why)
    assert choose(need(500.0, rig={"filter_flow_l_h": 2000})).advised.words == "inline diffuser"


def test_what_is_there_and_does_well_stays(need):
    chosen = choose(need(200.0, rig={"diffuser": "reactor"}))
    assert chosen.advised is chosen.own is chosen.used
    assert len(chosen.why) == 1


def test_what_is_there_and_does_not_is_kept_in_the_figures_but_not_advised(need):
    chosen = choose(need(300.0, rig={"diffuser": "disc"}))
    assert chosen.advised.words == "inline diffuser"
    assert chosen.used.words == "disc"


def test_a_way_that_is_none_of_the_usual_is_looked_at_too(need):
    chosen = choose(need(60.0, rig={"diffuser": "airstone", "count": 3}))
    assert chosen.own.count == 3
    assert chosen.own in chosen.ways
    assert chosen.own.kind == "airstone"
    assert chosen.advised.words == "disc"


def test_yeast_gets_what_needs_no_pressure(need):
    chosen = choose(need(60.0, rig={"source": "yeast", "diffuser": "disc"}))
    assert chosen.advised.words == "bubble ladder"
    assert any("your disc needs 0.6 bar, too much for it" in line for line in chosen.why)


def test_turnover_and_what_the_outlet_carries(need):
    made = need(100.0, rig={"filter_flow_l_h": 500})
    chosen = choose(made)
    assert chosen.turnover.value == pytest.approx(5.0, rel=0.05)
    g_h = made.given_g / made.gas.hours
    assert chosen.excess.value == pytest.approx(float(sorted(g_h)[40]) / 0.5, rel=0.15)
    assert choose(need(100.0)).turnover.source == "common practice, no source"
