"""`leafgill trouble` as a person runs it."""

from leafgill.advise.trouble import SYMPTOMS
from leafgill.answer.card import IN_DANGER
from leafgill.examples import HALLWAY

FILES = (HALLWAY.tank, HALLWAY.diary)
NOW = ("--probe", HALLWAY.probe, "--now", "2025-03-08T12:10")


def squeezed(ran):
    return " ".join(ran.out.split())


def test_without_a_name_all_that_can_be_named(command):
    ran = command("trouble", *FILES)
    assert ran.code == 0
    assert all(key in ran.out for key in SYMPTOMS)
    told = command("trouble", *FILES, "--json").json
    assert {row["key"] for row in told["symptoms"]} == set(SYMPTOMS)


def test_gasping_acts_first_and_looks_for_the_cause_after(command):
    ran = command("trouble", *FILES, "gasping", *NOW)
    assert ran.code == 0, ran.err
    words = squeezed(ran)
    order = ["Animals in distress come first", *(" ".join(line.split()) for line in IN_DANGER),
             "What not to do", "Minute by minute: CO2", "Minute by minute: Oxygen",
             "Then the cause", "Animals are right", "Causes"]  # fmt: skip
    places = [words.index(part) for part in order]
    assert places == sorted(places)
    assert "CO2 passed 30 mg/L somewhere under the last light" in words


def test_algae_by_trade_name_without_any_emergency(command):
    ran = command("trouble", *FILES, "black brush", *NOW)
    assert ran.code == 0
    assert "Black brush algae" in ran.out
    assert "Shut the gas" not in ran.out
    assert "Check: " in ran.out
    assert "common practice, no source" in squeezed(ran)


def test_not_known_is_said(command):
    ran = command("trouble", *FILES, "holes", *NOW)
    assert "Not known: the record tells nothing of these causes." in squeezed(ran)
    assert "A test of potassium." in ran.out


def test_json_with_minutes_for_animals_only(command):
    told = command("trouble", *FILES, "gasping-at-dawn", *NOW, "--json").json
    assert told["symptom"] == "gasping-at-dawn"
    assert told["minutes"]["minutes"][:3] == [0, 5, 10]
    assert told["causes"][0]["share"] >= told["causes"][1]["share"]
    plants = command("trouble", *FILES, "pearling", *NOW, "--json", "--explain").json
    assert plants["minutes"] is None


def test_figures_open(command):
    ran = command("trouble", *FILES, "pearling", *NOW, "--explain")
    assert "Most oxygen against what air gives" in squeezed(ran)


def test_a_word_that_is_none_is_refused_in_one_line(command):
    ran = command("trouble", *FILES, "staghorm")
    assert ran.code == 2
    assert "did you mean staghorn?" in ran.err
    assert len(ran.err.splitlines()) == 1
