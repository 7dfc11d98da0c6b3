"""`leafgill dose` as a person runs it."""

from pathlib import Path

import pytest

TANKS = Path(__file__).parents[2] / "examples" / "tanks"
CUBE = TANKS / "shrimp-cube.toml"
WISHES = ("--raise", "nitrate 5 KNO3", "--raise", "phosphate 0.5")


@pytest.fixture
def with_bottles(tmp_path):
    path = tmp_path / "tank.toml"
    path.write_text(
        '[tank]\nname = "Shelf"\nvolume_l = 100\n[salts]\nkept = ["Ca(NO3)2.4H2O"]\n'
        'bottles = ["macro: 500 mL, KNO3 30 g, KH2PO4 4 g", "lime: 500 mL, CaCl2.2H2O 40 g"]\n'
    )
    return path


def test_what_to_weigh_comes_first(command):
    ran = command("dose", CUBE, *WISHES)
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert lines[0] == "stock of 500 mL, 10 mL a dose; Shrimp cube, 25 L"
    assert lines[1] == "This bottle keeps, and does no harm in such doses"
    for words in ("KNO3    10.19 g  potassium nitrate", "Does it dissolve", "Take care",
                  "At 15 °C", "nitrate", "5, 4.6 to 5.5", "50 doses"):  # fmt: skip
        assert words in ran.out, words
    assert max(map(len, lines)) <= 100


def test_what_is_kept_at_home_is_taken(command, with_bottles):
    told = command("dose", with_bottles, "--raise", "nitrate 5", "--json").json
    assert list(told["bottles"][0]["grams"]) == ["Ca(NO3)2.4H2O"]


def test_the_files_bottles_and_which_to_keep_apart(command, with_bottles):
    ran = command("dose", with_bottles)
    assert "macro of 500 mL" in ran.out
    assert "lime of 500 mL" in ran.out
    assert "Keep apart" in ran.out
    assert '"macro" and "lime": calcium' in ran.out
    told = command("dose", with_bottles, "--json").json
    assert [one["bottle"] for one in told["bottles"]] == ["macro", "lime"]
    assert told["keep_apart"][0]["bottles"] == ["macro", "lime"]


def test_options_are_meant(command):
    usual = command("dose", CUBE, *WISHES, "--json").json["bottles"][0]
    options = ("--bottle", "1 L", "--dose", "5 ml", "--per-week", "3.5", "--coldest", "41 °F")
    (other,) = command("dose", CUBE, *WISHES, "--json", *options, "--ph", "8").json["bottles"]
    assert other["grams"]["KNO3"] == pytest.approx(4.0 * usual["grams"]["KNO3"], rel=1e-5)
    assert (other["bottle_ml"], other["dose_ml"], other["doses"]) == (1000.0, 5.0, 200.0)
    assert other["coldest_c"] == pytest.approx(5.0)
    assert other["lasts_weeks"] == pytest.approx(200 / 3.5, rel=1e-5)
    assert other["dose_brings"]["dose_nitrate_mg_l"]["value"] == pytest.approx(5.0, rel=1e-4)


def test_harm_is_said_first(command):
    ran = command("dose", CUBE, "--mix", "n: 500 mL, urea 30 g, CuSO4.5H2O 1 g")
    assert ran.out.splitlines()[1].startswith("Do not dose this: ammonia and copper")
    told = command("dose", CUBE, "--mix", "n: 500 mL, urea 30 g", "--json").json["bottles"][0]
    assert told["harmless"] is False
    assert told["animals"][0]["limit"] == 0.02  # shrimp


def test_explain_opens_every_figure(command):
    short, long = (command("dose", CUBE, *WISHES, *more).out for more in ((), ("--explain",)))
    assert long.startswith(short.rstrip()[:300])
    assert long.count("worked out as:") == long.count("source:") > 8


def test_figures_named_in_json_are_there(command):
    (bottle,) = command("dose", CUBE, *WISHES, "--json").json["bottles"]
    for one in (*bottle["dose_brings"].values(), *(d["share"] for d in bottle["dissolving"])):
        assert bottle["figures"][one["figure"]]["value"] == one["value"]


WRONG = [
    ((), 'no bottle: give --raise "nitrate 5 KNO3" or --mix "macro: 500 mL, KNO3 30 g", or write '
     "bottles under [salts] in the tank file"),
    (("--raise", "gold 5"), '"gold 5": a wish is for one of nitrate, phosphate, nitrogen, '
     "phosphorus, potassium, calcium, magnesium, iron, manganese, zinc, copper, boron, molybdenum, "
     "ammonium"),
    (("--raise", "nitrate 5", "--dose", "0"),
     "--dose = 0 mL cannot be; accepted: 0.05 to 10000 mL"),
    (("--raise", "nitrate 5", "--dose", "600"),
     "a dose of 600 mL is more than the bottle's 500 mL"),
    (("--raise", "nitrate 5", "--coldest", "50"),
     "--coldest = 50 °C cannot be; accepted: 0 to 40 °C"),
    (("--raise", "nitrate 5", "--per-week", "0"), "--per-week = 0 cannot be; accepted: 0.1 to 70"),
    (("--raise", "nitrate 5", "--ph", "3"), "--ph = 3 cannot be; accepted: 5 to 9.5"),
    (("--mix", "a: 500 mL, KNO3 5 g", "--bottle", "100"),
     "--bottle is the size for --raise; a --mix says its own"),
]  # fmt: skip


@pytest.mark.parametrize(("arguments", "line"), WRONG)
def test_what_cannot_be_meant_is_one_line_and_exit_2(command, arguments, line):
    ran = command("dose", CUBE, *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == f"leafgill: {line}\n"


def test_the_docs_name_every_key(command):
    page = (Path(__file__).parents[2] / "docs" / "cli.md").read_text(encoding="utf-8")
    section = page.split("\n## dose\n")[1].split("\n## ")[0]
    told = command("dose", CUBE, *WISHES, "--json").json
    for key in (*told, *told["bottles"][0]):
        assert f"`{key}`" in section, key
