"""What is kept of a counsel says the same as the counsel."""

import json
from dataclasses import fields, replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from leafgill.advise.emergency import ways_out
from leafgill.answer import said
from leafgill.answer.day import picture_of
from leafgill.charts.day import day_chart
from leafgill.web.working import bands
from leafgill.web.working.payload import payload_of, picture_from


def through_json(counsel):
    """Return a payload as it comes back from the store; NaN is refused."""
    return json.loads(json.dumps(payload_of(counsel), allow_nan=False))


@pytest.fixture(scope="module")
def kept(hallway):
    return through_json(hallway)


def test_it_comes_back_from_json_as_it_was(hallway, kept):
    assert kept == payload_of(hallway)
    assert datetime.fromisoformat(kept["now"]) == hallway.now
    assert len(json.dumps(kept)) < 150_000


@pytest.mark.parametrize("name", ["reading_room", "distress"])
def test_other_tanks_go_through_json_too(name, request):
    counsel = request.getfixturevalue(name)
    kept = through_json(counsel)
    assert kept["said"]["urgent"] == (name == "distress")
    assert kept["said"]["what_to_do"] == said.what_to_do(counsel)
    assert (kept["stepped_bands"] is None) == (counsel.stepped is None)


def test_the_bands_are_the_belief_at_their_times(hallway, kept):
    times = np.array(kept["bands"]["times_s"], dtype=float)
    for what in bands.QUANTITIES:
        expected = hallway.belief.band(what, times)
        for end in ("mean", "low", "high"):
            assert np.allclose(kept["bands"][what][end], getattr(expected, end), rtol=1e-5)
    inner = np.quantile(hallway.belief.through("co2", times), [0.25, 0.75], axis=0)
    assert np.allclose(kept["bands"]["co2"]["inner_low"], inner[0], rtol=1e-5)
    assert np.allclose(kept["bands"]["co2"]["inner_high"], inner[1], rtol=1e-5)


def test_the_bands_reach_from_a_day_before_to_34_hours_on(hallway, kept):
    times, now_s = kept["bands"]["times_s"], hallway.now.timestamp()
    assert times[0] == now_s - 24 * 3600
    assert times[-1] == now_s + 34 * 3600
    assert now_s in times
    assert set(np.diff(times)) == {600}


def test_a_moment_off_the_ten_minutes_is_among_them(hallway):
    later = replace(hallway, now=hallway.now + timedelta(minutes=3, seconds=20))
    times = bands.bands_of(later)["times_s"]
    assert int(later.now.timestamp()) in times
    assert sum(t % 600 != 0 for t in times) == 1


def test_the_step_has_a_day_of_its_own(hallway, kept):
    stepped = kept["stepped_bands"]
    at = stepped["times_s"].index(int(hallway.now.timestamp()) + 5 * 3600 - 600)
    outlook = hallway.stepped.outlook
    expected = outlook.at("co2", float(stepped["times_s"][at])).mean()
    assert stepped["co2"]["mean"][at] == pytest.approx(expected, rel=1e-5)
    as_set = bands.at(kept["bands"], "co2", stepped["times_s"][at])
    assert stepped["co2"]["mean"][at] > as_set.mean + 0.5


def test_the_picture_can_be_drawn_again(hallway, kept):
    drawn, first = picture_from(kept), picture_of(hallway)
    for field in fields(first):
        one, other = getattr(first, field.name), getattr(drawn, field.name)
        if isinstance(one, np.ndarray):
            assert np.allclose(one, other, rtol=1e-5, atol=1e-4), field.name
        elif isinstance(one, str):
            assert one == other
        elif isinstance(one, float):
            assert one == pytest.approx(other, rel=1e-5), field.name
    assert [(m.kind, m.shown) for m in drawn.marks] == [(m.kind, m.shown) for m in first.marks]
    assert [m.co2_mg_l for m in drawn.marks] == pytest.approx(
        [m.co2_mg_l for m in first.marks], rel=1e-5
    )
    assert drawn.bars == first.bars
    assert drawn.ticks == first.ticks
    assert day_chart(drawn).to_dict()["vconcat"]


def test_the_ways_out_are_those_of_now(distress):
    kept = through_json(distress)["emergency"]
    out = ways_out(distress.belief, distress.now, distress.limits.co2_mg_l)
    assert kept["limit_mg_l"] == distress.limits.co2_mg_l
    for name in ("gas_shut", "with_air", "with_change"):
        minutes = getattr(out, name).minutes
        assert kept[name]["minutes"]["high"] == pytest.approx(minutes.high, rel=1e-5)
        assert kept[name]["co2_mg_l"]["mean"] == pytest.approx(
            getattr(out, name).co2_mg_l.mean, rel=1e-5
        )


def test_sentences_hold_no_command_or_key(kept):
    text = json.dumps(kept["said"])
    assert "leafgill" not in text
    assert "_dkh" not in text
    assert kept["said"]["sentence"].startswith("CO2 ")
    assert kept["said"]["why"][0]["reasons"]


def test_chances_are_those_of_the_draws(hallway, kept):
    risk, limits, belief = kept["risk"], hallway.limits, hallway.belief
    assert risk["times_s"][0] == int(hallway.now.timestamp())
    for k in (0, 30, -1):
        at = np.array([float(risk["times_s"][k])])
        co2, o2 = belief.through("co2_max", at)[:, 0], belief.through("o2", at)[:, 0]
        told = [risk[what][k] for what in ("p_over_limit", "p_over_danger", "p_low_o2")]
        assert told == pytest.approx(
            [
                (co2 > limits.co2_mg_l).mean(),
                (co2 > limits.co2_danger_mg_l).mean(),
                (o2 < limits.o2_min_mg_l).mean(),
            ],
            abs=1e-5,
        )
    assert bands.chance_between(risk, "p_over_limit", *risk["times_s"][:2]) is not None


def test_hours_are_those_of_the_timers(hallway, kept):
    here = hallway.now.tzinfo
    gas, light = kept["hours"]["gas"], kept["hours"]["light"]
    for spans in (gas, light):
        assert all(on < off for on, off in spans)
        assert spans[0][0] < hallway.now.timestamp() < spans[-1][1]
    first_gas, first_light = (
        {f"{datetime.fromtimestamp(on, here):%H:%M}" for on, _ in spans} for spans in (gas, light)
    )
    assert len(first_gas) == len(first_light) == 1
    assert first_gas < {*first_gas, *first_light}
