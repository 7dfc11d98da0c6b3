import re

import pytest

from leafgill.web.store.tanks import spec_of

pytestmark = pytest.mark.django_db
WISH = {"what1": "nitrate", "raise1": "5", "what2": "phosphate", "raise2": "0.5"}
MACRO = "500 mL, KNO3 30 g, KH2PO4 4 g"


def keep(ring, who="owner", name="Macro", line=MACRO):
    return ring.post(who, "bottles/keep/", name=name, line=line)


def bottles_of(ring):
    return [str(one) for one in spec_of(ring.tank).salts.bottles]


def test_nothing_at_home_yet(ring, text):
    page = text(ring.get("reader", "bottles/"))
    assert "No bottle is written down yet" in page
    assert "poisonous" in page
    assert "Change salts and bottles at home" not in page
    assert "Change salts and bottles at home" in text(ring.get("writer", "bottles/"))


def test_a_bottle_is_worked_out(ring, text):
    response = ring.get("reader", "bottles/", **WISH)
    assert response.status_code == 200
    page = text(response)
    for words in ("The bottle for that", "stock of 500 mL, 10 mL a dose; Den, 60 L",
                  "This bottle keeps, and does no harm", "KNO3 24.46 g", "nitrate 5, 4.6 to 5.5",
                  "50 doses; at 7 a week", "How each figure was worked out"):  # fmt: skip
        assert words in page, words
    assert "Keep it among my bottles" not in page
    assert "Keep it among my bottles" in text(ring.get("writer", "bottles/", **WISH))
    assert bottles_of(ring) == []


def test_grams_are_as_a_scale_shows_them(ring):
    response = ring.get("owner", "bottles/", **WISH)
    assert response.context["line"] == "500.0 mL, KNO3 24.46 g, KH2PO4 2.15 g"


def test_how_it_is_dosed_is_meant(ring, text):
    page = text(ring.get("owner", "bottles/", **WISH, bottle="1 L", dose="5", week="3.5",
                         coldest="50 °F"))  # fmt: skip
    assert "stock of 1000 mL, 5 mL a dose" in page
    assert "200 doses; at 3.5 a week" in page
    assert "At 10 °C, the coldest" in page


def test_harm_and_crystals_are_said_first(ring, text):
    page = text(ring.get("owner", "bottles/", what1="copper", raise1="1"))
    assert "Do not dose this: copper would pass" in page
    strong = text(ring.get("owner", "bottles/", what1="potassium", raise1="50", dose="2"))
    assert "This does not all dissolve" in strong
    assert "would surely stay dissolved and bring the same" in strong


def test_the_salts_at_home_come_first(ring, text):
    ring.post("owner", "about/fertiliser/", **{"salts-kept": "Ca(NO3)2.4H2O"})
    response = ring.get("owner", "bottles/", what1="nitrate", raise1="5")
    choices = [c.label for c in response.context["wishes"][0].salt.choices]
    assert choices[1] == "Ca(NO3)2.4H2O, calcium nitrate tetrahydrate (at home)"
    assert "Ca(NO3)2.4H2O" in text(response).split("At home")[0]


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"what1": "gold"}, "what1"),
        ({"what1": ""}, "what1"),
        ({"raise1": ""}, "raise1"),
        ({"raise1": "0"}, "raise1"),
        ({"raise1": "500"}, "raise1"),
        ({"raise1": "lots"}, "raise1"),
        ({"what2": "nitrate"}, "what2"),
        ({"salt1": "K2SO4"}, "salt1"),
        ({"salt1": "dust"}, "salt1"),
        ({"dose": "0"}, "dose"),
        ({"bottle": "nan"}, "bottle"),
        ({"week": "100"}, "week"),
        ({"coldest": "60"}, "coldest"),
    ],
)
def test_what_cannot_be_is_told_beside_the_field(ring, changes, name):
    response = ring.get("owner", "bottles/", **{**WISH, **changes})
    assert response.status_code == 422
    shown = [f for wish in response.context["wishes"] for f in wish] + response.context["dosing"]
    assert {f.name for f in shown if f.error} == {name}
    values = {f.name: f.value for f in shown}
    assert values[name] == {**WISH, **changes}[name]
    assert response.context["tried"] is None


