"""The emergency page: the order of what to do, with a tank's figures, and the taps beside it."""

import copy
import re
from datetime import UTC, datetime, timedelta

import pytest

from leafgill.answer.card import IN_DANGER
from leafgill.tank.spec import Tank
from leafgill.web.emergency_page import NOT_TO_DO, emergency_of
from leafgill.web.forms.habits import Habits
from leafgill.web.models import EntryRow, Share, TankRow

pytestmark = pytest.mark.django_db


def rows():
    return list(EntryRow.objects.order_by("pk").values_list("kind", "value"))


# -- for anybody, without a tank


def test_whoever_stands_there_without_a_login_is_told_what_to_do(ring, text):
    response = ring.client("nobody").get("/emergency/")
    seen = text(response)
    assert response.status_code == 200
    places = [seen.index(line) for line in IN_DANGER]
    assert places == sorted(places)
    assert all(line in seen for line in NOT_TO_DO)
    assert "Den" not in seen
    assert "<form" not in response.content.decode()


def test_a_keeper_of_one_tank_comes_to_that_tanks_page(ring):
    response = ring.client("reader").get("/emergency/")
    assert response["Location"] == ring.url("emergency/")


def test_a_keeper_of_several_chooses_and_reads_the_order_meanwhile(ring, other_tank, text):
    Share.objects.create(tank=other_tank.tank, keeper=ring.keepers["owner"], role="read")
    response = ring.client("owner").get("/emergency/")
    seen = text(response)
    assert "Which tank?" in seen
    assert "Den" in seen
    assert "Elsewhere" in seen
    assert "Shut the gas" in seen


# -- a tank's own


def test_before_anything_is_worked_out_the_order_is_the_same(ring, text):
    seen = text(ring.get("owner", "emergency/"))
    assert "Shut the gas" in seen
    assert "No figures are worked out of this tank yet" in seen


def test_over_the_limit_each_way_tells_how_fast_it_helps(ring, answered, hallway_payload, text):
    payload = copy.deepcopy(hallway_payload)
    payload["emergency"] |= {
        "co2_mg_l": {"mean": 44.0, "low": 38.0, "high": 51.0},
        "gas_shut": {
            "minutes": {"mean": 130.0, "low": 90.0, "high": 200.0},
            "co2_mg_l": {"mean": 41.0, "low": 35.0, "high": 48.0},
        },
        "with_air": {
            "minutes": {"mean": 25.0, "low": 15.0, "high": 40.0},
            "co2_mg_l": {"mean": 34.0, "low": 29.0, "high": 40.0},
        },
    }
    answered(payload)
    seen = text(ring.get("owner", "emergency/"))
    assert "CO2 is believed at 44 mg/L, 38 to 51; the animals' limit is 30 mg/L." in seen
    assert "CO2 a quarter of an hour on: 41 mg/L, 35 to 48." in seen
    assert "Below 30 mg/L after 25 min, 15 min to 40 min." in seen
    assert "CO2 alone hardly explains this" not in seen


def test_below_the_limit_it_says_to_look_for_another_cause(ring, answered, distress_payload, text):
    answered(distress_payload)
    seen = text(ring.get("owner", "emergency/"))
    assert distress_payload["emergency"]["co2_mg_l"]["high"] < 30.0
    assert "CO2 alone hardly explains this" in seen
    assert "Below 30 mg/L" not in seen


def test_minute_by_minute_of_this_tank(ring, answered, distress_payload, text):
    answered(distress_payload)
    page = ring.get("owner", "emergency/").content.decode()
    tables = re.findall(r"(?s)<table class=\"minutes\">.*?</table>", page)
    assert len(tables) == 2
    told = distress_payload["emergency"]["minutes"]
    for table, what in zip(tables, ("co2_mg_l", "o2_mg_l"), strict=True):
        rows = re.findall(r"<th scope=\"row\">(\d+)</th>", table)
        assert [int(minute) for minute in rows] == told["minutes"]
        assert table.count("<td>") == 4 * len(rows)
        first = told["ways"]["gas_shut"][what][0][0]
        assert f"<strong>{first:.1f}</strong>" in table or f"<strong>{first:.0f}</strong>" in table
    seen = text(ring.get("owner", "emergency/"))
    assert "Minute by minute in this tank" in seen
    assert "Time runs from when the gas is shut" in seen
    assert "animals are right, whatever the figures say" in seen
    assert f'href="{ring.url("trouble/")}"' in page


def test_an_answer_from_before_the_minutes_shows_the_order(ring, answered, distress_payload, text):
    payload = copy.deepcopy(distress_payload)
    del payload["emergency"]["minutes"]
    answered(payload)
    seen = text(ring.get("owner", "emergency/"))
    assert "Shut the gas" in seen
    assert "Minute by minute" not in seen


def test_older_figures_say_so(ring, answered, distress_payload, text):
    answered(distress_payload, version=0)
    assert "older than what is written" in text(ring.get("owner", "emergency/"))
    answered(distress_payload)
    assert "older than what is written" not in text(ring.get("owner", "emergency/"))


def test_it_works_without_a_script(ring, answered):
    """Each button is a form of its own, and nothing waits to be fetched."""
    answered()
    page = ring.get("owner", "emergency/").content.decode()
    main = page[page.index("<main") : page.index("</main>")]
    assert "hx-" not in main
    assert "hidden" not in main.replace('type="hidden"', "").replace("visually-hidden", "")
    forms = re.findall(r"(?s)<form.*?</form>", main)
    assert len(forms) == 2
    assert all('method="post"' in form and "csrfmiddlewaretoken" in form for form in forms)


