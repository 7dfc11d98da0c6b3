import re

import pytest

from leafgill.web.models import AnswerRow
from leafgill.web.store.tanks import change_spec, spec_of
from leafgill.web.water_page import water_part

pytestmark = pytest.mark.django_db
MIX = {"for": "mix", "aim": "kh", "to": "3", "litres": "40"}
MINERALS = {"for": "minerals", "kh": "4", "gh": "6", "litres": "40"}


@pytest.fixture(scope="session")
def worked_out(hallway):
    return water_part(hallway.tank, hallway.diary, hallway.belief, hallway.now)


@pytest.fixture
def told(ring, now, worked_out):
    """Keep what the worker found with the ring's tank."""
    ring.tank.refresh_from_db()
    version = ring.tank.version
    AnswerRow.objects.create(
        tank=ring.tank, version=version, asked_for=now, made_at=now,
        payload={"water": worked_out, "bands": {"times_s": []}, "equipment_version": version},
    )  # fmt: skip


def test_cautions_stand_there_before_anything_is_worked_out(ring, text):
    page = text(ring.get("reader", "water/"))
    assert "has not been worked out yet" in page
    assert "Bind the chlorine of tap water" in page
    assert "Nothing said; the tap water is guessed." in page


def test_what_the_usual_change_does(ring, told, text):
    page = text(ring.get("reader", "water/"))
    for words in ("The usual water change, if it were now", "30 % changed: CO2", "At once",
                  "More or less of it", "30 %, as usual", "75 %", "The hours after", "15 min",
                  "What the animals feel", "The same change, 30 % every 7 days",
                  "How it is taken in", "How each figure was worked out"):  # fmt: skip
        assert words in page, words
    assert "being worked out again" not in page
    assert "[tap]" not in page
    assert "tank file" not in page
    ring.post("owner", "diary/add/ph/", time="2025-03-08T09:00", value="6.8")
    assert "being worked out again" in text(ring.get("reader", "water/"))


def test_the_worker_keeps_it_with_the_rig(hallway):
    from leafgill.web.working.answers import EXTRAS

    assert "water" in EXTRAS


def test_more_of_it_is_more_of_everything(worked_out):
    rows = next(s for s in worked_out["sections"] if s["title"] == "More or less of it")["rows"]
    assert [row["head"] for row in rows] == ["10 %", "25 %", "30 %, as usual", "50 %", "75 %"]
    co2 = [float(row["cells"][0].split(",")[0]) for row in rows]
    assert co2 == sorted(co2, reverse=True)
    assert all(row["cells"][-1].startswith(("within", "too much")) for row in rows)


def test_too_much_for_the_animals_is_said_at_the_top(ring, hallway, now, text):
    from dataclasses import replace

    from leafgill.tank.spec_balance import Tap, WaterChanges

    hard = replace(hallway.tank, tap=Tap(kh_dkh=20.0, gh_dgh=35.0),
                   water_change=WaterChanges(percent=60.0))  # fmt: skip
    part = water_part(hard, hallway.diary, hallway.belief, hallway.now)
    assert part["strained"] == ["kh", "gh"]
    AnswerRow.objects.create(tank=ring.tank, version=1, asked_for=now, made_at=now,
                             payload={"water": part, "bands": {"times_s": []}})  # fmt: skip
    page = text(ring.get("reader", "water/"))
    assert "More than animals take at once" in page
    assert "too much: KH, GH" in page


def test_a_mix_is_worked_out_at_once(ring, text):
    response = ring.get("reader", "water/", **MIX)
    assert response.status_code == 200
    page = text(response)
    assert re.search(r"29\.\d+ L of tap water and 10\.\d+ L of pure water", page)
    assert "What the mix is" in page
    shown = {f.name: f.value for f in response.context["mix"].fields}
    assert shown == {"aim": "kh", "to": "3", "litres": "40"}


