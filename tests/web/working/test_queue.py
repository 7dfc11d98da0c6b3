"""Tanks wait in turn, each once; what may wait, waits."""

import threading

import pytest

from leafgill.web.working.queue import Queue


class Bench:
    """A queue whose first work holds until it is let go; writes down what was done."""

    def __init__(self, quiet_s=0.05):
        self.done, self.begun = [], threading.Semaphore(0)
        self.let_go = threading.Semaphore(0)
        self.followed = threading.Event()
        self.queue = Queue(self._first, self._after, quiet_s)

    def _first(self, tank_id):
        self.begun.release()
        assert self.let_go.acquire(timeout=20)
        self.done.append(tank_id)
        if tank_id < 0:
            raise ValueError("this one breaks")

    def _after(self, tank_id):
        self.done.append(("after", tank_id))
        self.followed.set()


@pytest.fixture
def bench():
    made = Bench()
    yield made
    for _ in range(20):
        made.let_go.release()
    made.queue.end()


def test_a_tank_that_asks_often_waits_once(bench):
    bench.queue.ask(1)
    assert bench.begun.acquire(timeout=20)
    for _ in range(5):
        bench.queue.ask(2)
    bench.queue.ask(3)
    bench.queue.ask(2)
    for _ in range(5):
        bench.let_go.release()
    assert bench.queue.wait(3, 20)
    assert bench.done == [1, 2, 3]


def test_what_asks_while_it_is_worked_on_is_done_again(bench):
    bench.queue.ask(1)
    assert bench.begun.acquire(timeout=20)
    bench.queue.ask(1)
    bench.let_go.release()
    assert bench.begun.acquire(timeout=20)
    assert bench.queue.has(1)  # the second time
    bench.let_go.release()
    assert bench.queue.wait(1, 20)
    assert bench.done == [1, 1]


def test_waiting_gives_up_in_time(bench):
    bench.queue.ask(1)
    assert not bench.queue.wait(1, 0.01)
    assert bench.queue.has(1)
    bench.let_go.release()
    assert bench.queue.wait(1, 20)
    assert not bench.queue.has(1)


def test_what_follows_comes_when_it_is_quiet_and_once(bench):
    bench.queue.ask(1)
    bench.queue.ask(1)
    for _ in range(2):
        bench.let_go.release()
    assert bench.followed.wait(20)
    assert bench.done[-1] == ("after", 1)
    assert bench.done.count(("after", 1)) == 1


def test_a_tank_that_waits_goes_before_what_follows():
    bench = Bench(quiet_s=0.0)
    bench.queue.ask(1)
    assert bench.begun.acquire(timeout=20)
    bench.queue.ask(2)
    assert bench.queue.more_urgent()
    for _ in range(2):
        bench.let_go.release()
    assert bench.followed.wait(20)
    assert bench.done[:2] == [1, 2]
    bench.queue.end()


def test_work_that_breaks_does_not_stop_the_next(bench):
    bench.queue.ask(-1)
    bench.let_go.release()
    assert bench.queue.wait(-1, 20)
    bench.queue.ask(5)
    bench.let_go.release()
    assert bench.queue.wait(5, 20)
    assert bench.done == [-1, 5]


def test_after_the_end_what_waits_is_let_go(bench):
    bench.queue.ask(1)
    assert bench.begun.acquire(timeout=20)
    bench.queue.ask(2)
    bench.let_go.release()
    bench.queue.end()
    assert bench.done in ([1], [])
    assert not bench.queue.has(2)
