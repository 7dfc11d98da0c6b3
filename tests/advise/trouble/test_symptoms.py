"""What a keeper sees, found by many names."""

import pytest

from leafgill.advise.trouble.symptoms import GROUPS, SYMPTOMS, symptom_of
from leafgill.errors import InputError


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("gasping-at-dawn", "gasping-at-dawn"),
        ("gasping at dawn", "gasping-at-dawn"),
        ("Gasping", "gasping-under-light"),
        ("BLACK BRUSH ALGAE", "black-brush"),
        ("bba", "black-brush"),
        ("black_brush", "black-brush"),
        ("cyanobacteria", "blue-green"),
        ("thread algae", "hair"),
        ("diatom", "diatoms"),
        ("pale new leaves", "pale-new"),
        ("co2 won't rise", "co2-stays-low"),
        ("pearls", "pearling"),
    ],
)
def test_by_its_key_its_name_and_the_trade_s_words(words, key):
    assert symptom_of(words).key == key


def test_what_is_near_is_named_and_what_is_not_lists_all():
    with pytest.raises(InputError, match=r"did you mean staghorn\?"):
        symptom_of("staghorm")
    with pytest.raises(InputError) as refused:
        symptom_of("the cat")
    assert "did you mean" not in str(refused.value)
    assert all(key in str(refused.value) for key in SYMPTOMS)
    assert len(str(refused.value).splitlines()) == 1


def test_no_name_means_two_things():
    names = [name for one in SYMPTOMS.values() for name in (one.key, one.name, *one.words)]
    plain = [name.lower().replace("-", " ") for name in names]
    twice = {name for name in plain if plain.count(name) > 1}
    for name in twice:
        assert sum(name in (n.lower().replace("-", " ") for n in (one.key, one.name, *one.words))
                   for one in SYMPTOMS.values()) == 1, name  # fmt: skip


def test_all_groups_and_animals_in_distress_are_urgent():
    assert {one.group for one in SYMPTOMS.values()} == set(GROUPS)
    assert {one.key for one in SYMPTOMS.values() if one.urgent} == {
        key for key, one in SYMPTOMS.items() if one.group == "animals"
    }


def test_the_sights_that_must_be_known():
    assert {"gasping-at-dawn", "gasping-under-light", "green-spot", "green-dust", "hair",
            "black-brush", "staghorn", "diatoms", "blue-green", "green-water", "melting",
            "pale-new", "yellow-old", "holes", "stunted", "pearling", "no-pearling",
            "co2-stays-low", "ph-swings"} <= set(SYMPTOMS)  # fmt: skip
