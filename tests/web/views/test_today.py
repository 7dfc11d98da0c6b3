"""Today through the ring of people: where the tank stands, the step, what is written quickly."""

import copy
import re
from datetime import UTC, datetime, timedelta

import pytest

from leafgill.answer import figures
from leafgill.tank.clock import zone
from leafgill.web import replies
from leafgill.web.models import AnswerRow, EntryRow, Share, StepRow
from leafgill.web.store.entries import entry_of

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true"}


def sealed_in(response):
    """Return the step that a page's form carries."""
    return re.search(r'name="step" value="([^"]+)"', response.content.decode())[1]


def entries(ring):
    return list(
        EntryRow.objects.filter(tank=ring.tank, removed_at__isnull=True)
        .order_by("pk")
        .values_list("kind", "value", "unit")
    )


# -- the list


def test_the_list_shows_only_tanks_one_has(ring, text, other_tank):
    seen = text(ring.client("reader").get("/", {"all": ""}))
    assert "Den" in seen
    assert "Elsewhere" not in seen
    assert "Elsewhere" in text(ring.client("stranger").get("/", {"all": ""}))


def test_one_tank_alone_is_shown_at_once(ring):
    response = ring.client("owner").get("/")
    assert response.status_code == 302
    assert response["Location"] == ring.url()


def test_without_a_tank_the_first_thing_to_do_is_said(ring, text):
    seen = text(ring.client("stranger").get("/"))
    assert "There is no tank yet" in seen
    assert "Set up a tank" in seen


def test_a_line_tells_co2_the_step_and_the_next_look(ring, answered, hallway_payload, text):
    answered()
    seen = text(ring.client("owner").get("/", {"all": ""}))
    assert hallway_payload["said"]["what_to_do"] in seen
    assert re.search(r"Den [\d.]+ mg/L CO2, [\d.]+ to [\d.]+ ", seen)
    assert "Look again" in seen
    assert "Up to date" in seen


def test_a_tank_in_distress_comes_first(ring, answered, distress_payload, other_tank):
    Share.objects.create(tank=other_tank.tank, keeper=ring.keepers["owner"], role="read")
    answered(distress_payload)
    page = ring.client("owner").get("/", {"all": ""}).content.decode()
    assert page.index(">Den<") < page.index(">Elsewhere<")
    assert "step-urgent" in page


# -- where it stands


def test_before_the_first_answer_it_says_what_to_begin_with(ring, text):
    seen = text(ring.get("owner"))
    assert "CO2 is not known now" in seen or "Not worked out yet" in seen
    assert "Begin with a KH and a pH" in seen
    assert "mg/L" not in seen.split("Write down")[0]


def test_fresh_figures_stand_with_their_interval_and_the_step_can_be_followed(
    ring, answered, hallway_payload, text
):
    answered()
    response = ring.get("owner")
    page, seen = response.content.decode(), text(response)
    co2 = hallway_payload["bands"]["co2"]
    at = hallway_payload["bands"]["times_s"].index(
        int(datetime.fromisoformat(hallway_payload["now"]).timestamp())
    )
    mean, low, high = (figures.level(co2[end][at]) for end in ("mean", "low", "high"))
    assert f"CO2 {mean} mg/L , nine times in ten {low} to {high}" in seen
    assert hallway_payload["said"]["what_to_do"] in seen
    assert 'value="done"' in page
    assert "Older figures" not in seen


@pytest.mark.parametrize(
    "changes", [{"version": 0}, {"asked_for": datetime(2025, 3, 8, 11, 50, tzinfo=UTC)}]
)
def test_older_figures_are_named_so_and_no_step_is_to_be_followed(ring, answered, text, changes):
    answered(**changes)
    response = ring.get("owner")
    assert "Older figures" in text(response)
    assert "where-fresh" not in response.content.decode()
    assert 'value="done"' not in response.content.decode()


def test_an_urgent_step_stays_even_when_it_is_old(ring, answered, distress_payload, text):
    answered(distress_payload, version=0)
    response = ring.get("owner")
    assert "I have shut the gas" in text(response)
    assert "step-urgent" in response.content.decode()


def test_what_went_wrong_is_told(ring, answered, text):
    answered(version=0, error="the water has no KH", failed_version=1)
    assert "Could not be worked out again (the water has no KH)" in text(ring.get("owner"))


def test_a_comma_keeper_reads_commas(ring, answered, text):
    keeper = ring.keepers["owner"]
    keeper.decimal = ","
    keeper.save()
    answered()
    seen = text(ring.get("owner"))
    assert re.search(r"pH \d,\d", seen)
    assert not re.search(r"pH \d\.\d", seen)


