"""Logs that programs read: one JSON object a line.

`LEAFGILL_LOG` names the file they go to; "-" is standard error, where a service's journal takes
them up. Without it a service's warnings are plain lines on standard error.
"""

from __future__ import annotations

import json
import logging
import os
import sys
from datetime import UTC, datetime
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Any

LOG, STDERR = "LEAFGILL_LOG", "-"
# A file that is full is put by and begun anew; so many are put by.
LARGEST_FILE, PUT_BY = 5_000_000, 3
# What every record has is told under names of our own or not at all.
_EVERY = set(vars(logging.makeLogRecord({}))) | {"message", "asctime", "taskName"}
# Django hands the request itself along.
_UNTOLD = {"request", "status_code", "server_time"}


class JsonLines(logging.Formatter):
    """Writes a record as one line: time, level, logger, message, what `extra` had, the trace."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        told: dict[str, Any] = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
        }
        more = set(vars(record)) - _EVERY - _UNTOLD - set(told)
        told |= {name: getattr(record, name) for name in sorted(more)}
        if record.exc_info:
            told["trace"] = self.formatException(record.exc_info)
        # no letter of a message can begin a line of its own, or steer a terminal
        return json.dumps(told, default=str, ensure_ascii=True)


class LogFile(RotatingFileHandler):
    """A file that is its user's alone and never grows without end.

    One that cannot be written is complained of once, and what runs goes on.
    """

    def __init__(self, path: str) -> None:
        super().__init__(
            path, maxBytes=LARGEST_FILE, backupCount=PUT_BY, encoding="utf-8", delay=True
        )
        self._complained = False

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 - logging's name
        """Say once that the file cannot be written."""
        if not self._complained:
            self._complained = True
            wrong = sys.exc_info()[1]
            print(f"leafgill: the log {self.baseFilename} cannot be written: {wrong}",
                  file=sys.stderr)  # fmt: skip


def named_log() -> str:
    """Return what `LEAFGILL_LOG` names, "" where it is not set."""
    return os.environ.get(LOG, "").strip()


def logging_settings() -> dict[str, Any]:
    """Return how Python's logging is set up while the app runs."""
    named = named_log()
    handler: dict[str, Any] = {"class": "logging.StreamHandler", "formatter": "line"}
    if named == STDERR:
        handler["formatter"] = "json"
    elif named:
        path = str(Path(named).expanduser().absolute())
        handler = {"()": LogFile, "path": path, "formatter": "json"}
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {
            "line": {"format": "{levelname} {name}: {message}", "style": "{"},
            "json": {"()": JsonLines},
        },
        "handlers": {"out": handler},
        "root": {"handlers": ["out"], "level": "WARNING"},
        "loggers": {
            # whoever sits before a terminal is told what goes wrong; a log tells what happens
            "leafgill": {"level": "INFO" if named else "WARNING"},
            "django": {"level": "WARNING"},
            "django.request": {"level": "ERROR"},
            "django.security": {"level": "ERROR"},
            # whoever likes can send any name, as often as they like
            "django.security.DisallowedHost": {"level": "CRITICAL"},
        },
    }


def failure_line(error: BaseException) -> str:
    """Return an unforeseen failure of a command as a line of the log, its trace in it."""
    record = logging.LogRecord(
        "leafgill.cli", logging.CRITICAL, "", 0, f"{type(error).__name__}: {error}", None,
        (type(error), error, error.__traceback__),
    )  # fmt: skip
    return JsonLines().format(record) + "\n"
