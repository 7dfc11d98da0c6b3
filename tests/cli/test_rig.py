"""`leafgill rig` as a person runs it."""

import re
from pathlib import Path

import pytest

from leafgill import examples
from leafgill.science.air import LIMITS

TANKS = Path(__file__).parents[2] / "examples" / "tanks"
NOW = ("--now", "2025-03-03T12:00")


@pytest.fixture(scope="module")
def every_key():
    return TANKS / "every-key.toml"


@pytest.fixture(scope="module")
def answers():
    return {}


@pytest.fixture
def ask(command, answers):
    """Run `leafgill rig` once for each set of arguments."""

    def asked(*arguments):
        if arguments not in answers:
            answers[arguments] = command("rig", *arguments)
        return answers[arguments]

    return asked


def test_the_answer_starts_with_the_gas_a_day_and_its_interval(ask, every_key):
    ran = ask(every_key, *NOW)
    assert ran.code == 0
    first, second = ran.out.splitlines()[:2]
    assert first == "Every key, 185 L; CO2 aim 22 mg/L while lit, animals' limit 28 mg/L"
    assert second.startswith("2")
    assert " g of CO2 a day, " in second
    assert ran.err == ""


def test_everything_a_rig_is_made_of_is_told(ask, every_key):
    out = ask(every_key, *NOW).out
    for words in (
        "What to get", "Cylinders", "months it lasts", "fits cabinet", "your 2 kg",
        "Bringing the gas into the water", "2 discs", "inline diffuser (yours)", "reactor",
        "When the cylinder runs out", "single-stage", "two-stage", "From the gas to the water",
        "Check valve between counter and water", "Working pressure", "Bubbles a second", "Gas on",
        "4 dKH reference", "Parts and what they cost", "228.00 invented crowns",
        "Other sources of gas", "cartridges", "citric acid", "yeast", "silicone",
    ):  # fmt: skip
        assert words in out, words


def test_the_words_fit_the_width(ask, every_key):
    assert max(map(len, ask(every_key, *NOW).out.splitlines())) <= 100


@pytest.mark.parametrize("name", sorted(path.stem for path in TANKS.glob("*.toml")))
def test_cautions_stand_under_every_answer(ask, name):
    """On the screen and in JSON, whatever the source of the gas."""
    path = TANKS / f"{name}.toml"
    ran, told = ask(path, *NOW), ask(path, *NOW, "--json").json
    shown = " ".join(ran.out.split())
    assert "Take care" in ran.out
    assert len(told["cautions"]) == 11
    for caution in told["cautions"]:
        assert " ".join(caution.split()) in shown.replace(" - ", " "), caution
    whole = " ".join(told["cautions"])
    for words in ("upright", "ventilated", "closed cupboard", "car in the sun",
                  "room's temperature", "Leak test", "supplier", "Local codes",
                  "must always have a way out", f"{LIMITS['idlh'].ppm * 1e-4:.2g} %"):  # fmt: skip
        assert words in whole, words


def test_json_has_the_same_figures_with_their_working(ask, every_key):
    told = ask(every_key, *NOW, "--json").json
    gas = told["gas_g_per_day"]
    opened = told["figures"][gas["figure"]]
    assert (opened["value"], opened["low"], opened["high"]) == (
        gas["value"], gas["low"], gas["high"],
    )  # fmt: skip
    assert opened["formula"]
    assert opened["inputs"][0]["from"]
    assert opened["source"]
    assert told["from"] == "prior"
    assert told["parts_total"] == 228.0
    assert [source["kind"] for source in told["sources"]] == [
        "cylinder", "cartridge", "acid-bicarbonate", "yeast",
    ]  # fmt: skip
    assert sum(one["advised"] for one in told["cylinders"]) == 1
    assert sum(one["advised"] for one in told["diffusers"]) == 1


def test_every_figure_named_in_json_stands_among_the_figures(ask, every_key):
    told = ask(every_key, *NOW, "--json").json

    def named(value):
        if isinstance(value, dict):
            if isinstance(value.get("figure"), str):
                yield value["figure"]
            for part in value.values():
                yield from named(part)
        elif isinstance(value, list):
            for part in value:
                yield from named(part)

    keys = set(named({key: part for key, part in told.items() if key != "figures"}))
    assert len(keys) > 80
    assert keys <= set(told["figures"])


