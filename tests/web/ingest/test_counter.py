"""The counter where readings are handed over: by many threads, kept by one."""

import threading

import pytest

from leafgill.web.ingest import counter
from leafgill.web.ingest.counter import GroupCounter
from leafgill.web.ingest.failing import StoreError, UnsureError
from leafgill.web.ingest.parcel import Sender, Taken, packed


class FakeDesk:
    """A desk that takes its time, and notes how many parcels came together."""

    groups: list[int]

    def __init__(self, *_args, **_more):
        type(self).groups = []

    def take_all(self, parcels):
        type(self).groups.append(len(parcels))
        type(self).begun.set()
        type(self).go.wait(10)
        if type(self).wrong is not None:
            raise type(self).wrong
        return [Taken(new=parcel.sender.sensor_id) for parcel in parcels]


@pytest.fixture
def desk(monkeypatch):
    FakeDesk.begun, FakeDesk.go, FakeDesk.wrong = threading.Event(), threading.Event(), None
    monkeypatch.setattr(counter, "Desk", FakeDesk)
    monkeypatch.setattr(counter, "make_durable", lambda: None)
    yield FakeDesk
    FakeDesk.go.set()


def parcel(number):
    return packed(Sender(number, "ph", 1), 1_741_400_000, 6.8)


def handed(found, count, within_s=10.0):
    """Hand parcels over from threads of their own; return the threads and what each was told."""
    told = {}

    def hand(number):
        try:
            told[number] = found.hand_over(parcel(number), within_s)
        except StoreError as wrong:
            told[number] = wrong

    threads = [threading.Thread(target=hand, args=(number,)) for number in range(count)]
    for thread in threads:
        thread.start()
    return threads, told


def test_what_waits_together_is_kept_together_and_each_is_told_its_own(desk):
    found = GroupCounter()
    first, told_first = handed(found, 1)
    assert desk.begun.wait(10)
    others, told = handed(found, 20)
    while found._waiting.qsize() < 20:
        pass
    desk.go.set()
    for thread in first + others:
        thread.join(10)
    assert desk.groups[0] == 1
    assert sum(desk.groups) == 21
    assert len(desk.groups) == 2
    assert told_first == {0: Taken(new=0)}
    assert told == {number: Taken(new=number) for number in range(20)}


def test_who_cannot_wait_longer_is_told_that_it_is_not_known(desk):
    with pytest.raises(UnsureError, match="the database is busy"):
        GroupCounter().hand_over(parcel(1), 0.05)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (StoreError("the disk is full or fails"), "the disk is full"),
        (ZeroDivisionError(), "unforeseen"),
    ],
)
def test_what_goes_wrong_is_told_to_all_and_the_next_are_taken(desk, wrong, words):
    found = GroupCounter()
    desk.wrong = wrong
    desk.go.set()
    threads, told = handed(found, 3)
    for thread in threads:
        thread.join(10)
    assert len(told) == 3
    assert all(words in str(error) for error in told.values())
    desk.wrong = None
    assert found.hand_over(parcel(7), 10) == Taken(new=7)
