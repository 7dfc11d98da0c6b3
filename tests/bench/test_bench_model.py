"""The timing of the kernel still runs, and its answers agree as it says (no time is judged here).

Source: SciPy's LSODA, live.
"""

import importlib.util
import json
import sys
from pathlib import Path

import numba
import pytest

SCRIPT = Path(__file__).parents[2] / "bench" / "model.py"


@pytest.fixture(scope="module")
def bench():
    spec = importlib.util.spec_from_file_location("bench_model", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    threads = numba.get_num_threads()
    yield module
    numba.set_num_threads(threads)


def test_kernel_and_solver_agree_over_the_water_change(bench):
    result = bench.measure(days=4, repeats=1)
    assert result["steps"] == 4 * 1440
    assert 0.0 < result["kernel_difference_mg_l"] < 1e-3
    for way in ("inputs_alone", "inputs_compiled", "pieces_alone", "pieces_plain"):
        assert result[f"{way}_difference_mg_l"] < 0.01
        ratio = result[f"{way}_ms"] / result["kernel_ms"]
        assert result[f"{way}_ratio"] == pytest.approx(ratio)


def test_prints_a_table_or_json(bench, monkeypatch, capsys):
    few = ["model.py", "--days", "1", "--repeats", "1"]
    monkeypatch.setattr(sys, "argv", few)
    bench.main()
    assert "LSODA by inputs, SciPy alone" in capsys.readouterr().out
    monkeypatch.setattr(sys, "argv", [*few, "--json"])
    bench.main()
    assert json.loads(capsys.readouterr().out)["steps"] == 1440
