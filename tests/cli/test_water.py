"""`leafgill water`: figures against the equilibrium itself, its JSON, its words."""

import math

import pytest

from leafgill.cli.water import CO2_ACCEPTED, PH_ACCEPTED
from leafgill.diary import KINDS, SENSORS, Kind
from leafgill.science import carbonate
from leafgill.science.constants import DKH_MEQ_L


def co2(ph, kh, temperature=25.0, gh=6.0):
    return carbonate.co2_mg_l(ph, kh * DKH_MEQ_L, temperature, gh_dgh=gh)


def test_exact_readings_give_the_equilibrium(command):
    ran = command("water", "--ph", 6.8, "--kh", 4, "--gh", 0, "--ph-error", 0, "--kh-error", 0,
                  "--json")  # fmt: skip
    assert ran.code == 0
    # PHREEQC (phreeqc.dat) gives 21.43 mg/L for this sodium bicarbonate water
    assert ran.json["co2_mg_l"]["mean"] == pytest.approx(21.43, rel=5e-3)
    assert ran.json["co2_mg_l"]["low"] == ran.json["co2_mg_l"]["high"]


def test_json_names_what_went_in_and_what_was_assumed(command):
    answer = command("water", "--ph", 6.8, "--kh", 4, "--json").json
    assert set(answer) == {"co2_mg_l", "from", "notes"}
    assert set(answer["co2_mg_l"]) == {"mean", "low", "high", "as_read"}
    assert answer["from"] == {
        "ph": 6.8,
        "ph_error": 0.1,
        "kh_dkh": 4.0,
        "kh_error": 0.5,
        "kh_drop": None,
        "co2_mg_l": None,
        "temperature_c": 25.0,
        "gh_dgh": 6.0,
        "assumed": ["gh", "kh_error", "ph_error"],
    }
    assert answer["co2_mg_l"]["as_read"] == pytest.approx(co2(6.8, 4.0), rel=1e-5)
    assert answer["co2_mg_l"]["low"] < answer["co2_mg_l"]["as_read"] < answer["co2_mg_l"]["high"]


def test_both_errors_widen_as_they_should(command):
    answer = command("water", "--ph", 6.8, "--kh", 4, "--ph-error", 0.1, "--kh-error", 0.5,
                     "--json").json["co2_mg_l"]  # fmt: skip
    # in logarithms the two half-widths add in square
    half = math.hypot(0.1 * math.log(10.0), 0.5 / 4.0)
    assert math.log(answer["high"] / answer["low"]) == pytest.approx(2.0 * half, rel=0.02)


def test_drops_rounded_up_put_the_middle_below_the_count(command):
    answer = command("water", "--ph", 6.8, "--kh", 4, "--ph-error", 0, "--kh-drop", 1,
                     "--json").json["co2_mg_l"]  # fmt: skip
    assert answer["mean"] == pytest.approx(co2(6.8, 3.5), rel=2e-3)
    assert answer["high"] < answer["as_read"] == pytest.approx(co2(6.8, 4.0), rel=1e-5)
    assert answer["low"] > co2(6.8, 3.0)


def test_ph_from_co2_and_kh(command):
    answer = command("water", "--co2", 25, "--kh", 3, "--kh-error", 0, "--json").json["ph"]
    assert co2(answer["mean"], 3.0) == pytest.approx(25.0, rel=1e-4)


def test_kh_from_ph_and_co2(command):
    answer = command("water", "--co2", 25, "--ph", 6.5, "--ph-error", 0, "--json").json["kh_dkh"]
    assert co2(6.5, answer["mean"]) == pytest.approx(25.0, rel=1e-4)


def test_units_are_taken_as_typed(command):
    plain = command("water", "--ph", 6.8, "--kh", 4, "--temperature", 25, "--json").json
    typed = command("water", "--ph", 6.8, "--kh", "71.392 ppm", "--temperature", "77 °F",
                    "--gh", "6 dGH", "--json").json  # fmt: skip
    assert typed["co2_mg_l"]["mean"] == pytest.approx(plain["co2_mg_l"]["mean"], rel=1e-4)
    assert typed["from"]["assumed"] == ["kh_error", "ph_error"]