def test_only_a_dose_typed_asks_what_it_is_for(ring):
    response = ring.get("owner", "bottles/", dose="5")
    assert response.status_code == 422
    assert response.context["wishes"][0].what.error


def test_wishes_that_do_not_go_together_are_told(ring, text):
    response = ring.get("owner", "bottles/", **WISH, what3="potassium", raise3="2")
    assert response.status_code == 422
    assert "KNO3 for 5 mg/L of nitrate already brings" in text(response)


def test_a_bottle_is_kept_and_shown(ring, text):
    response = keep(ring)
    assert (response.status_code, response["Location"]) == (302, ring.url("bottles/"))
    assert bottles_of(ring) == ["Macro: 500.0 mL, KNO3 30.0 g, KH2PO4 4.0 g"]
    page = text(ring.get("reader", "bottles/"))
    assert "Macro of 500 mL, 10 mL a dose" in page
    assert "No bottle is written down yet" not in page
    assert "macro: 500" in text(ring.get("reader", "about/")).lower()


def test_kept_twice_it_is_there_once(ring):
    keep(ring)
    versions = spec_of(ring.tank)
    assert keep(ring).status_code == 302
    assert bottles_of(ring) == ["Macro: 500.0 mL, KNO3 30.0 g, KH2PO4 4.0 g"]
    assert spec_of(ring.tank) == versions


def test_another_of_the_same_name_is_refused(ring, text):
    keep(ring)
    response = keep(ring, name="macro", line="500 mL, KNO3 10 g")
    assert response.status_code == 422
    assert 'There is a bottle called "macro" already.' in text(response)
    assert "The bottle for that" in text(response)
    assert len(bottles_of(ring)) == 1


@pytest.mark.parametrize(
    ("name", "line"),
    [("", MACRO), ("x" * 60, MACRO), ("Macro", ""), ("Macro", "KNO3 30 g"), ("Macro", "<b>")],
)
def test_what_is_no_bottle_is_not_kept(ring, name, line):
    response = keep(ring, name=name, line=line)
    assert response.status_code == 422
    assert bottles_of(ring) == []
    assert "<b>" not in response.content.decode().split("At home")[0].split("value=")[0]


def test_a_colon_in_a_name_is_no_harm(ring):
    keep(ring, name="a: 1 L, KNO3")
    assert bottles_of(ring) == ["a 1 L, KNO3: 500.0 mL, KNO3 30.0 g, KH2PO4 4.0 g"]


def test_readers_and_strangers_keep_nothing(ring):
    for who in ("reader", "stranger", "nobody"):
        keep(ring, who)
        assert bottles_of(ring) == []
    assert keep(ring, "writer").status_code == 302


def test_bottles_to_keep_apart(ring, text):
    keep(ring)
    assert "Keep apart" not in text(ring.get("reader", "bottles/"))
    keep(ring, name="Lime", line="500 mL, CaCl2.2H2O 40 g")
    page = text(ring.get("reader", "bottles/"))
    assert 'Keep apart "Macro" and "Lime": calcium' in page


def test_the_one_worked_out_is_held_against_those_at_home(ring, text):
    keep(ring)
    page = text(ring.get("reader", "bottles/", what1="calcium", raise1="5"))
    assert '"Macro" and "stock": calcium' in page


def test_a_small_bottle_at_home_is_shown_beside_a_large_dose(ring, text):
    keep(ring, name="Small", line="20 mL, KNO3 2 g")
    page = text(ring.get("reader", "bottles/", **WISH, dose="50"))
    assert "Small of 20 mL, 20 mL a dose" in page


def test_ids_are_one_of_a_kind_and_everything_is_labelled(ring):
    keep(ring)
    keep(ring, name="Lime", line="500 mL, CaCl2.2H2O 40 g")
    page = ring.get("owner", "bottles/", **WISH).content.decode()
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids)), sorted(i for i in ids if ids.count(i) > 1)
    for target in re.findall(r'\s(?:for|aria-labelledby)="([^"]+)"', page):
        assert target in ids, target
    assert page.count('aria-current="page"') == 1  # the part of the pages that it belongs to