def test_the_countdown_is_there_without_a_script(ring, answered, text):
    answered()
    page = ring.get("owner").content.decode()
    until = datetime.fromisoformat(re.search(r'data-until="([^"]+)"', page)[1])
    made = datetime.fromisoformat(re.search(r'data-made-at="([^"]+)"', page)[1])
    minutes = round((until - made).total_seconds() / 60)
    told = re.search(r'class="step-in"[^>]*>in ([^<]+)<', page)[1]
    hours, rest = divmod(minutes, 60)
    assert told == (f"{hours} h {rest:02d} min" if rest else f"{hours} h") or told == f"{rest} min"


# -- the parts that a page asks for again


def test_the_parts_are_a_fragment_and_leave_what_is_typed_alone(ring, answered):
    answered()
    page = ring.client("owner").get(ring.url("now/"), **HTMX).content.decode()
    assert "<html" not in page
    assert page.count('hx-swap-oob="true"') == 3
    assert 'id="quick"' not in page
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert {"where", "step", "ahead"} <= set(ids)
    assert len(ids) == len(set(ids))


# -- replies to the step


def test_a_followed_step_goes_into_the_diary_once(ring, answered, hallway_payload, text):
    answered()
    step = sealed_in(ring.get("writer"))
    response = ring.post("writer", "step/", step=step, reply="done")
    assert response.status_code == 302
    before = entries(ring)
    assert before == [("bubble_rate", f"{hallway_payload['step']['rate_per_s']:g}", "per s")]
    again = ring.post("writer", "step/", step=step, reply="done")
    assert "refused=done" in again["Location"]
    assert entries(ring) == before
    assert "followed already" in text(ring.client("writer").get(again["Location"]))


def test_what_a_reply_wrote_is_told_and_can_be_taken_out(ring, answered, text):
    answered()
    client = ring.client("owner")
    response = client.post(
        ring.url("step/"), {"step": sealed_in(ring.get("owner")), "reply": "done"}, follow=True
    )
    assert "Written down:" in text(response)
    number = EntryRow.objects.latest("pk").pk
    assert f'action="{ring.url(f"diary/{number}/remove/")}"' in response.content.decode()


def test_not_now_writes_nothing_and_is_remembered_for_a_while(ring, answered, text, monkeypatch):
    answered()
    ring.post("owner", "step/", step=sealed_in(ring.get("owner")), reply="not-now")
    assert entries(ring) == []
    assert StepRow.objects.get(tank=ring.tank).reply == replies.NOT_NOW
    assert "You said not now at 13:10." in text(ring.get("owner"))


def test_fish_look_wrong_leads_to_the_emergency_page(ring, answered):
    answered()
    step = sealed_in(ring.get("owner"))
    plain = ring.post("owner", "step/", step=step, reply="fish")
    assert plain.status_code == 302
    assert plain["Location"] == ring.url("emergency/")
    part = ring.client("owner").post(ring.url("step/"), {"step": step, "reply": "fish"}, **HTMX)
    assert part["HX-Redirect"] == ring.url("emergency/")
    assert StepRow.objects.get(tank=ring.tank).reply == replies.FISH


@pytest.mark.parametrize("broken", ["", "nonsense", "tampered"])
def test_a_step_that_is_not_as_it_was_shown_is_refused(ring, answered, broken, text):
    answered()
    step = sealed_in(ring.get("owner"))
    sent = step[:-3] + "abc" if broken == "tampered" else broken
    response = ring.client("owner").post(
        ring.url("step/"), {"step": sent, "reply": "done"}, follow=True
    )
    assert "not one of this tank's" in text(response)
    assert entries(ring) == []
    assert not StepRow.objects.exists()


def test_a_step_of_another_tank_is_refused(ring, answered, other_tank, hallway_payload):
    step = replies.sealed(other_tank.tank, hallway_payload)
    assert "refused=unknown" in ring.post("owner", "step/", step=step, reply="done")["Location"]
    assert entries(ring) == []


def test_a_step_that_lay_about_is_not_followed(ring, answered, monkeypatch):
    answered()
    step = sealed_in(ring.get("owner"))
    asked_for = AnswerRow.objects.get().asked_for
    late = asked_for + replies.GOOD_FOR + timedelta(minutes=1)
    monkeypatch.setenv("LEAFGILL_NOW", late.isoformat())
    assert "refused=old" in ring.post("owner", "step/", step=step, reply="done")["Location"]
    assert entries(ring) == []


def test_a_reply_that_is_none_is_not_found(ring, answered):
    answered()
    step = sealed_in(ring.get("owner"))
    assert ring.post("owner", "step/", step=step, reply="maybe").status_code == 404


def test_a_changed_day_is_written_beside_the_rate(ring, answered, hallway_payload):
    payload = copy.deepcopy(hallway_payload)
    payload["step"] |= {"schedule": "08:30-16:00", "air": "22:00-06:00"}
    answered(payload)
    ring.post("owner", "step/", step=sealed_in(ring.get("owner")), reply="done")
    assert {value for _, value, _ in entries(ring)} >= {"08:30-16:00", "22:00-06:00"}


# -- quick entry


