"""The log as lines that programs read."""

import io
import json
import logging
import logging.config

import pytest

from leafgill import log_lines
from leafgill.log_lines import JsonLines, LogFile, failure_line, logging_settings


def line(message, *values, level=logging.WARNING, wrong=None, **extra):
    record = logging.LogRecord("leafgill.x", level, "f.py", 3, message, values, wrong)
    vars(record).update(extra)
    written = JsonLines().format(record)
    assert "\n" not in written
    return json.loads(written)


def test_a_line_tells_when_how_bad_where_and_what():
    told = line("%d tanks", 2)
    assert set(told) == {"time", "level", "logger", "message"}
    assert (told["level"], told["logger"], told["message"]) == ("warning", "leafgill.x", "2 tanks")
    assert told["time"].endswith("+00:00")


def test_what_comes_along_has_its_own_name_and_hides_nothing():
    told = line("made", file="a.zip", bytes=3, when=object, request="secret", logger="x")
    assert told["file"] == "a.zip"
    assert told["bytes"] == 3
    assert isinstance(told["when"], str)
    assert told["logger"] == "leafgill.x"
    assert "request" not in told


def test_no_message_can_begin_a_line_or_steer_a_terminal():
    written = JsonLines().format(
        logging.LogRecord("a", logging.INFO, "", 0, 'x\n{"level": "info"}\x1b[2J\u2028', (), None)
    )
    assert written.isascii() and written.isprintable()


def test_a_failure_has_its_trace_in_one_line():
    try:
        raise RuntimeError("a wheel\ncame off")
    except RuntimeError as wrong:
        written = failure_line(wrong)
    assert written.count("\n") == 1
    told = json.loads(written)
    assert told["level"] == "critical"
    assert told["message"] == "RuntimeError: a wheel\ncame off"
    assert "Traceback" in told["trace"] and "test_log_lines.py" in told["trace"]


@pytest.fixture
def configured(monkeypatch):
    """Return a function that sets logging up as the environment says, put back at the end."""
    root, ours = logging.getLogger(), logging.getLogger("leafgill")
    before = list(root.handlers), root.level, ours.level

    def configure(named):
        monkeypatch.setenv("LEAFGILL_LOG", named)
        logging.config.dictConfig(logging_settings())
        return logging.getLogger("leafgill.x")

    yield configure
    for handler in root.handlers:
        handler.close()
    root.handlers[:] = before[0]
    root.setLevel(before[1])
    ours.setLevel(before[2])


def test_without_a_log_only_what_goes_wrong_is_told_in_plain_words(configured, capsys):
    log = configured("")
    log.info("started")
    log.warning("a broker is away")
    assert capsys.readouterr().err == "WARNING leafgill.x: a broker is away\n"


def test_a_dash_is_standard_error(configured, capsys):
    log = configured("-")
    log.info("started", extra={"place": "here"})
    logging.getLogger("django.x").info("chatter")
    (written,) = capsys.readouterr().err.splitlines()
    assert json.loads(written)["place"] == "here"


def test_a_name_is_a_file_that_is_only_there_when_there_is_something(configured, tmp_path, capsys):
    path = tmp_path / "a.log"
    log = configured(str(path))
    assert not path.exists()
    log.info("started")
    assert json.loads(path.read_text())["message"] == "started"
    assert capsys.readouterr().err == ""


def test_a_file_does_not_grow_without_end(monkeypatch, tmp_path):
    monkeypatch.setattr(log_lines, "LARGEST_FILE", 2_000)
    monkeypatch.setattr(log_lines, "PUT_BY", 2)
    handler = LogFile(str(tmp_path / "a.log"))
    handler.setFormatter(JsonLines())
    for number in range(100):
        handler.handle(logging.LogRecord("a", logging.INFO, "", 0, f"line {number}", (), None))
    handler.close()
    files = sorted(tmp_path.iterdir())
    assert [path.name for path in files] == ["a.log", "a.log.1", "a.log.2"]
    assert sum(path.stat().st_size for path in files) < 6_000
    assert "line 99" in files[0].read_text()


def test_a_file_that_cannot_be_written_is_complained_of_once(tmp_path, monkeypatch):
    said = io.StringIO()
    monkeypatch.setattr("sys.stderr", said)
    handler = LogFile(str(tmp_path / "none" / "a.log"))
    handler.setFormatter(JsonLines())
    for _ in range(3):
        handler.handle(logging.LogRecord("a", logging.INFO, "", 0, "x", (), None))
    assert said.getvalue().count("\n") == 1
    assert said.getvalue().startswith("leafgill: the log ")
    assert "Traceback" not in said.getvalue()
