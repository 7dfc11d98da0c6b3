import stat

import pytest

from leafgill.errors import InputError
from leafgill.web import clock, home


def test_the_folder_is_the_named_one_and_otherwise_the_platforms(monkeypatch, tmp_path):
    monkeypatch.setenv("LEAFGILL_HOME", str(tmp_path / "tank"))
    assert home.home() == tmp_path / "tank"
    monkeypatch.delenv("LEAFGILL_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    assert home.home().name == "leafgill"
    assert tmp_path in home.home().parents


def test_asking_where_it_is_makes_nothing(monkeypatch, tmp_path):
    monkeypatch.setenv("LEAFGILL_HOME", str(tmp_path / "tank"))
    assert len(home.secret_key()) > 40
    assert home.secret_key() == home.secret_key()
    home.database()
    assert not (tmp_path / "tank").exists()


def test_the_key_is_made_once_and_is_this_users_alone(monkeypatch, tmp_path):
    monkeypatch.setenv("LEAFGILL_HOME", str(tmp_path / "a" / "b"))
    folder = home.prepare()
    key = home.secret_key()
    assert len(key) == 64
    assert stat.S_IMODE((folder / "secret-key").stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    home.prepare()
    assert home.secret_key() == key
    assert [path.name for path in folder.iterdir()] == ["secret-key"]


def test_a_file_in_the_folders_place_is_told_in_one_line(monkeypatch, tmp_path):
    (tmp_path / "tank").write_text("x")
    monkeypatch.setenv("LEAFGILL_HOME", str(tmp_path / "tank"))
    with pytest.raises(InputError, match="is a file; name another with --data") as refused:
        home.prepare()
    assert "\n" not in str(refused.value)


def test_without_a_url_the_database_is_a_file_of_the_folder(monkeypatch, tmp_path):
    monkeypatch.delenv("LEAFGILL_DATABASE_URL", raising=False)
    told = home.database()
    assert told["NAME"] == tmp_path / "leafgill.db"
    assert "journal_mode=WAL" in told["OPTIONS"]["init_command"]


def test_a_url_names_a_server(monkeypatch):
    monkeypatch.setenv("LEAFGILL_DATABASE_URL", "postgresql://ada:s%20x@db:5433/tanks")
    told = home.database()
    assert told["ENGINE"] == "django.db.backends.postgresql"
    assert (told["HOST"], told["PORT"], told["NAME"]) == ("db", 5433, "tanks")
    assert told["PASSWORD"] == "s x"


@pytest.mark.parametrize(
    ("url", "words"),
    [
        ("mysql://ada:secret@db/tanks", "is not accepted"),
        ("sqlite:///tanks.db", "is not accepted"),
        ("postgresql://ada:secret@db", "names no database"),
        ("postgresql://ada:secret@db:port/tanks", "names no database"),
    ],
)
def test_a_url_that_is_none_is_told_without_its_password(monkeypatch, url, words):
    monkeypatch.setenv("LEAFGILL_DATABASE_URL", url)
    with pytest.raises(InputError, match=words) as refused:
        home.database()
    assert "secret" not in str(refused.value)


def test_the_clock_goes_unless_it_is_told_to_stand(monkeypatch):
    monkeypatch.delenv("LEAFGILL_NOW", raising=False)
    assert clock.now().utcoffset().total_seconds() == 0.0
    assert not clock.stands()
    monkeypatch.setenv("LEAFGILL_NOW", "2025-03-08T12:10+01:00")
    assert clock.now().isoformat() == "2025-03-08T12:10:00+01:00"
    assert clock.stands()


@pytest.mark.parametrize(("named", "words"), [("soon", "is no time"), ("2025-03-08", "no offset")])
def test_a_moment_that_is_none_is_refused(monkeypatch, named, words):
    monkeypatch.setenv("LEAFGILL_NOW", named)
    with pytest.raises(InputError, match=words):
        clock.now()
