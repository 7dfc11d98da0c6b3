import re
from datetime import timedelta

import pytest

from leafgill.web.models import Invitation, Keeper, Share
from leafgill.web.store import sharing

pytestmark = pytest.mark.django_db


def role(ring, who):
    share = Share.objects.filter(tank=ring.tank, keeper__username=who).first()
    return share.role if share else None


def invite(ring, role="read"):
    """Return the path of an invitation's link."""
    response = ring.post("owner", "people/invite/", role=role)
    assert response.status_code == 200
    link = re.search(r"http://testserver(/invitation/[\w-]+/)", response.content.decode())
    return link[1]


# -- inviting


def test_a_link_lets_one_person_in_once(ring, text):
    link = invite(ring, "write")
    assert "stranger" not in text(ring.get("owner", "people/"))
    page = text(ring.client("stranger").get(link))
    assert "An invitation to Den" in page
    assert "may read and write" in page
    assert role(ring, "stranger") is None  # looking takes nothing
    response = ring.client("stranger").post(link)
    assert response["Location"] == ring.url()
    assert role(ring, "stranger") == "write"
    assert ring.client("owner").get(link).status_code == 404
    assert ring.client("stranger").post(link).status_code == 404


def test_of_two_that_take_it_at_once_one_gets_in(ring, now):
    token = invite(ring, "write").split("/")[2]
    seen_by_both = [sharing.invitation_of(token, now) for _ in range(2)]
    stranger = ring.keepers["stranger"]
    late = Keeper.objects.create(username="late")
    assert sharing.accept(seen_by_both[0], stranger, now) == ring.tank
    assert sharing.accept(seen_by_both[1], late, now) is None
    assert role(ring, "stranger") == "write"
    assert role(ring, "late") is None


def test_the_links_token_is_kept_nowhere(ring):
    link = invite(ring)
    token = link.split("/")[2]
    row = Invitation.objects.get()
    assert token not in [str(getattr(row, f.attname)) for f in row._meta.concrete_fields]
    assert link not in ring.get("owner", "people/").content.decode()


def test_a_link_grows_old(ring, monkeypatch, now):
    link = invite(ring)
    monkeypatch.setenv("LEAFGILL_NOW", (now + timedelta(days=7, minutes=1)).isoformat())
    assert ring.client("stranger").get(link).status_code == 404
    assert ring.client("stranger").post(link).status_code == 404
    assert role(ring, "stranger") is None


@pytest.mark.parametrize("token", ["x", "a" * 43, "..%2f..", "A" * 200])
def test_a_link_that_is_none_does_not_work(ring, token):
    assert ring.client("stranger").get(f"/invitation/{token}/").status_code == 404


def test_a_link_called_back_does_not_work(ring, text):
    link = invite(ring)
    number = Invitation.objects.get().pk
    assert ring.post("writer", f"people/invitation/{number}/").status_code in (403, 404)
    for _ in range(2):
        assert ring.post("owner", f"people/invitation/{number}/").status_code == 302
    assert ring.client("stranger").post(link).status_code == 404


def test_a_link_to_read_takes_nothing_from_a_writer(ring):
    ring.client("writer").post(invite(ring, "read"))
    assert role(ring, "writer") == "write"
    ring.client("reader").post(invite(ring, "write"))
    assert role(ring, "reader") == "write"
    ring.client("owner").post(invite(ring, "read"))
    assert role(ring, "owner") == "owner"


def test_only_an_owner_invites(ring):
    for who in ("writer", "reader", "stranger"):
        assert ring.post(who, "people/invite/", role="read").status_code in (403, 404)
    assert ring.post("owner", "people/invite/", role="owner").status_code == 422
    assert ring.post("owner", "people/invite/").status_code == 422
    assert not Invitation.objects.exists()


def test_open_links_are_not_without_end(ring):
    for _ in range(20):
        invite(ring)
    assert ring.post("owner", "people/invite/", role="read").status_code == 422
    assert Invitation.objects.count() == 20


def test_who_has_no_login_makes_one_by_the_link(ring):
    link = invite(ring)
    nobody = ring.client("nobody")
    assert nobody.get(link).status_code == 200
    wrong = nobody.post(link, {"username": "OWNER", "new": "some long words", "again": "some"})
    assert wrong.status_code == 422
    errors = {field.name: field.error for field in wrong.context["fields"]}
    assert errors["username"] == "That name is taken."
    assert errors["again"] == "The two are not the same."
    assert role(ring, "visitor") is None
    sent = {"username": "visitor", "new": "some long words", "again": "some long words"}
    response = nobody.post(link, sent)
    assert response["Location"] == ring.url()
    assert role(ring, "visitor") == "read"
    assert Keeper.objects.get(username="visitor").check_password("some long words")
    assert nobody.get(ring.url("people/")).status_code == 200


# -- roles


def test_an_owner_gives_another_role_or_none(ring):
    number = ring.keepers["reader"].pk
    ring.post("owner", f"people/{number}/", role="write")
    assert role(ring, "reader") == "write"
    ring.post("owner", f"people/{number}/", role="none")
    assert role(ring, "reader") is None
    assert ring.get("reader", "people/").status_code == 404
    assert ring.post("owner", f"people/{number}/", role="none").status_code == 302
    assert ring.post("owner", f"people/{number}/", role="god").status_code == 422


def test_only_an_owner_gives_roles(ring):
    for who in ("writer", "reader", "stranger"):
        number = ring.keepers[who].pk
        assert ring.post(who, f"people/{number}/", role="owner").status_code in (403, 404)
    assert role(ring, "writer") == "write"


def test_a_tank_is_never_without_an_owner(ring, text):
    response = ring.post("owner", "leave/")
    assert response.status_code == 422
    assert "make somebody else one first" in text(response)
    me = ring.keepers["owner"].pk
    assert ring.post("owner", f"people/{me}/", role="read").status_code == 422
    assert role(ring, "owner") == "owner"
    ring.post("owner", f"people/{ring.keepers['writer'].pk}/", role="owner")
    assert ring.post("owner", "leave/").status_code == 302
    assert (role(ring, "owner"), role(ring, "writer")) == (None, "owner")


def test_anybody_else_may_leave(ring):
    assert ring.post("reader", "leave/").status_code == 302
    assert role(ring, "reader") is None
    assert ring.post("reader", "leave/").status_code == 404


def test_the_page_offers_only_what_one_may_do(ring, text):
    owner, reader = (text(ring.get(who, "people/")) for who in ("owner", "reader"))
    assert "Make a link" in owner
    assert "Make a link" not in reader
    assert "Leave this tank" in reader
