"""The balance page: what was worked out, what to do first, and the two forms."""

import json
import re
from dataclasses import replace
from datetime import timedelta
from xml.etree import ElementTree

import pytest

from leafgill.advise.balance import balance_of
from leafgill.answer.figures import plain
from leafgill.diary import Diary, Entry
from leafgill.tank.spec_balance import Lamp, Salts
from leafgill.web.balance_page import balance_part
from leafgill.web.models import AnswerRow, EntryRow
from leafgill.web.store.tanks import change_spec, spec_of
from leafgill.web.working.answers import EXTRAS, EXTRAS_AT, EXTRAS_VERSION

pytestmark = pytest.mark.django_db
KNOWN = Salts(("KNO3",), ())


def part_of(tank, diary, belief):
    found = balance_of(tank, diary, belief, belief.now, 2)
    return json.loads(json.dumps(plain(balance_part(found, diary))))


@pytest.fixture(scope="session")
def unknown_part(hallway):
    return part_of(hallway.tank, hallway.diary, hallway.belief)


@pytest.fixture(scope="session")
def known_part(hallway):
    at = hallway.now - timedelta(days=3)
    rows = [
        Entry(at, "dose", 1.0, "g", "KNO3"),
        Entry(at, "dose", 1.0, "mL", "green juice"),
        Entry(at, "test", 2.0, "mg/L", "nitrate"),
    ]
    diary = Diary([*hallway.diary.entries, *rows], timezone=hallway.diary.timezone)
    tank = replace(hallway.tank, lamp=Lamp(power_w=38.0), salts=KNOWN)
    return part_of(tank, diary, hallway.belief)


@pytest.fixture
def told(ring, now):
    """Return a function that keeps what the worker found with the ring's tank."""

    def keep(part):
        ring.tank.refresh_from_db()
        version = ring.tank.version
        payload = {
            "balance": part, "bands": {"times_s": []},
            EXTRAS_VERSION: version, EXTRAS_AT: now.isoformat(),
        }  # fmt: skip
        AnswerRow.objects.create(tank=ring.tank, version=version, asked_for=now, made_at=now,
                                 payload=payload)  # fmt: skip

    return keep


def entry_of(ring, response):
    number = int(re.search(r"wrote=(\d+)", response["Location"])[1])
    return EntryRow.objects.get(pk=number, tank=ring.tank)


def test_before_anything_is_worked_out(ring, text):
    page = text(ring.get("writer", "balance/"))
    assert "has not been worked out yet" in page
    assert "What helps it most: the lamp and the hours of light" in page
    assert "A test of just now" in page
    assert "Nothing said." in page
    assert "Lower light first and gas after it" in page


def test_the_worker_keeps_it_with_the_rig():
    assert "balance" in EXTRAS


def test_the_worker_gives_the_balance_to_care_as_well(hallway, monkeypatch):
    from leafgill.web import care_page
    from leafgill.web.working.job import Job, rig_job

    given, before = [], care_page.care_part

    def seen(*words):
        given.append(words[-1])
        return before(*words)

    monkeypatch.setattr(care_page, "care_part", seen)
    outcome = rig_job(Job(hallway.tank, hallway.diary, hallway.now))
    assert outcome.error == ""
    assert {"rig", "care", "clues", "water", "balance"} == set(outcome.payload)
    assert given[0].nutrient("nitrate").name == "nitrate"
    json.dumps(outcome.payload)


def test_a_tank_nothing_is_known_of_is_led_to_what_tells_most(ring, told, unknown_part, text):
    told(unknown_part)
    response = ring.get("owner", "balance/")
    page = text(response)
    for words in ("What holds growth back", "What to do first", "Describe the lamp",
                  "By what is usual, and no more than a beginning",
                  "usual salts are shown", "Test nitrate and phosphate"):  # fmt: skip
        assert words in page, words
    for wrong in ("[lamp]", "[salts]", "tank file", "`leafgill", "leafgill next"):
        assert wrong not in page, wrong
    html = response.content.decode()
    first = html[html.index('id="first"') : html.index('id="doses"')]
    for slug in ("lamp", "fertiliser"):
        assert f'href="{ring.url(f"about/{slug}/")}"' in first
    assert 'href="#write"' in first
    # a reader changes nothing, so is led nowhere
    shown = ring.get("reader", "balance/").content.decode()
    assert "about/lamp/" not in shown
    assert "<form" not in shown[shown.index("<main") : shown.index("</main>")]


