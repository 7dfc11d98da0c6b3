"""Trouble in words, and clues that are kept and read back."""

import json

from leafgill.advise.drawn import figure
from leafgill.advise.figure import Input
from leafgill.advise.trouble import CAUSES, SYMPTOMS, Clue, rank
from leafgill.answer import trouble_json
from leafgill.answer import trouble_said as said
from leafgill.answer.figures import plain
from leafgill.science.cited import Range

ALL = {link.clue for cause in CAUSES.values() for link in cause.links}
SHOWN = figure("clue_o2_low_dawn", "Lowest oxygen", Range(3.0, 2.0, 4.0), "mg/L", "lowest",
               (Input("held against", 5.0, "mg/L", "minimum"),), "belief")  # fmt: skip


def ranked(symptom="gasping-at-dawn", **chances):
    found = {
        key: Clue(key, f"{key} holds", chances.get(key), f"a test of {key}",
                  (SHOWN,) if key == "o2_low_dawn" else ())
        for key in ALL
    }  # fmt: skip
    return rank(SYMPTOMS[symptom], found)


def test_the_headline_says_whether_it_is_known():
    known = said.headline(ranked(o2_low_dawn=0.97))
    assert known.startswith("Most likely: too little oxygen at the end of the night (")
    assert known.endswith(").") and " to " in known
    assert said.headline(ranked()) == "Not known: the record tells nothing of these causes."
    apart = said.headline(ranked("hair", light_long=0.15))
    assert apart.startswith("Not known for sure: the record does not tell the causes apart.")


def test_a_record_against_everything_is_said_as_that():
    found = ranked("diatoms", young=0.0, silicate=0.0, light_strong=1.0, light_long=1.0,
                   changes_rare=0.0, filter_old=0.0, nitrate_high=0.0)  # fmt: skip
    assert said.headline(found) == (
        "Not known: the record speaks against the causes that are usual for it."
    )


def test_grounds_tell_chance_and_by_how_much():
    first = ranked(o2_low_dawn=0.97).first
    assert said.grounds(first) == [
        "O2_low_dawn holds: chance 97 %; speaks for it (12 times as likely)."
    ]
    against = next(one for one in ranked(o2_low_dawn=0.002).suspects if one.cause.key == "o2_dawn")
    assert said.grounds(against) == [
        "O2_low_dawn holds: chance under 1 %; speaks against it (12 times less likely)."
    ]
    plainly = ranked("hair", light_long=1.0).first
    assert "Light_long holds: yes; speaks for it (6.0 times as likely)." in said.grounds(plainly)


def test_what_the_record_does_not_tell_is_said_with_what_would():
    one = ranked("hair").first
    assert "Not known whether light_long holds. To know it: a test of light_long." in said.not_told(
        one
    )
    asks = said.would_tell(ranked("green-spot"))
    assert asks[0] == "A test of phosphate_low."


def test_a_sentence_that_asks_keeps_its_mark():
    assert said.stopped("was it today?") == "Was it today?"
    assert said.stopped("look at it") == "Look at it."


def test_groups_hold_every_symptom_once():
    keys = [key for _, rows in said.symptoms_by_group() for key, _, _ in rows]
    assert sorted(keys) == sorted(SYMPTOMS)


def test_json_of_a_ranking():
    told = json.loads(json.dumps(plain(trouble_json.as_json(ranked(o2_low_dawn=0.97)))))
    assert (told["verdict"], told["urgent"]) == ("known", True)
    first = told["causes"][0]
    assert first["key"] == "o2_dawn"
    assert first["share_low"] <= first["share"] <= first["share_high"]
    assert first["grounds"][0]["figures"][0] in told["figures"]
    assert sum(cause["share"] for cause in told["causes"]) > 0.999


def test_clues_come_back_from_json_as_they_were():
    clues = [Clue("a", "it is", 0.25, "look", (SHOWN,)), Clue("b", "it was", None, "ask")]
    kept = json.loads(json.dumps(plain(trouble_json.clues_json(clues))))
    assert trouble_json.clues_from(kept) == {clue.key: clue for clue in clues}


def test_animals_come_before_causes():
    assert said.ACT_FIRST.index("shut the gas") < said.ACT_FIRST.index("cause")
    assert "whatever the figures say" in said.ANIMALS_ARE_RIGHT
    assert "Leave the gas shut" in said.ANIMALS_ARE_RIGHT
