from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from django.db import transaction
from django.test import TestCase

from leafgill import examples
from leafgill.errors import InputError
from leafgill.tank.spec import Tank
from leafgill.web.models import MOST_LETTERS, Keeper, Share, SpecRow, TankRow
from leafgill.web.store.changed import tank_changed
from leafgill.web.store.tanks import change_spec, create_tank, spec_of, tanks_of, touch

pytestmark = pytest.mark.django_db
NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)


@pytest.fixture
def clock(monkeypatch):
    def stand(at):
        monkeypatch.setenv("LEAFGILL_NOW", at.isoformat())

    stand(NOW)
    return stand


@pytest.fixture
def ada(clock):
    return Keeper.objects.create(username="ada")


@pytest.fixture
def den():
    return Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60}, "water": {"kh_dkh": 4}})


@pytest.mark.parametrize("example", examples.EXAMPLES, ids=lambda e: e.folder.name)
def test_a_description_is_kept_whole(ada, example):
    tank = Tank.load(example.tank)
    kept = spec_of(create_tank(ada, tank))
    # doubts name the file they were read from
    assert replace(kept, findings=()) == replace(tank, findings=())
    assert len(kept.findings) == len(tank.findings)


def test_whoever_makes_a_tank_owns_it(ada, den):
    row = create_tank(ada, den)
    assert (row.name, row.version, row.created) == ("Den", 1, NOW)
    assert list(Share.objects.values_list("tank", "keeper", "role")) == [(row.pk, ada.pk, "owner")]
    assert tanks_of(ada) == [row]


def test_a_change_holds_from_then_on_and_what_held_before_is_found_again(ada, den, clock):
    row = create_tank(ada, den)
    later = NOW + timedelta(days=3)
    clock(later)
    change_spec(row, replace(den, temperature_c=27.0, name="Parlour"), ada)
    assert spec_of(row).temperature_c == 27.0
    assert spec_of(row, later).temperature_c == 27.0
    assert spec_of(row, later - timedelta(seconds=1)).temperature_c == 25.0
    # before the first was written the first holds
    assert spec_of(row, NOW - timedelta(days=900)).temperature_c == 25.0
    assert (row.name, row.version) == ("Parlour", 2)
    row.refresh_from_db()
    assert (row.name, row.version) == ("Parlour", 2)


def test_of_two_at_one_moment_the_later_written_holds(ada, den):
    row = create_tank(ada, den)
    change_spec(row, replace(den, temperature_c=26.0), ada)
    change_spec(row, replace(den, temperature_c=27.0), ada)
    assert spec_of(row).temperature_c == 27.0
    assert spec_of(row, NOW).temperature_c == 27.0
    assert SpecRow.objects.filter(tank=row).count() == 3


def test_the_longest_name_a_tank_may_have_fits(ada, den):
    tank = Tank.from_mapping({"tank": {"name": "n" * MOST_LETTERS, "volume_l": 60}})
    row = create_tank(ada, tank)
    row.refresh_from_db()
    assert row.name == "n" * MOST_LETTERS
    with pytest.raises(InputError):
        Tank.from_mapping({"tank": {"name": "n" * (MOST_LETTERS + 1), "volume_l": 60}})


def test_a_change_that_breaks_off_changes_nothing(ada, den, monkeypatch):
    row = create_tank(ada, den)
    monkeypatch.setattr("leafgill.web.store.tanks.touch", lambda row: 1 / 0)
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        change_spec(row, replace(den, name="Parlour"), ada)
    row.refresh_from_db()
    assert (row.name, row.version) == ("Den", 1)
    assert SpecRow.objects.filter(tank=row).count() == 1


def test_tanks_are_listed_by_name_without_those_put_away(ada, den):
    for name in ("Loft", "Attic", "Cellar"):
        create_tank(ada, replace(den, name=name))
    TankRow.objects.filter(name="Cellar").update(archived_at=NOW)
    assert [row.name for row in tanks_of(ada)] == ["Attic", "Loft"]


def test_every_touch_counts_also_of_a_row_that_was_read_before(ada, den):
    row = create_tank(ada, den)
    other = TankRow.objects.get(pk=row.pk)
    touch(row)
    touch(other)
    assert (row.version, other.version) == (2, 3)


def test_whoever_listens_is_told_once_it_is_written_and_not_before(ada, den):
    heard = []

    def hear(sender, row, **_more):
        heard.append(row.version)

    tank_changed.connect(hear)
    try:
        with TestCase.captureOnCommitCallbacks() as waiting:
            row = create_tank(ada, den)
            touch(row)
        assert heard == []
        for tell in waiting:
            tell()
        assert heard == [2, 2]
    finally:
        tank_changed.disconnect(hear)


def test_a_listener_that_breaks_breaks_nothing_else(ada, den):
    def fall(sender, **_more):
        raise RuntimeError("no")

    tank_changed.connect(fall)
    try:
        with TestCase.captureOnCommitCallbacks(execute=True):
            create_tank(ada, den)
    finally:
        tank_changed.disconnect(fall)
