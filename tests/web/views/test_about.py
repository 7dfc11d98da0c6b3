import pytest

from leafgill.web.models import SpecRow
from leafgill.web.store.tanks import spec_of, tanks_of

pytestmark = pytest.mark.django_db


def specs(ring):
    return SpecRow.objects.filter(tank=ring.tank).count()


def sent(ring, slug, **changes):
    shown = ring.get("owner", f"about/{slug}/").context["fields"]
    values = {f.name: list(f.value) if isinstance(f.value, tuple) else f.value for f in shown}
    return {**values, **{name.replace("__", "-"): value for name, value in changes.items()}}


def test_what_is_known_is_shown_part_by_part(ring, text):
    page = text(ring.get("reader", "about/"))
    assert "Carbonate hardness (KH) 4 dKH" in page
    assert "It is as it was at the beginning." in page


def test_a_change_keeps_what_held_until_then(ring, text):
    values = sent(ring, "water", water__kh_dkh="6", tank__temperature_c="24")
    assert ring.post("writer", "about/water/", **values).status_code == 302
    tank = spec_of(ring.tank)
    assert (tank.water.kh_dkh, tank.temperature_c) == (6.0, 24.0)
    assert specs(ring) == 2
    page = text(ring.get("reader", "about/"))
    assert "Carbonate hardness (KH): 4 dKH → 6 dKH" in page
    assert "Usual temperature: 25 °C → 24 °C" in page


def test_what_is_taken_out_is_not_known_any_more(ring):
    ring.post("owner", "about/water/", **sent(ring, "water", water__kh_dkh=""))
    assert spec_of(ring.tank).water.kh_dkh is None


def test_the_same_sent_back_changes_nothing(ring):
    ring.keepers["owner"].units = "us"
    ring.keepers["owner"].save()
    ring.tank.refresh_from_db()
    before = ring.tank.version
    for slug in ("size", "water", "day", "animals", "gas", "cylinder", "line", "place", "prices"):
        assert ring.post("owner", f"about/{slug}/", **sent(ring, slug)).status_code == 302
    ring.tank.refresh_from_db()
    assert (specs(ring), ring.tank.version) == (1, before)


def test_a_new_name_is_the_tanks_name(ring):
    ring.post("owner", "about/size/", **sent(ring, "size", tank__name="Parlour"))
    ring.tank.refresh_from_db()
    assert ring.tank.name == "Parlour"


def test_what_is_wrong_stands_beside_the_field_and_nothing_is_written(ring):
    response = ring.post("owner", "about/water/", **sent(ring, "water", water__kh_dkh="400"))
    assert response.status_code == 422
    fields = {f.name: f for f in response.context["fields"]}
    assert fields["water-kh_dkh"].value == "400"
    assert "accepted: 0 to 30 dKH" in fields["water-kh_dkh"].error
    assert specs(ring) == 1


def test_a_part_that_is_none_is_not_there(ring):
    assert ring.get("owner", "about/nonsense/").status_code == 404


def test_a_tank_put_away_stands_in_no_list_and_comes_back_whole(ring, text):
    for _ in range(2):
        assert ring.post("owner", "about/away/").status_code == 302
    assert tanks_of(ring.keepers["owner"]) == []
    assert "This tank is put away" in text(ring.get("reader", "about/"))
    assert "Bring it back" not in text(ring.get("reader", "about/"))
    assert "Tanks put away Den" in text(ring.client("owner").get("/settings/"))
    assert "Tanks put away" not in text(ring.client("reader").get("/settings/"))
    for _ in range(2):
        assert ring.post("owner", "about/back/").status_code == 302
    assert tanks_of(ring.keepers["owner"]) == [ring.tank]