def test_what_was_worked_out_stands_there(ring, told, known_part, text):
    told(known_part)
    page = text(ring.get("reader", "balance/"))
    for words in (
        "In the week ahead give", "What holds growth back", "lets growth go to, %",
        "Now and ahead", "in 2 weeks, with the doses", "What comes and goes in a week",
        "Traces that nothing tells of", "Where they are kept, and why", "Camargo",
        "More light: what it would give and ask", "gas to hold CO2, % more", "Other hours",
        "A dark pause of 3 h", "1 dose not counted", "How each figure was worked out",
        "Light at the plants", "(worked out from the lamp)",
    ):  # fmt: skip
        assert words in page, words
    assert "What to do first" in page  # the food is not known
    assert "being worked out again" not in page


def test_every_figure_opens_with_its_source(ring, told, known_part):
    told(known_part)
    page = ring.get("reader", "balance/").content.decode()
    opened = page.count('<details class="opens">')
    parts = ("limit", "dosing", "nutrients", "light")
    assert opened == sum(len(known_part[part]["figures"]) for part in parts) > 150
    assert page.count("<dt>Source</dt>") == opened


def test_what_was_written_since_is_said(ring, told, known_part, text):
    told(known_part)
    ring.post("owner", "diary/add/ph/", time="2025-03-08T09:00", value="6.8")
    assert "being worked out again" in text(ring.get("reader", "balance/"))


def test_the_chart_in_its_sizes_and_as_files(ring, told, known_part):
    assert ring.get("reader", "chart/weeks-phone-light.svg").status_code == 404
    told(known_part)
    page = ring.get("reader", "balance/").content.decode()
    assert "/chart/weeks-desk-dark.svg?v=" in page
    width = {}
    for size in ("phone", "desk"):
        svg = ElementTree.fromstring(ring.get("reader", f"chart/weeks-{size}-light.svg").content)
        width[size] = float(svg.attrib["width"])
        words = {"".join(at.itertext()) for at in svg.iter("{http://www.w3.org/2000/svg}text")}
        assert {"Nitrate, mg/L", "ceiling 40", "floor 5", "now", "doses"} <= words
    # 390 px less the page's margins
    assert 300 < width["phone"] <= 366
    assert width["desk"] > 700
    file = ring.get("reader", "chart/weeks-paper-light.png", download="")
    assert file["Content-Disposition"] == 'attachment; filename="den-weeks.png"'
    assert "Nutrients through the weeks" in ring.get("reader", "charts/").content.decode()


def test_the_chart_s_words_say_what_it_shows(ring, told, known_part):
    told(known_part)
    page = ring.get("reader", "balance/").content.decode()
    (alt,) = re.findall(r'<img src="[^"]*weeks[^"]*" alt="([^"]*)"', page)
    assert alt.startswith("Nitrate: ")
    assert "Phosphate: nothing tells" in alt


def test_a_test_is_written_down(ring, text):
    response = ring.post("writer", "balance/write/test/", substance="nitrate", value="12.5")
    assert response.status_code == 302
    row = entry_of(ring, response)
    assert (row.kind, row.value, row.unit, row.note) == ("test", "12.5", "mg/L", "nitrate")
    address = response["Location"].partition("balance/")[2].partition("#")[0]
    page = text(ring.client("writer").get(ring.url(f"balance/{address}")))
    assert "Written down: Water test 12.5 mg/L nitrate." in page


