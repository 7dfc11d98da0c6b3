import pytest
from axes.models import AccessAttempt
from django.contrib.auth import authenticate
from django.test import Client, RequestFactory

from leafgill.errors import InputError
from leafgill.tank.spec import Tank
from leafgill.web.models import Keeper
from leafgill.web.store import logins
from leafgill.web.store.keepers import first_keeper
from leafgill.web.store.tanks import create_tank

pytestmark = pytest.mark.django_db
GOOD = "moss on driftwood"


def let_in(name, password):
    return authenticate(RequestFactory().post("/login/"), username=name, password=password)


def test_a_keeper_is_made_and_can_log_in():
    made = logins.make("ada", GOOD)
    assert let_in("ada", GOOD) == made
    assert let_in("ada", "moss on driftwoods") is None


@pytest.mark.parametrize("name", ["", "a b", "x" * 81, "ada\n", "a/b"])
def test_what_is_no_name_is_refused(name):
    with pytest.raises(InputError, match=r"accepted: letters, digits and \. @ \+ - _"):
        logins.make(name, GOOD)
    assert not Keeper.objects.exists()


def test_two_keepers_do_not_differ_by_capitals_alone():
    logins.make("ada", GOOD)
    with pytest.raises(InputError, match='NAME "Ada" is taken'):
        logins.check_new_name("Ada")


@pytest.mark.parametrize(
    ("password", "why"),
    [
        ("short", "at least 10 characters"),
        ("1234567890123", "entirely numeric"),
        ("password123", "too common"),
        ("ada-lovelace", "too similar to the username"),
    ],
)
def test_a_weak_password_is_refused_and_the_old_one_stays(password, why):
    keeper = logins.make("ada-lovelac", GOOD)
    with pytest.raises(InputError, match=f"the password is not accepted: .*{why}"):
        logins.set_password(keeper, password)
    assert let_in("ada-lovelac", GOOD) == keeper


def test_a_new_password_ends_the_logins_by_the_old_one():
    keeper = logins.make("ada", GOOD)
    browser = Client(REMOTE_ADDR="192.0.2.7")
    browser.force_login(keeper, backend="django.contrib.auth.backends.ModelBackend")
    assert browser.get("/settings/").status_code == 200
    logins.set_password(keeper, "ferns by the window")
    assert browser.get("/settings/").status_code == 302


def test_a_new_password_lets_in_again_whom_wrong_ones_locked_out():
    logins.make("Ada", GOOD)
    browser = Client(REMOTE_ADDR="192.0.2.7")
    for _ in range(5):
        browser.post("/login/", {"username": "ada", "password": "wrong"})
    assert AccessAttempt.objects.exists()
    locked = browser.post("/login/", {"username": "ada", "password": GOOD})
    assert locked.status_code == 429
    logins.set_password(logins.named("ada"), "ferns by the window")
    told = browser.post("/login/", {"username": "ada", "password": "ferns by the window"})
    assert told.status_code == 302


def test_a_keeper_is_found_however_the_name_is_cased():
    made = logins.make("ada", GOOD)
    assert logins.named("ADA") == made


def test_who_is_not_there_is_told_with_those_who_are():
    with pytest.raises(InputError, match='NAME "eve": there is no such keeper; nobody is there'):
        logins.named("eve")
    logins.make("bob", GOOD)
    logins.make("ada", GOOD)
    with pytest.raises(InputError, match="there is no such keeper; there is ada, bob"):
        logins.named("eve")


def test_a_keeper_gets_another_name_and_keeps_all_else():
    keeper = logins.make("ada", GOOD)
    logins.rename(keeper, "Ada")
    assert let_in("Ada", GOOD) == keeper
    logins.make("bob", GOOD)
    with pytest.raises(InputError, match='"BOB" is taken'):
        logins.rename(keeper, "BOB")
    assert Keeper.objects.get(pk=keeper.pk).username == "Ada"


def test_the_list_tells_tanks_and_passwords():
    ada, bob = first_keeper(), logins.make("bob", GOOD)
    for name in ("Den", "Hall"):
        create_tank(ada, Tank.from_mapping({"tank": {"name": name, "volume_l": 60}}))
    bob.is_active = False
    bob.save()
    create_tank(bob, Tank.from_mapping({"tank": {"name": "Loft", "volume_l": 60}}))
    assert logins.lines() == [
        "bob: 1 tank, a password, not let in",
        "keeper: 2 tanks, no password",
    ]
