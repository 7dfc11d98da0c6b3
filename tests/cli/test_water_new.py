"""`leafgill water mix`, `minerals` and `change` as a person runs them."""

from pathlib import Path

import pytest

from leafgill import examples

ROOT = Path(__file__).parents[2]
EVERY = ROOT / "examples" / "tanks" / "every-key.toml"
HALL = examples.HALLWAY
NOW = ("--now", HALL.now.isoformat(timespec="minutes"))
TAP = ("--tap-kh", "12", "--tap-gh", "18")


@pytest.fixture(scope="module")
def answers():
    return {}


@pytest.fixture
def change(command, answers):
    """Run `leafgill water change` once for each set of options."""

    def asked(*options):
        if options not in answers:
            answers[options] = command("water", "change", HALL.tank, HALL.diary, *NOW, *options)
        return answers[options]

    return asked


def test_mix_for_a_kh(command):
    ran = command("water", "mix", EVERY, *TAP, "--kh", "4", "--litres", "50")
    assert ran.code == 0
    assert ran.out.splitlines()[0].startswith("16 L of tap water and 34 L of pure water (68 %")
    assert "KH" in ran.out
    told = command("water", "mix", EVERY, *TAP, "--gh", "9", "--litres", "10 gal", "--json").json
    assert told["gh_dgh"]["value"] == pytest.approx(9.0, rel=0.02)
    assert told["tap_l"] + told["pure_l"] == pytest.approx(37.854, rel=1e-3)
    assert told["figures"]["mixed_kh_dkh"]["inputs"]
    part = command("water", "mix", EVERY, *TAP, "--pure", "50", "--json").json
    assert part["pure_part"] == 0.5


def test_minerals_for_pure_water(command):
    ran = command("water", "minerals", EVERY, "--kh", "4", "--gh", "6", "--litres", "40")
    assert ran.code == 0
    assert ran.out.startswith("For 40 L: KH 4 dKH")
    assert "KHCO3       5.5" in ran.out
    told = command("water", "minerals", EVERY, "--litres", "40", "--json").json
    assert told["wish"]["kh_dkh"] == 5.0  # of the tank file
    assert told["kh_dkh"]["value"] == pytest.approx(5.0, abs=0.02)


def test_minerals_by_salts_ratio_and_a_part_of_tap_water(command):
    told = command("water", "minerals", EVERY, *TAP, "--kh", "5", "--gh", "8", "--litres", "40",
                   "--salt", "Epsom salt", "--salt", "gypsum", "--salt", "baking soda",
                   "--ca-to-mg", "4", "--tap", "20 %", "--json").json  # fmt: skip
    assert set(told["grams"]) == {"MgSO4.7H2O", "CaSO4.2H2O", "NaHCO3"}
    assert told["wish"]["ca_to_mg"] == 4.0
    assert any("gypsum" in note for note in told["notes"])
    free = command("water", "minerals", EVERY, "--ca-to-mg", "any", "--json").json
    assert free["wish"]["ca_to_mg"] is None


def test_a_change_at_once_in_the_hours_after_and_repeated(change):
    ran = change("--percent", "50", "--tap-kh", "9", "--tap-gh", "14", "--level", "nitrate 20")
    assert ran.code == 0
    for words in ("50 % changed: CO2", "before", "The hours after", "5 min", "without it",
                  "Highest CO2 anywhere", "What the animals feel", "The same change, 50 % every 7",
                  "How it is taken in", "chlorine", "Nitrate"):  # fmt: skip
        assert words in ran.out, words
    assert max(map(len, ran.out.splitlines())) <= 100


def test_a_change_as_json(change):
    told = change("--percent", "50", "--tap-kh", "9", "--level", "nitrate 20", "--json").json
    after, before = told["after"], told["before"]
    assert after["kh_dkh"]["value"] == pytest.approx(
        0.5 * before["kh_dkh"]["value"] + 0.5 * 9.0, rel=0.01
    )
    assert told["part"] == 0.5
    assert told["figures"]["after_co2_mg_l"]["source"]
    assert told["course"][0]["minutes"] == 0.0
    assert told["series"]["every_days"] == 7.0
    colder = change("--percent", "50", "--temperature", "59 °F", "--json").json
    assert colder["after"]["temperature_c"]["value"] == pytest.approx(0.5 * (24.5 + 15.0), abs=0.3)


def test_pure_water_and_how_often(change):
    told = change("--percent", "40", "--pure", "100", "--every", "3", "--json").json
    assert told["series"]["every_days"] == 3.0
    assert told["series"]["levels"]["KH"]["end"]["value"] < 0.5


WRONG = [
    (("mix", EVERY), "exactly one of --kh, --gh and --pure is needed, to mix for it"),
    (("mix", EVERY, "--kh", "40"), "--kh = 40 dKH cannot be; accepted: 0 to 30 dKH"),
    (("mix", EVERY, "--tap-kh", "5", "--kh", "8"),
     "KH 8 dKH does not lie between pure water (0.1) and tap water (5): more than the tap's takes "
     "minerals, not mixing"),
    (("minerals", EVERY, "--salt", "pixie dust"), '--salt: a salt "pixie dust"; accepted: '),
    (("minerals", ROOT / "examples" / "tanks" / "smallest.toml"),
     "the KH and GH to meet are not known: give --kh and --gh"),
    (("minerals", EVERY, "--ca-to-mg", "0"), "--ca-to-mg = 0 cannot be; accepted: 0.1 to 50"),
    (("change", HALL.tank, HALL.diary, *NOW, "--percent", "0"),
     "--percent = 0 changes nothing; accepted: above 0 to 100 %"),
    (("change", HALL.tank, HALL.diary, *NOW, "--percent", "120"),
     "--percent = 120 % cannot be; accepted: 0 to 100 %"),
    (("change", HALL.tank, HALL.diary, *NOW, "--level", "gold 3"),
     '--level = "gold 3" is no test; write "nitrate 20"; accepted: nitrate'),
    (("change", HALL.tank, HALL.diary, *NOW, "--every", "0"),
     "--every = 0 cannot be; accepted: 0.05 to 365 days"),
]  # fmt: skip


@pytest.mark.parametrize(("arguments", "line"), WRONG)
def test_what_cannot_be_meant_is_one_line_and_exit_2(command, arguments, line):
    ran = command("water", *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(f"leafgill: {line}")
    assert ran.err.count("\n") == 1


def test_options_before_a_command_are_refused(command):
    ran = command("water", "--ph", "7", "mix", EVERY, "--kh", "4")
    assert ran.code == 2
    assert ran.err == (
        "leafgill: --ph is for leafgill water alone; options of mix stand after it\n"
    )


@pytest.mark.parametrize(
    ("title", "arguments"),
    [
        ("mix", ("mix", EVERY, *TAP, "--kh", "4")),
        ("minerals", ("minerals", EVERY)),
        ("change", ("change", HALL.tank, HALL.diary, *NOW)),
    ],
)
def test_the_docs_name_every_key(command, title, arguments):
    page = (ROOT / "docs" / "cli.md").read_text(encoding="utf-8")
    section = page.split(f"\n### {title}\n")[1].split("\n### ")[0].split("\n## ")[0]
    for key in command("water", *arguments, "--json").json:
        assert f"`{key}`" in section, key
