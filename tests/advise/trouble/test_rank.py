"""Causes ranked by Bayes' rule, against the rule written out."""

import math

import pytest

from leafgill.advise.trouble import CAUSES, OTHER, SYMPTOMS, Clue, rank
from leafgill.advise.trouble.cause import IS_IT, Cause
from leafgill.advise.trouble.rank import MOST, factor_of
from leafgill.advise.trouble.symptoms import Symptom

ALL = {link.clue for cause in CAUSES.values() for link in cause.links}


def clues(**chances):
    assert set(chances) <= ALL
    return {key: Clue(key, f"it is {key}", chances.get(key), f"look at {key}") for key in ALL}


def share(found, key):
    return next(one for one in found.suspects if one.cause.key == key)


def test_nothing_known_is_said_as_that_and_leaves_what_is_usual():
    for symptom in SYMPTOMS.values():
        found = rank(symptom, clues())
        assert found.verdict == "not known"
        for one in found.suspects:
            assert one.share == pytest.approx(one.usual)
            assert (one.low, one.high) == pytest.approx((one.share, one.share))
            assert one.grounds == ()


def test_shares_are_weights_times_factors_over_their_sum():
    symptom = SYMPTOMS["gasping-at-dawn"]
    found = rank(symptom, clues(o2_low_dawn=0.9, ammonia_toxic=0.0))
    factors = dict.fromkeys(symptom.causes, 1.0)
    holds, fails = IS_IT
    factors["o2_dawn"] = 0.9 * holds + 0.1 * fails
    factors["ammonia"] = fails
    illness = next(x for x in CAUSES["illness"].links if x.clue == "o2_low_dawn")
    factors["illness"] = 0.9 * illness.holds + 0.1 * illness.fails
    raw = {key: weight * factors[key] for key, weight in symptom.causes.items()}
    total = sum(raw.values()) + symptom.other
    for key, value in raw.items():
        assert share(found, key).share == pytest.approx(value / total)
    assert sum(one.share for one in found.suspects) == pytest.approx(1.0)
    assert found.verdict == "known"
    assert found.first.cause.key == "o2_dawn"


def test_a_chance_of_a_half_speaks_with_the_mean_of_both():
    assert factor_of(6.0, 0.2, 0.5) == pytest.approx(3.1)
    assert factor_of(6.0, 0.2, 1.0) == 6.0
    assert factor_of(6.0, 0.2, 0.0) == 0.2


def test_the_range_holds_clues_half_and_once_more_as_telling():
    found = rank(SYMPTOMS["gasping-at-dawn"], clues(o2_low_dawn=1.0))
    one = share(found, "o2_dawn")
    assert one.low < one.share < one.high
    assert one.factor == pytest.approx(IS_IT[0])
    against = share(rank(SYMPTOMS["gasping-at-dawn"], clues(o2_low_dawn=0.0)), "o2_dawn")
    assert against.high > against.share > against.low
    assert against.factor == pytest.approx(IS_IT[1])


def test_what_hints_at_a_thing_says_nothing_once_the_thing_is_known():
    hint = share(rank(SYMPTOMS["gasping-at-dawn"], clues(no_air_at_night=1.0)), "o2_dawn")
    assert hint.factor > 2.0
    both = share(
        rank(SYMPTOMS["gasping-at-dawn"], clues(no_air_at_night=1.0, o2_low_dawn=0.0)), "o2_dawn"
    )
    assert [ground.clue.key for ground in both.grounds] == ["o2_low_dawn"]


def test_no_cause_is_moved_beyond_what_clues_together_may():
    found = rank(
        SYMPTOMS["black-brush"],
        clues(co2_unsteady=1.0, valve_down=1.0, valve_up=1.0, gauge_low=1.0),
    )
    assert share(found, "co2_unsteady").factor == pytest.approx(MOST)


def test_clues_that_decide_nothing_are_said_as_that():
    found = rank(SYMPTOMS["hair"], clues(light_long=0.15))
    assert found.verdict == "not told apart"


def test_a_record_against_all_that_is_usual_leaves_something_else():
    symptom = Symptom("x", "X", (), "looks", "gas", {"valve": 1.0, "empty": 1.0}, other=1.0)
    found = rank(symptom, clues(valve_down=0.0, gauge_low=0.0))
    assert found.first.cause is OTHER
    assert found.verdict == "not told apart"


def test_what_would_tell_most_comes_first():
    found = rank(SYMPTOMS["green-spot"], clues())
    assert found.ask[0] == "look at phosphate_low"
    assert len(found.ask) == 3
    told = rank(SYMPTOMS["green-spot"], clues(phosphate_low=0.5))
    assert "look at phosphate_low" not in told.ask


def test_grounds_are_told_with_the_most_telling_first():
    one = share(rank(SYMPTOMS["hair"], clues(light_long=0.5, light_strong=1.0)), "light_much")
    sizes = [abs(math.log(ground.factor)) for ground in one.grounds]
    assert sizes == sorted(sizes, reverse=True)
    assert len(one.grounds) == 2


def test_a_cause_that_names_a_clue_which_is_not_given_is_refused():
    with pytest.raises(KeyError):
        rank(SYMPTOMS["hair"], {})


# -- the tables themselves


def test_every_symptom_names_causes_that_are_there_and_each_is_used():
    used = {key for symptom in SYMPTOMS.values() for key in symptom.causes}
    assert used == set(CAUSES)
    for symptom in SYMPTOMS.values():
        assert all(weight > 0.0 for weight in symptom.causes.values())
        assert len(symptom.causes) >= 3, symptom.key


@pytest.mark.parametrize("cause", CAUSES.values(), ids=CAUSES)
def test_every_cause_has_a_check_and_something_to_do(cause: Cause):
    assert len(cause.check) > 10
    assert cause.check[0].islower() or cause.check[:2] in ("pH", "GH", "KH", "CO")
    assert len(cause.do) > 5
    assert not cause.do.endswith(".")
    for one in cause.links:
        # a clue that holds must not speak the same way as one that does not
        assert (one.holds - 1.0) * (one.fails - 1.0) < 0.0, one


def test_sources_are_named_or_said_not_to_be():
    for cause in CAUSES.values():
        told = cause.source
        assert "no source" in told or "ours" in told or "belief" in told, told
        if any(name in told for name in ("Marschner", "Smith 1983", "EIFAC")):
            assert "from memory, not checked" in told