def test_a_dose_is_written_down_and_counted(ring, text):
    from leafgill.advise.balance.read_doses import doses_of
    from leafgill.web.store.entries import diary_of

    tank = spec_of(ring.tank)
    change_spec(ring.tank, replace(tank, salts=KNOWN), ring.keepers["owner"])
    page = ring.get("owner", "balance/").content.decode()
    assert '<option value="KNO3"></option>' in page
    response = ring.post("owner", "balance/write/dose/", note="KNO3", value="1.5", unit="g")
    row = entry_of(ring, response)
    assert (row.kind, row.value, row.unit, row.note) == ("dose", "1.5", "g", "KNO3")
    doses, unread = doses_of(spec_of(ring.tank), diary_of(ring.tank))
    assert unread == []
    assert doses[0].adds_mg_l["nitrate"] == pytest.approx(1.5e3 * 0.6133 / 60.0, rel=1e-3)
    # sent twice it is one
    again = ring.post("owner", "balance/write/dose/", note="KNO3", value="1.5", unit="g")
    assert entry_of(ring, again).pk == row.pk


def test_an_advised_dose_is_given_by_one_button(ring, told, known_part):
    told(known_part)
    keeper = ring.keepers["owner"]
    keeper.decimal = ","
    keeper.save()
    page = ring.get("owner", "balance/").content.decode()
    forms = re.findall(r'<form method="post" action="[^"]*balance/write/dose/">.*?</form>', page)
    assert len(forms) == len(known_part["doses"]) >= 1
    sent = dict(re.findall(r'name="(value|unit|note)" value="([^"]*)"', forms[0]))
    row = entry_of(ring, ring.post("owner", "balance/write/dose/", **sent))
    dose = known_part["doses"][0]
    assert (row.unit, row.note) == (dose["unit"], dose["what"])
    assert float(row.value) == pytest.approx(float(dose["value"]))


@pytest.mark.parametrize(
    ("kind", "sent", "name", "says"),
    [
        ("test", {"substance": "", "value": "5"}, "substance", "Choose what was tested."),
        ("test", {"substance": "nitrate", "value": ""}, "value", ""),
        ("test", {"substance": "nitrate", "value": "much"}, "value", ""),
        ("dose", {"note": "", "value": "5", "unit": "mL"}, "note", "Say what was given"),
        ("dose", {"note": "KNO3", "value": "-1", "unit": "g"}, "value", ""),
    ],
)
def test_what_cannot_be_is_told_beside_the_field(ring, text, kind, sent, name, says):
    response = ring.post("owner", f"balance/write/{kind}/", **sent)
    assert response.status_code == 422
    fields = response.context["forms"][kind]
    assert {field.name for field in fields if field.error} == {name}
    assert says in text(response)
    shown = {field.name: field.value for field in fields}
    assert all(shown[field] == value for field, value in sent.items())
    other = response.context["forms"]["dose" if kind == "test" else "test"]
    assert not any(field.error for field in other)
    assert not EntryRow.objects.filter(tank=ring.tank).exists()


def test_other_kinds_are_not_entered_here(ring):
    assert ring.post("owner", "balance/write/kh/", value="4").status_code == 404


@pytest.mark.parametrize("number", ["999999", "x", "-1", "9" * 30])
def test_what_was_never_written_is_not_told(ring, number):
    response = ring.get("owner", "balance/", wrote=number)
    assert response.status_code == 200
    assert response.context["wrote"] is None


def test_another_tanks_entry_is_not_told(ring, other_tank):
    (number,) = other_tank.write(("2025-03-08T09:00", "note", "secret"))
    assert ring.get("owner", "balance/", wrote=str(number)).context["wrote"] is None


def test_it_has_a_place_in_the_navigation(ring):
    page = ring.get("reader", "balance/").content.decode()
    nav = page[
        page.index('class="tank-nav"') : page.index("</nav>", page.index('class="tank-nav"'))
    ]
    assert f'<a href="{ring.url("balance/")}" aria-current="page">Balance</a>' in nav