def test_it_is_one_tap_away_on_every_page(ring):
    for rest in ("", "diary/", "care/", "emergency/"):
        page = ring.get("owner", rest).content.decode()
        assert f'class="head-emergency" href="{ring.url("emergency/")}"' in page


# -- the taps


@pytest.mark.parametrize("seen", ["gasping", "fast-breathing", "dead", "normal"])
def test_what_is_seen_goes_into_the_diary(ring, text, seen, now):
    response = ring.client("writer").post(ring.url("emergency/seen/"), {"fish": seen}, follow=True)
    assert rows() == [("fish", seen)]
    assert EntryRow.objects.get().time == now
    assert "Written down at 12:10" in text(response)


def test_gas_that_was_shut_is_a_rate_of_nothing(ring):
    before = TankRow.objects.get(pk=ring.tank.pk).version
    ring.post("owner", "emergency/seen/", shut="yes")
    assert rows() == [("bubble_rate", "0")]
    # so that what was worked out is known to be older
    assert TankRow.objects.get(pk=ring.tank.pk).version > before


def test_a_button_hit_twice_writes_once_and_another_word_counts(ring, monkeypatch, now):
    ring.post("owner", "emergency/seen/", fish="gasping")
    monkeypatch.setenv("LEAFGILL_NOW", (now + timedelta(seconds=20)).isoformat())
    ring.post("owner", "emergency/seen/", fish="gasping")
    assert rows() == [("fish", "gasping")]
    ring.post("owner", "emergency/seen/", fish="normal")
    ring.post("owner", "emergency/seen/", fish="gasping")
    assert [value for _, value in rows()] == ["gasping", "normal", "gasping"]
    monkeypatch.setenv("LEAFGILL_NOW", (now + timedelta(minutes=3)).isoformat())
    ring.post("owner", "emergency/seen/", fish="gasping")
    assert len(rows()) == 4


def test_gas_that_is_shut_is_told_and_not_asked_for_again(ring, text):
    ring.write(("2025-03-08T09:00", "bubble_rate", "1.5", "per s"))
    button = "I have shut the gas"
    assert button in text(ring.get("owner", "emergency/"))
    ring.post("owner", "emergency/seen/", shut="yes")
    for who in ("owner", "reader"):
        seen = text(ring.get(who, "emergency/"))
        assert button not in seen
        assert "Shut since today 12:10 , by the diary." in seen


def test_gas_that_was_opened_again_can_be_shut_again(ring, text, monkeypatch, now):
    ring.post("owner", "emergency/seen/", shut="yes")
    ring.write(("2025-03-08T12:15", "bubble_rate", "1.2", "per s"))
    monkeypatch.setenv("LEAFGILL_NOW", (now + timedelta(minutes=30)).isoformat())
    seen = text(ring.get("owner", "emergency/"))
    assert "I have shut the gas" in seen
    assert "Shut since" not in seen
    ring.post("owner", "emergency/seen/", shut="yes")
    assert [value for _, value in rows()] == ["0", "1.2", "0"]


@pytest.mark.parametrize(("count", "shut"), [("0", True), ("20", False)])
def test_bubbles_that_were_counted_since_tell_that_it_is_not_shut(ring, text, count, shut):
    ring.write(
        ("2025-03-08T09:00", "bubble_rate", "0", "per s"),
        ("2025-03-08T10:00", "bubble_count", count, "10 s"),
    )
    assert ("Shut since" in text(ring.get("owner", "emergency/"))) == shut


@pytest.mark.parametrize("sent", [{}, {"fish": "purple"}, {"fish": ""}])
def test_nothing_seen_is_nothing_written(ring, sent):
    assert ring.post("owner", "emergency/seen/", **sent).status_code == 404
    assert rows() == []


def test_a_reader_has_the_order_and_no_buttons(ring, answered, text):
    answered()
    response = ring.get("reader", "emergency/")
    assert "Shut the gas" in text(response)
    main = response.content.decode().partition("<main")[2].partition("</main>")[0]
    assert "<form" not in main
    assert ring.post("reader", "emergency/seen/", shut="yes").status_code == 403
    assert rows() == []


def test_what_another_tank_wrote_is_not_told_here(ring, other_tank, text):
    (theirs,) = other_tank.write(("2025-03-08T09:00", "fish", "dead"))
    seen = text(ring.get("owner", "emergency/", wrote=str(theirs)))
    assert "Written down" not in seen
    huge = ring.get("owner", "emergency/", wrote="9" * 40)
    assert huge.status_code == 200


def test_people_are_told_of_the_gas_in_their_own_room():
    room = Tank.from_mapping(
        {
            "tank": {"name": "Den", "volume_l": 60.0},
            "room": {"volume_m3": 12.0},
            "rig": {"source": "cylinder", "cylinder_kg": 6.0},
        }
    )
    ours = " ".join(emergency_of(room, None, Habits()).people)
    anybodys = " ".join(emergency_of(None, None, Habits()).people)
    assert ours != anybodys
    # 6 kg of CO2 in 12 m3, some 3.3 m3 of gas, is far over a tenth of the air
    shares = [float(s) for s in re.findall(r"([\d.]+) ?%", ours)]
    assert max(shares) > 10.0
    comma = " ".join(emergency_of(room, None, Habits(decimal=",")).people)
    assert not re.search(r"\d\.\d", comma)


def test_the_clock_of_the_page_is_the_tanks(ring, monkeypatch, text):
    monkeypatch.setenv("LEAFGILL_NOW", datetime(2025, 7, 8, 11, 10, tzinfo=UTC).isoformat())
    response = ring.client("owner").post(
        ring.url("emergency/seen/"), {"fish": "normal"}, follow=True
    )
    assert "Written down at 13:10" in text(response)
