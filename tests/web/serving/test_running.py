"""What runs beside the server: started again when it breaks, and stopped together."""

import logging
import threading

import pytest

from leafgill.web import running
from leafgill.web.running import BROKEN, ENDED, RESTING, RUNNING, Pauses, Supervisor

SHORT = Pauses(first_s=0.01, most_s=0.02, well_s=60.0, rest_s=0.01)
LONG_S = 20.0


class Counting:
    """Calls `each` with the number of the call, and tells when it was called so often."""

    def __init__(self, each, name="counting", most=3):
        self.name, self.calls, self.enough = name, 0, threading.Event()
        self._each, self._most = each, most

    def run(self, stop):
        self.calls += 1
        if self.calls >= self._most:
            self.enough.set()
        self._each(self.calls, stop)


def breaking(_call, _stop):
    raise OSError("the broker is away")


def waiting(_call, stop):
    stop.wait()


def until(condition):
    """Wait for what another thread brings about."""
    done = threading.Event()
    for _ in range(int(LONG_S / 0.01)):
        if condition():
            return
        done.wait(0.01)
    pytest.fail("it never came about")


@pytest.fixture
def started():
    """Return a function that starts a supervisor, stopped when the test ends."""
    made = []

    def start(*runners, pauses=SHORT, **more):
        made.append(Supervisor(runners, pauses, **more))
        made[-1].start()
        return made[-1]

    yield start
    for each in made:
        each.stop(LONG_S)


def test_what_breaks_is_started_again_and_told_with_its_trace_once(started, caplog):
    one = Counting(breaking)
    going = started(one)
    assert one.enough.wait(LONG_S)
    going.stop(LONG_S)
    told = [record for record in caplog.records if record.name == running.__name__]
    assert len(told) == one.calls
    assert told[0].message == ("counting broke and is started again in 0.01 s: the broker is away")
    assert told[1].message.endswith("again in 0.02 s: the broker is away")
    assert [record.exc_info is not None for record in told[:3]] == [True, False, False]


def test_what_one_does_is_nothing_to_the_others(started):
    well, ill = Counting(waiting, "well"), Counting(breaking, "ill", most=5)
    going = started(well, ill)
    assert ill.enough.wait(LONG_S)
    until(lambda: well.calls == 1)
    states = {state.name: state for state in going.states()}
    assert states["well"].doing == RUNNING
    assert (states["well"].failures, states["well"].wrong) == (0, "")
    assert states["ill"].doing in (RUNNING, BROKEN)
    assert states["ill"].failures >= 4
    assert states["ill"].wrong == "OSError"
    assert well.calls == 1


def test_pauses_double_up_to_the_most():
    pauses = Pauses(first_s=1.0, most_s=60.0)
    assert [pauses.after(n) for n in (1, 2, 3, 6, 7, 8, 500)] == [1, 2, 4, 32, 60, 60, 60]


def test_who_ran_well_for_a_while_begins_anew(started):
    one = Counting(breaking, most=4)
    going = started(one, pauses=Pauses(first_s=0.01, most_s=0.02, well_s=0.0))
    assert one.enough.wait(LONG_S)
    until(lambda: going.states()[0].doing == BROKEN)
    assert going.states()[0].failures == 1


def test_who_has_nothing_to_do_is_asked_again(started, caplog):
    one = Counting(lambda _call, _stop: None)
    going = started(one)
    assert one.enough.wait(LONG_S)
    assert not caplog.records
    until(lambda: going.states()[0].doing == RESTING)


def test_who_broke_and_then_rests_has_no_failures_in_a_row(started):
    one = Counting(lambda call, stop: breaking(call, stop) if call < 3 else None, most=4)
    going = started(one)
    assert one.enough.wait(LONG_S)
    until(lambda: going.states()[0].doing == RESTING)
    assert going.states()[0].failures == 0
    assert going.states()[0].wrong == "OSError"


def test_stopping_lets_each_finish_what_it_began(started):
    finished = []

    def flushing(_call, stop):
        stop.wait()
        finished.append("flushed")

    both = [Counting(flushing, name, most=1) for name in "ab"]
    going = started(*both)
    assert all(one.enough.wait(LONG_S) for one in both)
    assert going.stop(LONG_S) == []
    assert finished == ["flushed", "flushed"]
    assert [state.doing for state in going.states()] == [ENDED, ENDED]
    assert going.stop() == []


def test_who_does_not_end_is_named_and_not_waited_for(started, caplog):
    let_go = threading.Event()
    hanging = Counting(lambda _call, _stop: let_go.wait(), "hanging", most=1)
    going = started(hanging, Counting(waiting, "well"))
    assert hanging.enough.wait(LONG_S)
    assert going.stop(0.2) == ["hanging"]
    assert "hanging did not stop in time" in caplog.text
    let_go.set()


def test_a_pause_is_cut_short_by_the_end(started):
    one = Counting(breaking, most=1)
    going = started(one, pauses=Pauses(first_s=3600.0))
    assert one.enough.wait(LONG_S)
    assert going.stop(LONG_S) == []


def test_one_that_was_never_started_has_ended():
    assert Supervisor([Counting(waiting)]).stop() == []


def test_since_tells_when_it_last_changed(started):
    moments = iter(range(100, 200))
    one = Counting(waiting, most=1)
    going = started(one, wall=lambda: float(next(moments)))
    assert one.enough.wait(LONG_S)
    assert going.states()[0].since_s == 101.0


def test_two_of_one_name_are_a_slip():
    with pytest.raises(ValueError, match="two runners have one name"):
        Supervisor([Counting(waiting), Counting(waiting)])


def test_each_call_ends_with_its_connections_closed(started, monkeypatch):
    closed = []
    monkeypatch.setattr(running, "_close_connections", lambda: closed.append(1))
    one = Counting(lambda call, stop: breaking(call, stop) if call == 1 else None)
    started(one)
    assert one.enough.wait(LONG_S)
    until(lambda: len(closed) >= 2)
    assert logging.getLogger(running.__name__).isEnabledFor(logging.WARNING)
