"""The timing of bubbles still runs, and its answers agree as it says (no time is judged here).

Source: SciPy's DOP853 and LSODA, live.
"""

import importlib.util
import json
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[2] / "bench" / "bubbles.py"


@pytest.fixture(scope="module")
def bench():
    spec = importlib.util.spec_from_file_location("bench_bubbles", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_kernel_and_solver_agree_on_random_bubbles(bench):
    result = bench.measure(lives=200, solves=40, repeats=1)
    assert result["lives"] == 400
    assert 0.0 < result["largest_error_percent"] < 0.2
    assert 0.0 < result["scipy_largest_error_percent"] < 0.2
    for way in ("compiled", "plain"):
        ratio = result[f"scipy_{way}_us_per_life"] / result["our_us_per_life"]
        assert result[f"times_faster_than_scipy_{way}"] == pytest.approx(ratio)
    assert result["lives_per_second"] == pytest.approx(1e6 / result["our_us_per_life"])


def test_prints_a_table_or_json(bench, monkeypatch, capsys):
    few = ["bubbles.py", "--lives", "50", "--solves", "3", "--repeats", "1"]
    monkeypatch.setattr(sys, "argv", few)
    bench.main()
    assert "LSODA, compiled slope" in capsys.readouterr().out
    monkeypatch.setattr(sys, "argv", [*few, "--json"])
    bench.main()
    assert json.loads(capsys.readouterr().out)["scipy_lives"] == 6
