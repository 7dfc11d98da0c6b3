"""Charts as pictures, files and specifications: who gets them, and how long they are kept."""

import json
import re
from datetime import timedelta
from xml.etree import ElementTree

import pytest

from leafgill.web import charts
from leafgill.web.models import AnswerRow
from leafgill.web.views import charts as views

pytestmark = pytest.mark.django_db
START = {"svg": b"<svg", "png": b"\x89PNG\r\n\x1a\n", "pdf": b"%PDF-"}
KIND = {"svg": "image/svg+xml", "png": "image/png", "pdf": "application/pdf"}


@pytest.fixture(autouse=True)
def _nothing_drawn_yet(monkeypatch):
    monkeypatch.setattr(views, "_DRAWN", views.Kept(50))


@pytest.mark.parametrize("form", ["svg", "png", "pdf"])
def test_the_day_comes_in_each_form(ring, answered, form):
    answered()
    response = ring.get("reader", f"chart/day-phone-light.{form}")
    assert response.status_code == 200
    assert response["Content-Type"] == KIND[form]
    assert response.content.startswith(START[form])


def test_the_picture_shows_the_limit_now_light_and_gas(ring, answered):
    answered()
    tree = ElementTree.fromstring(ring.get("owner", "chart/day-desk-light.svg").content)
    words = {"".join(at.itertext()) for at in tree.iter("{http://www.w3.org/2000/svg}text")}
    assert {"animals' limit 30 mg/L", "now", "light", "gas"} <= words


def test_a_phones_is_narrower_and_fits_its_screen(ring, answered):
    answered()
    width = {
        size: float(
            ElementTree.fromstring(
                ring.get("owner", f"chart/{what}-{size}-light.svg").content
            ).attrib["width"]
        )
        for what in ("day",)
        for size in ("phone", "desk")
    }
    # 390 px less the page's margins
    assert 300 < width["phone"] <= 366
    assert width["desk"] > 700


def test_dark_and_light_differ_in_colours_alone(ring, answered):
    answered()

    def drawn(theme):
        return ring.get("owner", f"chart/night-phone-{theme}.svg").content.decode()

    def no_colours(svg):
        # parts that are cut out get numbers that run on from one drawing to the next
        return re.sub(r"#[0-9a-fA-F]{3,6}\b|rgba?\([^)]*\)|\bclip\d+", "", svg)

    light, dark = drawn("light"), drawn("dark")
    assert light != dark
    assert no_colours(light) == no_colours(dark)


def test_a_specification_that_answers_the_pointer_holds_the_same_figures(
    ring, answered, hallway_payload
):
    answered()
    spec = json.loads(ring.get("owner", "chart/day-desk-light.json").content)
    text = json.dumps(spec)
    assert "pointermove" in text
    assert "data:" not in text
    (values,) = [
        [row["low"] for row in rows] for rows in _rows(spec) if set(rows[0]) == {"hour", "low"}
    ]
    assert values == pytest.approx(hallway_payload["picture"]["mean"], rel=1e-5)


def _rows(spec):
    """Yield the rows of every data of a specification, each once."""
    yield from spec.get("datasets", {}).values()
    told = spec.get("data", {}).get("values")
    if told:
        yield told
    for key in ("vconcat", "layer"):
        for part in spec.get(key, []):
            yield from _rows(part)


@pytest.mark.parametrize("what", ["day", "night"])
def test_where_nothing_is_worked_out_there_is_no_chart(ring, what):
    assert ring.get("owner", f"chart/{what}-phone-light.svg").status_code == 404


def test_an_answer_that_failed_from_the_first_draws_nothing(ring, answered):
    answered(payload=None)
    AnswerRow.objects.update(payload=None, error="no KH")
    assert ring.get("owner", "chart/day-phone-light.svg").status_code == 404
    assert ring.get("owner", "charts/").status_code == 200
    assert ring.get("owner").status_code == 200


def test_the_record_grows_with_what_is_written(ring):
    empty = ring.get("owner", "chart/record-phone-light.svg")
    assert empty.status_code == 404
    ring.write(("2025-03-07T12:00", "ph", "6.8"), ("2025-03-08T10:00", "ph", "6.6"))
    first = ring.get("owner", "chart/record-phone-light.svg")
    assert first.status_code == 200
    ring.write(("2025-03-08T11:00", "ph", "7.1"))
    second = ring.get("owner", "chart/record-phone-light.svg")
    assert second["ETag"] != first["ETag"]
    assert second.content != first.content


@pytest.mark.parametrize(
    "name",
    ["day-phone-sepia.svg", "day-wall-light.svg", "week-phone-light.svg", "day-phone-light.exe"],
)
def test_a_chart_that_is_none_is_not_found(ring, answered, name):
    answered()
    assert ring.get("owner", f"chart/{name}").status_code == 404


# -- kept by browsers