@pytest.mark.parametrize(
    ("kind", "sent", "value"),
    [
        ("ph_probe", {"value": "6.66"}, "6.66"),
        ("ph", {"value": "6.6"}, "6.6"),
        ("kh", {"value": "4.5", "unit": "dKH"}, "4.5"),
        ("drop_checker", {"value": "green"}, "green"),
        ("fish", {"value": "normal"}, "normal"),
        ("cylinder_mass", {"value": "3210", "unit": "g"}, "3210"),
    ],
)
def test_a_reading_is_written_at_the_present_minute_once(ring, kind, sent, value, now):
    first = ring.post("writer", f"quick/{kind}/", **sent)
    assert first.status_code == 302, first.content.decode()[:500]
    row = EntryRow.objects.get(tank=ring.tank)
    assert row.value == value
    assert row.time == now
    assert row.made_by == ring.keepers["writer"]
    second = ring.post("writer", f"quick/{kind}/", **sent)
    assert "there=1" in second["Location"]
    assert EntryRow.objects.count() == 1


def test_tapped_bubbles_become_a_count_over_their_seconds(ring, text):
    response = ring.client("owner").post(
        ring.url("quick/bubble_count/"), {"value": "20", "seconds": "8.5"}, follow=True
    )
    entry = entry_of(EntryRow.objects.get(), UTC)
    assert (entry.number, entry.seconds) == (pytest.approx(20 / 8.5), 8.5)
    assert "2.353 per s, counted over 8.5 s" in text(response)


def test_what_is_wrong_stands_beside_what_was_typed(ring, text):
    response = ring.post("owner", "quick/ph/", value="sixty")
    page = response.content.decode()
    assert response.status_code == 422
    assert 'value="sixty"' in page
    assert re.search(r"<details[^>]*tile-ph[^>]* open", page)
    assert not EntryRow.objects.exists()


def test_a_refused_part_comes_back_as_that_part(ring):
    response = ring.client("owner").post(ring.url("quick/ph/"), {"value": "19"}, **HTMX)
    assert response.status_code == 422
    assert response["HX-Retarget"] == "#quick"
    page = response.content.decode()
    assert "<html" not in page
    assert 'value="19"' in page


def test_a_written_part_brings_all_that_changed(ring, answered):
    answered()
    page = ring.client("owner").post(ring.url("quick/ph/"), {"value": "6.6"}, **HTMX)
    page = page.content.decode()
    assert "Written down" in page
    assert {"where", "step", "ahead", "quick", "said"} <= set(re.findall(r'\sid="([^"]+)"', page))
    # an entry the figures do not hold: they are not shown as of now any more
    assert "where-fresh" not in page
    assert 'value="done"' not in page


def test_the_hour_that_comes_twice_is_the_second_one_when_it_is(ring, monkeypatch):
    second = datetime(2025, 10, 26, 1, 30, tzinfo=UTC)
    assert f"{second.astimezone(zone('Europe/Berlin')):%H:%M}" == "02:30"
    monkeypatch.setenv("LEAFGILL_NOW", second.isoformat())
    ring.post("owner", "quick/ph/", value="6.6")
    assert EntryRow.objects.get().time == second


@pytest.mark.parametrize("kind", ["note", "light_day", "nothing"])
def test_what_is_no_quick_entry_is_not_found(ring, kind):
    assert ring.post("owner", f"quick/{kind}/", value="1").status_code == 404


def test_a_comma_is_read_as_the_keeper_means_it(ring):
    keeper = ring.keepers["owner"]
    keeper.decimal = ","
    keeper.save()
    ring.post("owner", "quick/ph/", value="6,85")
    assert EntryRow.objects.get().value == "6.85"


# -- who sees what


def test_a_reader_sees_the_day_and_no_form(ring, answered):
    answered()
    page = ring.get("reader").content.decode()
    assert 'id="quick"' not in page
    assert "/step/" not in page
    assert 'class="where where-fresh"' in page


@pytest.mark.parametrize("urgent", [False, True])
@pytest.mark.parametrize("rest", ["", "emergency/", "charts/"])
def test_full_pages_keep_to_the_policy_and_name_what_they_point_at(
    ring, answered, distress_payload, rest, urgent
):
    answered(distress_payload if urgent else None)
    page = ring.get("owner", rest).content.decode()
    assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\sstyle=|\son[a-z]+=", page)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids)), sorted(i for i in ids if ids.count(i) > 1)
    named = re.findall(r'\s(?:for|aria-labelledby|aria-describedby)="([^"]+)"', page)
    assert {one for names in named for one in names.split()} <= set(ids)
    assert all("alt=" in tag for tag in re.findall(r"<img[^>]*>", page))


def test_a_year_of_readings_costs_the_page_no_more_questions(
    ring, answered, django_assert_max_num_queries
):
    ring.write(*((f"2025-03-07T{n // 60:02d}:{n % 60:02d}", "ph", "6.8") for n in range(150)))
    answered()
    client = ring.client("owner")
    with django_assert_max_num_queries(20):
        client.get(ring.url())