def test_minerals_are_worked_out_at_once(ring, text):
    response = ring.get("reader", "water/", **MINERALS)
    page = text(response)
    assert "For 40 L: KH 4 dKH" in page
    assert re.search(r"KHCO3 5\.\d+ g", page)
    assert "Conductivity at 25 °C" in page
    some = ring.client("reader").get(
        ring.url("water/"), {**MINERALS, "salt": ["MgSO4.7H2O", "CaSO4.2H2O", "NaHCO3"]}
    )
    assert re.search(r"NaHCO3 4\.\d+ g", text(some))
    assert "gypsum dissolves slowly" in text(some).lower()


def test_the_tanks_own_hardness_is_offered(ring):
    fields = {f.name: f.value for f in ring.get("reader", "water/").context["minerals"].fields}
    assert fields["kh"] == "4"


@pytest.mark.parametrize(
    ("form", "changes", "name"),
    [
        (MIX, {"aim": "colour"}, "aim"),
        (MIX, {"to": ""}, "to"),
        (MIX, {"to": "90"}, "to"),
        (MIX, {"litres": "0"}, "litres"),
        (MIX, {"litres": "much"}, "litres"),
        (MIX, {"aim": "part", "to": "120"}, "to"),
        (MINERALS, {"kh": ""}, "kh"),
        (MINERALS, {"gh": "-1"}, "gh"),
        (MINERALS, {"litres": "nan"}, "litres"),
        (MINERALS, {"ratio": "900"}, "ratio"),
        (MINERALS, {"tap": "200"}, "tap"),
    ],
)
def test_what_cannot_be_is_told_beside_the_field(ring, form, changes, name):
    response = ring.get("owner", "water/", **{**form, **changes})
    assert response.status_code == 422
    fields = response.context[form["for"]].fields
    assert {f.name for f in fields if f.error} == {name}
    other = response.context["minerals" if form is MIX else "mix"]
    assert not other.errors


def test_what_no_mixing_gives_is_told_above_the_form(ring, text):
    response = ring.get("owner", "water/", **{**MIX, "to": "20"})
    assert response.status_code == 422
    assert "takes minerals, not mixing" in text(response)
    soft = ring.get("owner", "water/", **{**MINERALS, "salt": "KHCO3"})
    assert soft.status_code == 422
    assert "would raise GH alone" in text(soft)


def test_a_ratio_of_nothing_leaves_it_open(ring, text):
    page = text(ring.get("owner", "water/", **{**MINERALS, "ratio": "0", "tap": "10"}))
    assert "For 40 L: KH 4 dKH" in page


def test_gallons_and_a_comma_are_meant(ring, text):
    keeper = ring.keepers["owner"]
    keeper.units, keeper.decimal = "us", ","
    keeper.save()
    page = text(ring.get("owner", "water/", **{**MINERALS, "kh": "4,5", "litres": "10"}))
    assert "For 37,9 L: KH 4,5 dKH" in page


def test_the_tap_that_is_known_is_shown(ring, text):
    from dataclasses import replace

    from leafgill.tank.spec_balance import Tap

    tank = replace(spec_of(ring.tank), tap=Tap(kh_dkh=9.0))
    change_spec(ring.tank, tank, ring.keepers["owner"])
    page = text(ring.get("reader", "water/"))
    assert "9 dKH" in page
    assert "the tap water is guessed" not in page
    assert "Change Tap water and water changes" not in page
    assert "Change Tap water and water changes" in text(ring.get("writer", "water/"))


@pytest.mark.parametrize("asked", [MIX, MINERALS, {**MIX, "to": "90"}, {}])
def test_ids_are_one_of_a_kind_and_everything_is_labelled(ring, told, asked):
    page = ring.get("owner", "water/", **asked).content.decode()
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids)), sorted(i for i in ids if ids.count(i) > 1)
    for target in re.findall(r'\s(?:for|aria-labelledby)="([^"]+)"', page):
        assert target in ids, target
    assert page.count('aria-current="page"') == 1