def test_what_a_browser_has_is_not_sent_again(ring, answered):
    answered()
    client, url = ring.client("owner"), ring.url("chart/day-phone-light.svg")
    first = client.get(url, HTTP_ACCEPT_ENCODING="gzip")
    again = client.get(url, HTTP_ACCEPT_ENCODING="gzip", HTTP_IF_NONE_MATCH=first["ETag"])
    assert again.status_code == 304
    assert again.content == b""
    assert again["ETag"].removeprefix("W/") == first["ETag"].removeprefix("W/")


def test_a_new_answer_is_a_new_picture(ring, answered):
    kept = answered()
    client, url = ring.client("owner"), ring.url("chart/day-phone-light.svg")
    first = client.get(url)
    answered(made_at=kept.made_at + timedelta(seconds=30))
    again = client.get(url, HTTP_IF_NONE_MATCH=first["ETag"])
    assert again.status_code == 200
    assert again["ETag"] != first["ETag"]


def test_only_an_address_that_names_the_content_is_kept_for_long(ring, answered):
    answered()
    page = ring.get("owner").content.decode()
    address = re.search(r'src="([^"]*chart/day-phone-light\.svg\?v=[^"]+)"', page)[1]
    client = ring.client("owner")
    kept = client.get(address)["Cache-Control"]
    assert "immutable" in kept
    assert "private" in kept
    other = client.get(address[:-3] + "abc")["Cache-Control"]
    assert "immutable" not in other
    assert "no-cache" in other


def test_it_is_drawn_once(ring, answered, monkeypatch):
    answered()
    drawn = []
    kind, make = charts.FORMS["svg"]
    monkeypatch.setitem(charts.FORMS, "svg", (kind, lambda spec: drawn.append(1) or make(spec)))
    for _ in range(3):
        ring.get("owner", "chart/day-phone-light.svg")
    assert len(drawn) == 1


def test_now_moves_along_the_day(ring, answered, picture, monkeypatch):
    asked_for = answered().asked_for
    day = picture(now_h=14.0)
    later = views.at_moment(day, asked_for, asked_for + timedelta(hours=1))
    assert later.now_h == pytest.approx(15.0)
    assert views.at_moment(day, asked_for, asked_for + timedelta(hours=11)).now_h is None
    tags = []
    for minutes in (0, 1, 20):
        monkeypatch.setenv("LEAFGILL_NOW", (asked_for + timedelta(minutes=minutes)).isoformat())
        tags.append(ring.get("owner", "chart/day-phone-light.svg")["ETag"])
    assert tags[0] == tags[1] != tags[2]


# -- files


def test_a_file_is_named_after_the_tank(ring, answered):
    answered()
    ring.tank.name = 'Ärger "3"; \n <x>'
    ring.tank.save()
    named = ring.get("owner", "chart/day-paper-light.pdf", download="")["Content-Disposition"]
    assert re.fullmatch(r'attachment; filename="[a-z0-9-]+-day\.pdf"', named)


def test_the_page_of_charts_offers_each_as_a_file(ring, answered):
    answered()
    ring.write(("2025-03-08T10:00", "ph", "6.6"))
    page = ring.get("reader", "charts/").content.decode()
    links = re.findall(r'<a href="([^"]+download[^"]*)"', page)
    assert len(links) == 9
    client = ring.client("reader")
    for link in links:
        response = client.get(link.replace("&amp;", "&"))
        assert response.status_code == 200, link
        assert "attachment" in response["Content-Disposition"]


def test_without_anything_to_draw_the_page_says_what_to_do_first(ring, text):
    assert "There is nothing to draw yet" in text(ring.get("owner", "charts/"))


# -- the library


def test_the_library_is_served_packed_and_only_by_its_version(ring, monkeypatch, tmp_path):
    import gzip

    kept = tmp_path / "made" / f"chart-library-{charts.library_version()}.js.gz"
    kept.parent.mkdir()
    kept.write_bytes(gzip.compress(b"export{}"))
    client = ring.client("nobody")
    url = f"/chart-library-{charts.library_version()}.js"
    packed = client.get(url, HTTP_ACCEPT_ENCODING="gzip")
    assert packed["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.content) == b"export{}"
    plain = client.get(url)
    assert plain.content == b"export{}"
    assert "Content-Encoding" not in plain
    assert "Accept-Encoding" in plain["Vary"]
    assert client.get("/chart-library-0.js").status_code == 404


def test_where_the_clock_stands_a_new_version_is_a_new_picture(ring, answered, now):
    from leafgill.web.models import AnswerRow
    from leafgill.web.views.charts import day_mark, night_mark

    answered()
    answer = AnswerRow.objects.get(tank=ring.tank)
    before = day_mark(ring.tank, answer, now), night_mark(ring.tank, answer)
    answer.version += 1
    after = day_mark(ring.tank, answer, now), night_mark(ring.tank, answer)
    assert not set(before) & set(after)
