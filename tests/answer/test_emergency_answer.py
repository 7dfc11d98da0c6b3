"""The minutes of an emergency in words and tables."""

import json

import numpy as np
import pytest

from leafgill.advise.emergency import NOT_TO_DO, WAYS, halves_of, rescue_of
from leafgill.answer import emergency_said as said
from leafgill.answer.figures import plain
from leafgill.estimate.belief import Interval


@pytest.fixture(scope="module")
def rescue(distress):
    return rescue_of(distress.belief, distress.now, distress.limits)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (Interval(0.0, 0.0, 0.0), "so already"),
        (Interval(42.0, 25.0, 61.0), "40 min, 25 min to 1 h"),
        (Interval(718.0, 700.0, 720.0), "more than 12 h"),
    ],
)
def test_minutes_in_words(value, words):
    assert said.minutes(value) == words


def test_the_tables_have_every_minute_with_its_interval(rescue):
    rows = said.table(rescue, "co2_mg_l")
    assert [row[0] for row in rows][:3] == ["0 min", "5 min", "10 min"]
    assert all(len(row) == len(said.titles()) for row in rows)
    first = rescue.way("gas_shut").minutes[0].co2_mg_l
    assert rows[0][2] == ", ".join(said.cell(first))
    assert " to " in rows[0][2]


def test_where_all_is_well_it_is_said_once_and_else_of_each_way(rescue):
    if rescue.way("gas_shut").co2_min.high < 1.0:
        assert len(said.outcomes(rescue)) == 1
        assert said.outcomes(rescue)[0][1].endswith("already")
    tight = rescue.__class__(rescue.at, rescue.limits, tuple(
        way.__class__(way.key, way.words, way.minutes, Interval(42.0, 25.0, 61.0), way.o2_min,
                      way.ph_rise) for way in rescue.ways))  # fmt: skip
    told = said.outcomes(tight)
    assert [words for words, _ in told] == [WAYS[key] for key in WAYS if key != "left"]
    assert told[0][1].startswith("CO2 below 30 mg/L: 40 min, 25 min to 1 h; oxygen above")


def test_ph_that_rises_is_not_to_be_fought(rescue):
    text = said.ph_rise(rescue)
    assert "the CO2 leaving" in text
    assert "add nothing against it" in text
    assert any("lower pH when it rises" in line for line in NOT_TO_DO)


def test_json_of_the_minutes(rescue):
    told = json.loads(json.dumps(plain(said.as_json(rescue)), allow_nan=False))
    assert list(told["ways"]) == list(WAYS)
    for way in told["ways"].values():
        assert len(way["co2_mg_l"]) == len(way["o2_mg_l"]) == len(told["minutes"])
        for mean, low, high in way["co2_mg_l"]:
            assert low <= mean <= high
    assert "2 minutes" in told["clock"]


def test_halves_are_of_the_exchange(distress):
    halves = halves_of(distress.belief)
    k = distress.belief.draws.exchange_per_h * 1.024 ** (distress.belief.tank.temperature_c - 20.0)
    expected = np.mean(60.0 * np.log(2.0) / k)
    assert halves.gas_shut_min.mean == pytest.approx(expected, rel=1e-6)
    assert halves.with_air_min.mean < halves.gas_shut_min.mean
    text = said.halves_json(halves)["said"]
    assert text.startswith("In the dark CO2 halves in ")
    assert text.endswith(" with air.")


# -- the wording that must not get lost


@pytest.mark.parametrize(
    "words",
    ["feed", "raise pH", "lower pH", "filter", "all of the water", "chlorin", "net the animals",
     "before the gas is shut", "open the gas again today"],
)  # fmt: skip
def test_what_not_to_do_names_it(words):
    lines = [line for line in NOT_TO_DO if words in line]
    assert len(lines) == 1
    assert lines[0].startswith("Do not ")
