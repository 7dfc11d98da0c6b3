"""The app's tests: which database they really ran on, and nothing of it in the keeper's folder."""

import os
from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _data_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("LEAFGILL_HOME", str(tmp_path))


@pytest.fixture(autouse=True)
def _quick_passwords(settings):
    # a good hash takes half a second, and every test makes four keepers
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(scope="session", autouse=True)
def _seen_vendor():
    """Write down the database's kind for whoever started these tests on another one."""
    seen = os.environ.get("LEAFGILL_SEEN_VENDOR")
    if seen:
        from django.db import connection

        Path(seen).write_text(connection.vendor)
