from dataclasses import replace

import pytest

from leafgill.tank.animals import DEFAULT_GROUP, GROUPS, PRACTICE, group_words
from leafgill.tank.limits import limits_of
from leafgill.tank.spec import Livestock, Tank

TANK = Tank("A", 60.0)


def limits(*kinds, limit=None, target=None):
    livestock = Livestock(limit, kinds)
    return limits_of(replace(TANK, livestock=livestock, target_co2_mg_l=target))


def test_without_a_word_about_animals_fish_are_assumed():
    told = limits()
    assert (told.co2_mg_l, told.o2_min_mg_l, told.target_mg_l) == (30.0, 5.0, 24.0)
    assert told.co2_danger_mg_l == 37.5
    assert told.reasons[-1] == "the tank file names no animals; fish are assumed"


def test_the_most_delicate_and_the_neediest_rule():
    # shrimp bear the least CO2 of the two, stream fish need the most oxygen
    told = limits("fish", "shrimp")
    assert (told.co2_mg_l, told.o2_min_mg_l) == (25.0, 5.0)
    assert told.reasons[0].startswith("CO2 at most 25 mg/L for shrimp: no published limit")
    mixed = limits("snails", "stream-fish", "labyrinth-fish")
    assert (mixed.co2_mg_l, mixed.o2_min_mg_l) == (20.0, 6.0)
    assert mixed.reasons[1] == f"oxygen at least 6 mg/L for stream-fish: {PRACTICE}"


def test_a_limit_of_the_keepers_wins_but_not_over_oxygen():
    told = limits("shrimp", "stream-fish", limit=35.0)
    assert (told.co2_mg_l, told.o2_min_mg_l, told.co2_danger_mg_l) == (35.0, 6.0, 43.75)
    assert told.reasons[0] == "the keeper sets the CO2 limit at 35 mg/L"


@pytest.mark.parametrize(
    ("limit", "target", "aim", "reason"),
    [
        (30.0, 22.0, 22.0, "the keeper aims at 22 mg/L"),
        (30.0, 30.0, 30.0, "the keeper aims at 30 mg/L"),
        (20.0, 25.0, 20.0, "the target of 25 mg/L is above the limit and is held to 20"),
        (20.0, None, 16.0, "no target given: 80% of the limit, 16 mg/L"),
        (50.0, None, 30.0, "no target given: 30 mg/L, above which plants gain little"),
    ],
)
def test_the_target(limit, target, aim, reason):
    told = limits(limit=limit, target=target)
    assert told.target_mg_l == pytest.approx(aim)
    assert reason in told.reasons


def test_plants_alone_are_given_what_plants_can_use():
    told = limits("none")
    assert (told.co2_mg_l, told.target_mg_l) == (60.0, 30.0)


@pytest.mark.parametrize("name", GROUPS)
def test_every_group_is_sane_and_says_where_it_comes_from(name):
    group = GROUPS[name]
    assert 5.0 <= group.co2_limit_mg_l <= 60.0
    assert 2.0 <= group.o2_min_mg_l <= 6.0
    assert group.meaning
    assert group.reason
    # either a source, or the admission that there is none
    for basis in (group.basis, group.o2_basis):
        assert basis == PRACTICE or any(year in basis for year in ("1963", "1986", "Guide"))


def test_invertebrates_and_young_are_held_below_community_fish():
    fish = GROUPS[DEFAULT_GROUP].co2_limit_mg_l
    for name in ("shrimp", "crayfish", "snails", "mussels", "fry", "sensitive-fish", "stream-fish"):
        assert GROUPS[name].co2_limit_mg_l < fish


def test_no_everyday_word_names_two_groups():
    words = [word for group in GROUPS.values() for word in group.words]
    assert len(words) == len(set(words))
    assert not set(words) & set(GROUPS)
    assert group_words()["guppies"] == "fish"
    assert group_words()["shrimps"] == "shrimp"
    assert all(group_words()[name] == name for name in GROUPS)
