"""Rule 7: nothing in advice can reach a valve, a file, a network or another program."""

import ast
from pathlib import Path

import pytest

import leafgill.advise as advise

FILES = sorted(Path(advise.__path__[0]).glob("*.py"))
ALLOWED = {
    *("__future__", "ast", "collections", "dataclasses", "datetime", "functools", "typing"),
    *("zoneinfo", "numpy", "scipy", "leafgill"),
}
REFUSED = {"open", "exec", "eval", "compile", "__import__", "print", "input"}


def imported(tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name.split(".")[0] for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield (node.module or "").split(".")[0]


def called(tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            yield node.func.id


@pytest.mark.parametrize(
    ("text", "bad"), [("import socket", {"socket"}), ("from paho import mqtt", {"paho"})]
)
def test_the_search_finds_what_it_looks_for(text, bad):
    assert set(imported(ast.parse(text))) - ALLOWED == bad


def test_there_is_something_to_search():
    assert {"tune.py", "rules.py", "forecast.py"} <= {path.name for path in FILES}


TUNING = {
    *("aim", "air", "candidates", "case", "closing", "compose", "emergency", "expect", "forecast"),
    *("hours", "instruments", "looks", "measure", "opening", "rates", "real_time", "response"),
    *("rules", "say", "search", "situation", "step", "tune", "words"),
}


@pytest.mark.parametrize("path", [p for p in FILES if p.stem in TUNING], ids=lambda path: path.name)
def test_advice_reaches_for_nothing(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert set(imported(tree)) <= ALLOWED
    assert not set(called(tree)) & REFUSED