def test_the_trades_rule_is_shown_only_when_asked_for(command):
    without = command("water", "--ph", 6.8, "--kh", 4)
    assert "rule" not in without.out
    shown = command("water", "--ph", 6.8, "--kh", 4, "--gh", 0, "--compare")
    assert "For comparison only" in shown.out
    answer = command("water", "--ph", 6.8, "--kh", 4, "--gh", 0, "--compare", "--json").json
    assert answer["trade_rule"]["co2_mg_l"] == pytest.approx(3 * 4 * 10**0.2, rel=1e-4)
    # against PHREEQC's 21.43 mg/L the rule's 19.02 is 11 % low
    assert answer["trade_rule"]["bias"] == pytest.approx(-0.112, abs=0.004)
    assert "11 % less" in shown.out


def test_words_give_the_interval_first_and_say_what_was_assumed(command):
    out = command("water", "--ph", 6.8, "--kh", 4).out
    lines = out.splitlines()
    assert lines[0] == "CO2 21 mg/L, 16 to 27"
    assert "0.1 off (assumed; say --ph-error)" in out
    assert "0.5 dKH off (assumed; say --kh-error)" in out
    assert "assumed; say --gh" in out
    assert "A drop checker with 4 dKH reference would settle at blue-green to green" in out


def test_a_drop_checkers_colour_has_one_name_where_both_ends_agree(command):
    out = command("water", "--ph", 7.4, "--kh", 3, "--ph-error", 0.02, "--kh-error", 0.1).out
    assert "would settle at blue in such" in out


def test_ph_is_said_as_ph(command):
    assert command("water", "--co2", 25, "--kh", 3).out.startswith("pH 6.59, 6.51 to 6.66\n")


def test_outside_the_checked_range_it_says_so(command):
    answer = command("water", "--ph", 8.5, "--kh", 20, "--json").json
    assert len(answer["notes"]) == 2
    assert answer["notes"][0].startswith("pH 8.5 is outside 6 to 8")
    assert answer["notes"][1].startswith("KH 20 is outside 0.5 to 15")
    assert "Note: pH 8.5" in command("water", "--ph", 8.5, "--kh", 20).out


def test_a_kh_near_nothing_keeps_a_positive_interval(command):
    answer = command("water", "--ph", 6.2, "--kh", 0.4, "--json").json["co2_mg_l"]
    assert 0.0 < answer["low"] < answer["high"]


def test_the_diary_accepts_the_same():
    assert KINDS[Kind.PH].accepted == PH_ACCEPTED
    assert SENSORS["co2"].accepted[1] == CO2_ACCEPTED[1]


WRONG = {
    "nothing": ((), "exactly two of --ph, --kh and --co2 are needed"),
    "one": (("--ph", 7), "exactly two"),
    "three": (("--ph", 7, "--kh", 4, "--co2", 20), "exactly two"),
    "pH of no water": (("--ph", 14, "--kh", 4), "--ph = 14 cannot be; accepted: 3 to 11"),
    "pH that is a word": (("--ph", "green", "--kh", 4), "--ph"),
    "pH not a number": (("--ph", "nan", "--kh", 4), "--ph = nan cannot be"),
    "no KH": (("--ph", 7, "--kh", 0), "--kh = 0 cannot be"),
    "KH in the wrong unit": (("--ph", 7, "--kh", "4 gal"), "--kh"),
    "too hot": (("--ph", 7, "--kh", 4, "--temperature", 60), "--temperature = 60 cannot be"),
    "GH below nothing": (("--ph", 7, "--kh", 4, "--gh", -1), "--gh = -1 cannot be"),
    "CO2 below nothing": (("--co2", -5, "--kh", 4), "--co2 = -5 cannot be"),
    "error below nothing": (("--ph", 7, "--kh", 4, "--ph-error", -0.1), "--ph-error = -0.1"),
    "both errors of KH": (
        ("--ph", 7, "--kh", 4, "--kh-error", 1, "--kh-drop", 1),
        "--kh-error and --kh-drop say the same thing twice",
    ),
    "an error of nothing read": (("--co2", 20, "--kh", 4, "--ph-error", 0.1), "needs a --ph"),
    "a drop of nothing read": (("--co2", 20, "--ph", 7, "--kh-drop", 1), "need a --kh"),
    "a water that cannot be": (("--ph", 10.9, "--co2", 250), "no water has --ph 10.9"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_cannot_be_meant_is_one_line_and_exit_2(command, case):
    arguments, said = WRONG[case]
    ran = command("water", *arguments)
    assert ran.code == 2
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1
    assert ran.err.startswith("leafgill: ")
    assert said in ran.err
