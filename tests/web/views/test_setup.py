import pytest

from leafgill.web.models import Share, TankRow
from leafgill.web.store.tanks import spec_of

pytestmark = pytest.mark.django_db

SIZE = {"tank-name": "Study", "tank-length_cm": "60", "tank-width_cm": "30"}
SIZE |= {"tank-height_cm": "36", "tank-timezone": "Europe/Berlin"}
STEPS = {
    "water": {"tank-temperature_c": "24,5", "water-kh_dkh": "71 ppm"},
    "day": {"day-lights_on": "10:00", "day-lights_off": "18:30", "day-gas_all": "on"},
    "animals": {"livestock-kinds": ["fish", "shrimp"]},
    "gas": {"rig-source": "cylinder", "rig-cylinder_kg": "2", "plants-density": "high"},
}


def begin(client):
    response = client.post("/tanks/new/", SIZE)
    assert response.status_code == 302
    return response["Location"].split("/")[3]


def through(client, token):
    for slug, values in STEPS.items():
        response = client.post(f"/tanks/new/{token}/{slug}/", {**values, "go": "next"})
        assert response.status_code == 302, (slug, response.context["fields"])
    return response["Location"]


def mine(keeper):
    shared = Share.objects.filter(keeper=keeper).values_list("tank", flat=True)
    return TankRow.objects.filter(pk__in=shared, name="Study")


def test_from_nothing_to_the_first_step(ring):
    client, keeper = ring.client("stranger"), ring.keepers["stranger"]
    token = begin(client)
    review = through(client, token)
    assert review == f"/tanks/new/{token}/review/"
    page = client.get(review)
    assert page.status_code == 200
    assert not mine(keeper).exists()
    made = client.post(review)
    row = mine(keeper).get()
    assert made["Location"] == f"/tank/{row.public_id}/"
    tank = spec_of(row)
    assert (tank.name, tank.length_cm, tank.temperature_c) == ("Study", 60.0, 24.5)
    assert tank.water.kh_dkh == pytest.approx(3.98, abs=0.01)
    assert str(tank.day.gas) == "00:00-24:00"
    assert tank.livestock.kinds == ("fish", "shrimp")
    assert tank.rig.cylinder_kg == 2.0
    assert Share.objects.get(tank=row, keeper=keeper).role == "owner"


def test_confirmed_twice_it_is_one_tank_and_both_lead_to_it(ring):
    client = ring.client("stranger")
    review = through(client, begin(client))
    first, second = client.post(review), client.post(review)
    assert mine(ring.keepers["stranger"]).count() == 1
    assert first["Location"] == second["Location"]


def test_the_zone_is_the_keepers_own_to_begin_with(ring):
    keeper = ring.keepers["owner"]
    keeper.time_zone = "Asia/Tokyo"
    keeper.save()
    response = ring.client("owner").get("/tanks/new/")
    shown = {field.name: field for field in response.context["fields"]}
    assert shown["tank-timezone"].value == "Asia/Tokyo"
    assert "Europe/Berlin" in shown["tank-timezone"].suggestions


def test_what_is_wrong_at_the_first_step_makes_no_draft(ring):
    client = ring.client("owner")
    response = client.post("/tanks/new/", {**SIZE, "tank-name": "", "tank-width_cm": "wide"})
    assert response.status_code == 422
    fields = {field.name: field for field in response.context["fields"]}
    assert fields["tank-name"].error == ""  # a wrong number is told before what is missing
    assert '"wide" is not a number' in fields["tank-width_cm"].error
    assert fields["tank-length_cm"].value == "60"
    assert client.get("/tanks/new/").context["begun"] == []


def test_back_and_forth_nothing_typed_is_lost_right_or_wrong(ring):
    client = ring.client("owner")
    token = begin(client)
    client.post(f"/tanks/new/{token}/water/", {"tank-temperature_c": "hot", "go": "back"})
    first = {f.name: f for f in client.get(f"/tanks/new/{token}/size/").context["fields"]}
    assert first["tank-name"].value == "Study"
    client.post(f"/tanks/new/{token}/size/", {**SIZE, "tank-name": "Den", "go": "next"})
    water = {f.name: f for f in client.get(f"/tanks/new/{token}/water/").context["fields"]}
    assert water["tank-temperature_c"].value == "hot"
    assert '"hot" is not a number' in water["tank-temperature_c"].error


def test_a_wrong_step_is_shown_again_and_the_review_makes_no_tank_of_it(ring, text):
    client = ring.client("owner")
    token = begin(client)
    wrong = client.post(f"/tanks/new/{token}/day/", {"day-gas_on": "08:00", "go": "next"})
    assert wrong.status_code == 422
    assert "stands alone" in text(wrong)
    review = f"/tanks/new/{token}/review/"
    assert "The day: something there cannot be meant." in text(client.get(review))
    response = client.post(review)
    assert not mine(ring.keepers["owner"]).exists()
    again = client.get(response["Location"])
    assert "The day: something there cannot be meant." in text(again)


def test_the_review_tells_what_is_doubtful(ring, text):
    client = ring.client("owner")
    response = client.post("/tanks/new/", {**SIZE, "tank-volume_l": "30"})
    token = response["Location"].split("/")[3]
    page = text(client.get(f"/tanks/new/{token}/review/"))
    assert "30 L is only 46% of the box" in page


def test_a_draft_is_the_keepers_own(ring):
    token = begin(ring.client("owner"))
    other = ring.client("writer")
    assert other.get(f"/tanks/new/{token}/water/").status_code == 302
    assert other.post(f"/tanks/new/{token}/review/").status_code == 302
    assert not mine(ring.keepers["writer"]).exists()
    other.post(f"/tanks/new/{token}/forget/")
    assert ring.client("owner").get(f"/tanks/new/{token}/water/").status_code == 200


def test_a_draft_begun_before_is_offered_and_can_be_thrown_away(ring, text):
    client = ring.client("owner")
    token = begin(client)
    assert "Go on with Study" in text(client.get("/tanks/new/"))
    client.post(f"/tanks/new/{token}/forget/")
    assert "Go on with" not in text(client.get("/tanks/new/"))
    assert client.post(f"/tanks/new/{token}/forget/").status_code == 302


def test_american_measures_are_asked_for_and_meant(ring):
    keeper = ring.keepers["owner"]
    keeper.units = "us"
    keeper.save()
    client = ring.client("owner")
    shown = {f.name: f for f in client.get("/tanks/new/").context["fields"]}
    assert shown["tank-length_cm"].unit == "in"
    sent = {"tank-name": "Study", "tank-volume_l": "20", "tank-timezone": "America/New_York"}
    token = client.post("/tanks/new/", sent)["Location"].split("/")[3]
    client.post(f"/tanks/new/{token}/review/")
    assert spec_of(mine(keeper).get()).volume_l == pytest.approx(75.7, abs=0.01)


@pytest.mark.parametrize("slug", ["prices", "nonsense"])
def test_a_step_that_is_none_is_not_there(ring, slug):
    client = ring.client("owner")
    token = begin(client)
    assert client.get(f"/tanks/new/{token}/{slug}/").status_code == 404


def test_looking_makes_nothing(ring, tmp_path):
    client = ring.client("owner")
    client.get("/tanks/new/")
    assert not (tmp_path / "pending").exists()
    assert client.get("/tanks/new/nothing/forget/").status_code == 405
