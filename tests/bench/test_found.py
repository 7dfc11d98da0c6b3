"""What counts as found, as late and as a false alarm."""

import math

import pytest
from bench.loop.found import Run, Told, false_alarms, line_of, table
from bench.trial.diary import MINUTES_DAY

STRUCK = 11 * MINUTES_DAY


def run(kind, *told, probe=True, unwritten=()):
    rows = tuple(Told(STRUCK + minute, kinds, 0.95) for minute, kinds in told)
    return Run(1, probe, kind, STRUCK if kind != "none" else 0, 2.0, STRUCK + 2400.0, 30.0, rows,
               unwritten)  # fmt: skip


def test_a_fault_is_found_when_it_is_named_not_when_something_is_told():
    one = run("surge", (-30, ("surge",)), (30, ("kh changed",)), (90, ("leak", "surge")))
    assert one.any_h == pytest.approx(0.5)
    assert one.named_h == pytest.approx(1.5)
    assert run("surge").named_h == math.inf
    assert run("stuck shut", (60, ("gas lost",))).named_h == pytest.approx(1.0)


def test_sudden_faults_have_an_hour_and_slow_ones_two_photoperiods():
    assert run("surge").in_time == 1.0
    assert run("clogging").in_time == pytest.approx(40.0)


def test_false_alarms_are_counted_once_and_unwritten_water_is_none():
    day = MINUTES_DAY
    rows = [(0, ("leak",)), (day, ("leak", "surge")), (3 * day, ("leak",)), (3 * day, ("surge",))]
    assert [t.kinds[0] for t in false_alarms(run("none", *rows))] == ["leak", "leak", "surge"]
    excused = run("none", *rows, unwritten=(STRUCK - day,))
    assert [t.minute - STRUCK for t in false_alarms(excused)] == []
    assert len(false_alarms(run("none", *rows, unwritten=(STRUCK + 10,)))) == 1


def test_the_table_tells_shares_and_the_rate_of_false_alarms():
    runs = [
        run("surge", (30, ("surge",))),
        run("surge", (90, ("surge",))),
        run("surge", (-9, ("leak",)), probe=False),
        run("none", (0, ("leak",))),
        run("none"),
    ]
    shown = table(runs)
    assert "| surge (1 h) | probe | 2 | 50% | 50% | 1.0 | 0 |" in shown
    assert "| surge (1 h) | by hand | 1 | 0% | 0% | - | 1 |" in shown
    assert "with a probe: 1 false alarms in 2.0 tank-months, 0.50 a tank-month" in shown
    assert line_of(runs[0]) == "tank 1, surge (2), probe: named after 0.5 h, first told surge " \
        "after 0.5 h"  # fmt: skip
