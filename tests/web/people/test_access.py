import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest

from leafgill.tank.spec import Tank
from leafgill.web.models import Keeper, Share
from leafgill.web.store.access import tank_for
from leafgill.web.store.tanks import create_tank, tanks_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def people():
    return {name: Keeper.objects.create(username=name) for name in ("ada", "bo", "cy", "di")}


@pytest.fixture
def row(people):
    made = create_tank(people["ada"], Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60}}))
    Share.objects.create(tank=made, keeper=people["bo"], role="write")
    Share.objects.create(tank=made, keeper=people["cy"], role="read")
    return made


def asked_by(keeper):
    request = HttpRequest()
    request.user = keeper
    return request


@pytest.mark.parametrize(("who", "role"), [("ada", "owner"), ("bo", "write"), ("cy", "read")])
def test_whoever_has_a_share_sees_the_tank(people, row, who, role):
    request = asked_by(people[who])
    assert tank_for(request, row.public_id) == row
    assert request.tank_role == role


@pytest.mark.parametrize("who", ["ada", "bo"])
def test_owner_and_writer_write(people, row, who):
    assert tank_for(asked_by(people[who]), row.public_id, write=True) == row


def test_a_reader_does_not(people, row):
    with pytest.raises(PermissionDenied):
        tank_for(asked_by(people["cy"]), row.public_id, write=True)


@pytest.mark.parametrize("write", [False, True])
def test_a_stranger_cannot_tell_it_from_one_that_is_none(people, row, write):
    told = []
    for public_id in (row.public_id, "nothing23x"):
        with pytest.raises(Http404) as refused:
            tank_for(asked_by(people["di"]), public_id, write=write)
        told.append(str(refused.value))
    assert told[0] == told[1]


def test_nobody_has_nothing(row):
    from django.contrib.auth.models import AnonymousUser

    with pytest.raises(Http404):
        tank_for(asked_by(AnonymousUser()), row.public_id)


def test_a_share_that_ended_is_none(people, row):
    Share.objects.filter(keeper=people["bo"]).delete()
    with pytest.raises(Http404):
        tank_for(asked_by(people["bo"]), row.public_id)


def test_it_takes_one_query(people, row, django_assert_num_queries):
    with django_assert_num_queries(1):
        assert tank_for(asked_by(people["bo"]), row.public_id).name == "Den"


def test_each_has_a_list_of_their_own(people, row):
    assert [t.name for t in tanks_of(people["cy"])] == ["Den"]
    assert tanks_of(people["di"]) == []


def test_addresses_are_not_to_be_guessed(people):
    tank = Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60}})
    made = {create_tank(people["ada"], tank).public_id for _ in range(50)}
    assert len(made) == 50
    assert {len(name) for name in made} == {10}
    assert not set("".join(made)) & set("01iloOIL")