def test_explain_opens_the_figures(ask, every_key):
    short = ask(every_key, *NOW).out
    out = ask(every_key, *NOW, "--explain").out
    assert out.startswith(short.rstrip()[:200])
    assert "How each figure was worked out" in out
    assert out.count("worked out as:") > 80
    assert out.count("source:") == out.count("worked out as:")
    assert "How each figure" not in short


def test_a_diary_narrows_it_and_shows_the_keepers_own_count(ask):
    example = examples.HALLWAY
    now = ("--now", example.now.isoformat(timespec="minutes"))
    bare = ask(example.tank, *now, "--json").json
    known = ask(example.tank, example.diary, "--probe", example.probe, *now, "--json")
    told = known.json

    def spread(answer):
        gas = answer["gas_g_per_day"]
        return gas["high"] / gas["low"]

    assert spread(told) < 0.5 * spread(bare)
    assert (bare["from"], told["from"]) == ("prior", "diary")
    assert bare["own_bubbles_per_s"] is None
    assert told["own_bubbles_per_s"]["value"] > 0.0


def test_a_target_in_place_of_the_files(ask, every_key):
    usual = ask(every_key, *NOW, "--json").json
    low = ask(every_key, *NOW, "--json", "--target", "12").json
    assert low["target_mg_l"] == 12.0
    assert low["gas_g_per_day"]["value"] < 0.7 * usual["gas_g_per_day"]["value"]
    unit = ask(every_key, *NOW, "--json", "--target", "12 ppm").json
    assert unit["target_mg_l"] == 12.0


@pytest.mark.parametrize("suffix", ["png", "svg", "pdf"])
def test_a_chart_is_written(command, every_key, tmp_path, suffix):
    path = tmp_path / f"rig.{suffix}"
    ran = command("rig", every_key, *NOW, "--chart", path)
    assert ran.code == 0
    start = {"png": b"\x89PNG", "svg": b"<svg", "pdf": b"%PDF"}[suffix]
    assert path.read_bytes().startswith(start)
    assert path.stat().st_size > 10_000


WRONG = [
    (("--target", "3000"), "--target = 3000 mg/L cannot be; accepted: 3 to 60 mg/L"),
    (("--target", "much"), '--target = "much" is not a number; accepted: a number in mg/L, or text '
     'with its unit, as "25 mg/L"'),
    (("--probe", "p.csv"), "--probe needs a diary: leafgill rig TANK DIARY --probe FILE"),
    (("--chart", "x.gif"), '--chart "x.gif": a chart is written as .png, .svg, .pdf; end the '
     "file's name so"),
    (("nodiary.csv",), "nodiary.csv: no such file"),
]  # fmt: skip


@pytest.mark.parametrize(("arguments", "line"), WRONG)
def test_what_cannot_be_meant_is_one_line_and_exit_2(command, every_key, arguments, line):
    ran = command("rig", every_key, *NOW, *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == f"leafgill: {line}\n"


def test_a_time_that_is_none_is_told(command, every_key):
    ran = command("rig", every_key, "--now", "soon")
    assert ran.code == 2
    assert ran.err.startswith('leafgill: --now = "soon" is no time')


def test_a_tank_that_cannot_be_read_is_told(command, tmp_path):
    path = tmp_path / "tank.toml"
    path.write_text('[tank]\nname = "A"\nvolume_l = 60\n[rig]\nhose_length_m = 900\n')
    ran = command("rig", path)
    assert ran.code == 2
    assert ran.err == (
        "leafgill: tank.toml: [rig] hose_length_m: 900 is not accepted; accepted: 0.05 to 50 m "
        '(did you mean "900 cm", 9 m?)\n'
    )
    assert command("rig", tmp_path / "none.toml").code == 2


def test_the_docs_show_how_it_starts_and_name_every_key(monkeypatch, command, every_key):
    page = (Path(__file__).parents[2] / "docs" / "cli.md").read_text(encoding="utf-8")
    section = page.split("\n## rig\n")[1].split("\n## ")[0]
    monkeypatch.setenv("COLUMNS", "80")
    out = command("rig", every_key, *NOW).out
    excerpt = section.split("```\n")[3]

    def words(text):
        # draws differ in their last digits from one processor to another
        return [re.sub(r"[\d.]+", "#", " ".join(line.split())) for line in text.splitlines()]

    shown = words(excerpt)
    assert len(shown) > 30
    assert " ".join(shown[:7]) == " ".join(words(out)[:7])
    assert sum(line in words(out) for line in shown) >= len(shown) - 4
    told = command("rig", every_key, *NOW, "--json").json
    table = section.split("### As JSON")[1]
    for key in told:
        assert f"`{key}`" in table, key
