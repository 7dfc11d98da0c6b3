"""docs/app.md holds every setting the app reads, and none that it does not."""

import re
from pathlib import Path

from django.conf import settings

from leafgill.web.home import home
from leafgill.web.importing.upload import LARGEST
from leafgill.web.serve import PORT
from leafgill.web.store.sharing import VALID

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "docs" / "app.md").read_text(encoding="utf-8")
VARIABLE = re.compile(r"LEAFGILL_[A-Z_]+")
# What `serve` tells the settings module by; nobody else is to set them.
WITHIN = {"LEAFGILL_HOST", "LEAFGILL_GATHERED", "LEAFGILL_WORKER"}


def test_the_table_of_settings_is_what_the_program_reads():
    read = {
        name
        for path in (ROOT / "src").rglob("*.py")
        for name in VARIABLE.findall(path.read_text(encoding="utf-8"))
    }
    table = set(re.findall(r"^\| `(LEAFGILL_[A-Z_]+)` \|", PAGE, re.MULTILINE))
    assert table == read - WITHIN
    assert set(VARIABLE.findall(PAGE)) == table


def test_the_figures_on_the_page_are_the_programs():
    assert f"<http://127.0.0.1:{PORT}/>" in PAGE
    assert f"http://127.0.0.1:{PORT};" in PAGE
    assert settings.AXES_FAILURE_LIMIT == 5
    assert "Five wrong passwords" in PAGE
    assert settings.AXES_COOLOFF_TIME.total_seconds() == 15 * 60
    assert "for a quarter of an hour" in PAGE
    assert VALID.days == 7
    assert "works once and for a week" in PAGE


def test_the_proxy_in_the_example_lets_the_largest_file_through():
    (most,) = re.findall(r"client_max_body_size (\d+)m;", PAGE)
    assert int(most) * 1_000_000 > max(LARGEST.values())


def test_the_folder_named_for_linux_is_the_one_used(monkeypatch):
    monkeypatch.delenv("LEAFGILL_HOME", raising=False)
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    monkeypatch.setenv("HOME", "/home/ada")
    assert "`~/.local/share/leafgill`" in PAGE
    assert home() == Path("/home/ada/.local/share/leafgill")
