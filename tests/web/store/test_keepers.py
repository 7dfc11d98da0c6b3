import pytest
from django.contrib.auth import get_user_model
from django.db import IntegrityError, transaction

from leafgill.web.models import Keeper
from leafgill.web.store.keepers import FIRST, first_keeper, with_password, without_password

pytestmark = pytest.mark.django_db


def keeper(name, password=None, *, active=True):
    made = Keeper(username=name, is_active=active)
    made.set_password(password)
    made.save()
    return made


def test_keepers_are_who_logs_in():
    assert get_user_model() is Keeper


def test_the_first_is_made_once_and_without_a_password():
    made = first_keeper()
    assert (made.username, made.has_usable_password()) == (FIRST, False)
    assert first_keeper() == made
    assert Keeper.objects.count() == 1


def test_where_there_is_somebody_nobody_is_made():
    ada = keeper("ada", "a long password")
    assert first_keeper() == ada


def test_with_and_without_a_password():
    assert not with_password()
    assert without_password() == []
    first = keeper("ada")
    empty = Keeper.objects.create(username="bo", password="")
    keeper("gone", "a long password", active=False)
    keeper("gone-too", active=False)
    assert without_password() == [first, empty]
    assert not with_password()
    keeper("cy", "a long password")
    assert with_password()
    assert without_password() == [first, empty]


def test_a_name_is_one_keepers_however_its_letters_are_cased():
    keeper("Ada")
    with pytest.raises(IntegrityError), transaction.atomic():
        keeper("ada")
    assert Keeper.objects.get_by_natural_key("ADA").username == "Ada"
