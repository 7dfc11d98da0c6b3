"""What has to hold before a page is answered."""

import pytest
from django.db.migrations.recorder import MigrationRecorder

from leafgill.errors import InputError
from leafgill.web import serve, set_up
from leafgill.web.models import Keeper
from leafgill.web.store import keepers

pytestmark = pytest.mark.django_db


@pytest.fixture
def away(settings):
    settings.BEYOND_THIS_MACHINE = True
    settings.HOST = "0.0.0.0"


def keeper(name, password=None):
    made = Keeper(username=name)
    made.set_password(password)
    made.save()
    return made


def test_at_this_machine_a_keeper_is_made_and_only_once():
    serve.let_in()
    serve.let_in()
    assert [k.username for k in Keeper.objects.all()] == [keepers.FIRST]


def test_beyond_it_nobody_is_made_and_it_does_not_start(away):
    with pytest.raises(InputError) as refused:
        serve.let_in()
    assert str(refused.value) == (
        '--host = "0.0.0.0" can be reached from other machines, and no keeper has a password; '
        "first: leafgill keeper add NAME"
    )
    assert not Keeper.objects.exists()


def test_whoever_is_there_already_is_to_be_given_a_password(away, tmp_path):
    keeper("ada")
    with pytest.raises(InputError, match=r"first: leafgill keeper password ada --data .*/tank$"):
        serve.let_in(tmp_path / "tank")


def test_behind_a_proxy_it_is_the_same(settings):
    settings.BEYOND_THIS_MACHINE = True
    settings.HOST = "127.0.0.1"
    with pytest.raises(InputError, match="a proxy, TLS or names of its own lead to it"):
        serve.let_in()


def test_with_a_password_it_starts(away):
    keeper("ada", "a long password")
    serve.let_in()


def test_one_who_is_not_let_in_any_more_does_not_count(away):
    Keeper.objects.filter(pk=keeper("ada", "a long password").pk).update(is_active=False)
    with pytest.raises(InputError, match="no keeper has a password"):
        serve.let_in()


def test_a_database_of_a_newer_program_is_not_touched():
    MigrationRecorder.Migration.objects.create(app="web", name="0999_from_the_future")
    with pytest.raises(InputError, match="is of a newer Leaf & Gill than this one"):
        set_up.refuse_newer()


def test_the_files_of_the_pages_are_put_together_once(settings, tmp_path):
    settings.STATIC_ROOT = tmp_path / "static"
    set_up.gather(tmp_path)
    css = tmp_path / "static" / "web" / "app.css"
    assert css.is_file()
    css.write_text("mine")
    set_up.gather(tmp_path)
    assert css.read_text() == "mine"
    (tmp_path / "static" / ".of").write_text("another program")
    set_up.gather(tmp_path)
    assert css.read_text() != "mine"


def test_a_folder_that_cannot_take_them_is_told(settings, tmp_path):
    settings.STATIC_ROOT = tmp_path / "static"
    (tmp_path / "static").write_text("a file")
    with pytest.raises(InputError, match="static cannot be written"):
        set_up.gather(tmp_path)


def test_the_places_to_type(monkeypatch):
    monkeypatch.setattr(serve, "_outward", lambda: ["192.168.1.20"])
    assert serve._places("127.0.0.1") == ["127.0.0.1"]
    assert serve._places("0.0.0.0") == ["127.0.0.1", "192.168.1.20"]
    assert serve._places("::1") == ["[::1]"]
    assert serve._places("den.local") == ["den.local"]
