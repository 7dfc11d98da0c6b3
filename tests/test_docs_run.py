"""docs/run.md and the unit for systemd say what the program does."""

import configparser
import re
import shlex
from pathlib import Path

from leafgill import log_lines
from leafgill.web import notify, running
from leafgill.web.keeping import schedule
from leafgill.web.keeping.backup_format import BEFORE_UPGRADE, DAILY, name_of, told_by_name
from leafgill.web.serve import PORT

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "docs" / "run.md").read_text(encoding="utf-8")
APP_PAGE = (ROOT / "docs" / "app.md").read_text(encoding="utf-8")
UNIT = ROOT / "deploy" / "leafgill.service"
VARIABLE = re.compile(r"LEAFGILL_[A-Z_]+")


def unit():
    read = configparser.ConfigParser(interpolation=None, strict=False)
    read.optionxform = str
    # a key may stand several times; configparser keeps one, the text is asked for the others
    read.read_string(UNIT.read_text(encoding="utf-8"))
    return read


def environment():
    return dict(re.findall(r"^Environment=([A-Z_]+)=(.*)$", UNIT.read_text(), re.MULTILINE))


def test_every_setting_that_is_named_is_in_the_table():
    table = set(re.findall(r"^\| `(LEAFGILL_[A-Z_]+)` \|", APP_PAGE, re.MULTILINE))
    assert set(VARIABLE.findall(PAGE)) <= table
    assert set(VARIABLE.findall(UNIT.read_text(encoding="utf-8"))) <= table


def test_the_commands_on_the_page_are_the_programs():
    from leafgill.cli.app import app

    known = {command.name for command in app.registered_commands}
    known |= {group.name for group in app.registered_groups}
    told = "\n".join(
        line for line in PAGE.splitlines() if line.startswith("    ") or "leafgill doctor`" in line
    )
    used = set(re.findall(r"(?:^    |/bin/|`)leafgill ([a-z]+)", told, re.MULTILINE))
    assert {"backup", "restore", "export", "doctor", "keeper"} <= used <= known


def test_the_figures_on_the_page_are_the_programs():
    assert (running.FIRST_PAUSE_S, running.MOST_PAUSE_S) == (1.0, 60.0)
    assert "after a second at first, then later each time up to a minute" in PAGE
    keep = schedule.KEEP
    assert f"each of {keep.days} days, {keep.weeks} weeks and {keep.months} months" in PAGE
    assert schedule.KEEP_UPGRADES == log_lines.PUT_BY == 3
    assert "the last three stay" in PAGE and "the last three kept" in PAGE
    assert f"begun anew at {log_lines.LARGEST_FILE / 1e6:.0f} MB" in PAGE
    assert f":{PORT}/" in PAGE


def test_names_of_backups_on_the_page_are_such_names():
    named = re.findall(r"leafgill-\d\S+?\.zip", PAGE)
    assert len(named) == 2
    for name in named:
        at, kind = told_by_name(name)
        assert kind == DAILY and name_of(at, kind) == name
    assert f"...-{BEFORE_UPGRADE}.zip" in PAGE


def test_the_line_of_the_log_has_what_a_line_has():
    import json

    (written,) = re.findall(r"^    (\{.*\})$", PAGE, re.MULTILINE)
    assert list(json.loads(written)) == ["time", "level", "logger", "message", "data", "place"]


def test_links_lead_somewhere():
    for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", PAGE):
        assert (ROOT / "docs" / target).exists(), target
    anchors = {re.sub(r"[^a-z0-9 -]", "", title.lower()).replace(" ", "-")
               for title in re.findall(r"^## (.+)$", PAGE, re.MULTILINE)}  # fmt: skip
    for page in ("app.md", "cli.md", "run.md"):
        text = (ROOT / "docs" / page).read_text(encoding="utf-8")
        for anchor in re.findall(r"\]\(run\.md#([^)]+)\)", text):
            assert anchor in anchors, anchor


def test_the_units_command_is_one_that_the_program_takes():
    from typer.main import get_command

    from leafgill.cli.app import app

    words = shlex.split(unit()["Service"]["ExecStart"])
    assert words[0] == "/opt/leafgill/.venv/bin/leafgill"
    command = get_command(app).commands[words[1]]
    context = command.make_context("serve", words[2:])
    assert context.params["host"] == "0.0.0.0"
    assert context.params["browser"] is False


def test_the_unit_waits_as_long_as_the_program_takes(monkeypatch):
    from leafgill.web import server
    from leafgill.web.working import process

    service = unit()["Service"]
    assert service["Type"] == "notify"
    longest = server._FINISH_S + running.FINISH_S + process._STARTED_WITHIN_S
    assert int(service["TimeoutStopSec"]) > longest
    monkeypatch.setenv("WATCHDOG_USEC", f"{int(service['WatchdogSec'])}000000")
    # it is told three times within the patience, at the server's turns
    assert notify._every_s() > 10 * server._TURN_S
    assert int(service["WatchdogSec"]) > running.FINISH_S + server._FINISH_S


def test_the_unit_keeps_the_data_to_its_user_and_lets_compiled_code_run():
    service = unit()["Service"]
    assert environment()["LEAFGILL_HOME"] == f"/var/lib/{service['StateDirectory']}"
    assert environment()["NUMBA_CACHE_DIR"] == f"/var/cache/{service['CacheDirectory']}"
    assert environment()["LEAFGILL_LOG"] == log_lines.STDERR
    assert service["UMask"] == "0077"
    assert service["StateDirectoryMode"] == "0700"
    assert service["NoNewPrivileges"] == service["ProtectHome"] == "yes"
    assert service["ProtectSystem"] == "strict"
    assert "MemoryDenyWriteExecute" not in service
    # the broker and the phones by IP, systemd itself by a socket in the file system
    assert set(service["RestrictAddressFamilies"].split()) == {"AF_UNIX", "AF_INET", "AF_INET6"}


def test_the_unit_is_told_of_where_a_service_is():
    assert "](run.md)" in APP_PAGE
    assert "](../deploy/leafgill.service)" in PAGE
