import re

import pytest

from leafgill.web.models import StepRow, TaskRow

pytestmark = pytest.mark.django_db


@pytest.fixture
def kept(ring):
    ring.write(
        ("2025-03-04T08:00", "gas_day", "08:30-17:30"),
        ("2025-03-04T08:00", "bubble_rate", "1.5", "per s"),
        ("2025-03-04T12:30", "ph", "6.8"),
        ("2025-03-05T12:30", "fish", "gasping", "", "after the raise"),
    )
    return ring


def test_the_card_tells_settings_limits_and_what_to_do(kept, text):
    page = text(kept.get("reader", "card/"))
    assert "as set on 8 March 2025" in page
    assert "Gas 08:30-17:30" in page
    assert "1.5 bubbles/s, set 4 March 2025" in page
    assert "CO2 never over 30 mg/L" in page
    assert page.index("Shut the gas") < page.index("Move the surface") < page.index("change 30 %")
    assert "Keep the room ventilated" in page


def test_the_card_has_work_that_comes_round_and_how_fast_co2_leaves(
    kept, now, answered, hallway_payload, text
):
    for k in range(10):
        TaskRow.objects.create(tank=kept.tank, what=f"Task {k}", every_days=7, last_done=now)
    answered(hallway_payload)
    page = text(kept.get("reader", "card/"))
    assert "Task 0 every 7 days, next 15 Mar" in page
    assert "Task 5" in page
    assert "Task 6" not in page
    assert re.search(r"In the dark CO2 halves in .* with the gas shut, in .* with air\.", page)


def test_the_card_tells_what_instruments_show_and_what_not_to_do(kept, text):
    kept.write(("2025-03-04T08:00", "kh", "4", "dKH"))
    page = text(kept.get("reader", "card/"))
    aim, limit = (
        float(re.search(rf"pH at the {what} (\d\.\d\d), ", page)[1]) for what in ("aim", "limit")
    )
    assert 6.4 < limit < aim < 7.0
    assert "Drop checker at the aim green" in page
    assert "Do not feed." in page
    assert "Do not open the gas again today" in page
    assert "CO2 halves" not in page


def test_a_report_is_of_the_last_four_weeks_unless_asked(kept, text):
    response = kept.get("reader", "report/")
    days = response.context["days"]
    assert (days.first.isoformat(), days.last.isoformat()) == ("2025-02-09", "2025-03-08")
    page = text(response)
    assert "gasping (after the raise)" in page
    assert "pH, hand test 6.8 6.8 6.8 1" in page


def test_a_report_keeps_to_its_days_in_order_of_time(kept, text):
    page = text(kept.get("owner", "report/", **{"from": "2025-03-04", "to": "2025-03-04"}))
    assert "gasping" not in page
    assert page.index("08:00 Needle valve set") < page.index("12:30 pH, hand test")


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        ("soon", "2025-03-04", "Write the days"),
        ("2025-03-05", "2025-03-04", "must not be after"),
        ("2020-01-01", "2025-03-04", "at most 366 days"),
        ("2025-03-04", "", "Write the days"),
        ("0001-01-01", "9999-12-31", "must not be after"),
    ],
)
def test_days_that_cannot_be_are_told_of(kept, first, last, words, text):
    response = kept.get("owner", "report/", **{"from": first, "to": last})
    assert response.status_code == 200
    assert words in text(response)


def test_steps_and_replies_stand_in_the_report(kept, now, text):
    StepRow.objects.create(
        tank=kept.tank, made_at=now, payload={"what": "Raise the gas"}, reply="done", replied_at=now
    )
    assert "8 March 2025, 12:10 Raise the gas done, 8 March 2025, 12:10" in text(
        kept.get("owner", "report/")
    )


def test_the_reports_chart_is_an_svg_of_the_same_days(kept):
    response = kept.get("reader", "report/chart.svg")
    assert response["Content-Type"] == "image/svg+xml"
    svg = response.content.decode()
    assert svg.startswith("<svg")
    assert "Den: the record" in svg
    query = {"from": "2024-03-04", "to": "2024-03-05"}
    assert kept.get("reader", "report/chart.svg", **query).status_code == 404


def test_an_empty_report_says_so(ring, text):
    assert "Nothing was written down in these days." in text(ring.get("owner", "report/"))
