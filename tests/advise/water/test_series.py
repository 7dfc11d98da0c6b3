import math

import pytest

from leafgill.advise.water.series import after_changes, changes_until, ends_at, step_by_step


def test_a_change_leaves_the_rest_and_brings_the_part():
    told = step_by_step(20.0, 5.0, 0.4, 0.0, 1)
    assert told.before.tolist() == [20.0, 20.0]
    assert told.after.tolist() == pytest.approx([20.0, 0.6 * 20.0 + 0.4 * 5.0])


def test_what_comes_in_between_is_there_before_the_next_change():
    told = step_by_step(10.0, 0.0, 0.5, 4.0, 2)
    assert told.before.tolist() == pytest.approx([10.0, 14.0, 11.0])
    assert told.after.tolist() == pytest.approx([10.0, 7.0, 5.5])


@pytest.mark.parametrize("part", [0.1, 0.37, 0.5, 0.9, 1.0])
@pytest.mark.parametrize("gain", [0.0, 3.0, -0.5])
@pytest.mark.parametrize("start", [0.5, 40.0])
def test_step_by_step_and_the_closed_form_agree(part, gain, start):
    told = step_by_step(start, 8.0, part, gain, 12)
    for count in (0, 1, 2, 7, 12):
        assert told.after[count] == pytest.approx(
            after_changes(start, 8.0, part, gain, count), rel=1e-12, abs=1e-12
        )


def test_the_end_is_where_a_change_undoes_what_came_in():
    end = ends_at(2.0, 0.3, 6.0)
    told = step_by_step(end, 2.0, 0.3, 6.0, 5)
    assert told.after == pytest.approx(end)
    assert end == pytest.approx(2.0 + 6.0 * 0.7 / 0.3)


def test_plants_take_no_more_than_there_is():
    told = step_by_step(3.0, 1.0, 0.5, -10.0, 3)
    assert told.before[1:].tolist() == [0.0, 0.0, 0.0]
    assert told.after[1:].tolist() == [0.5, 0.5, 0.5]


@pytest.mark.parametrize(
    ("start", "end", "wanted", "part", "count"),
    [
        (100.0, 0.0, 50.0, 0.5, 1),
        (100.0, 0.0, 49.0, 0.5, 2),
        (100.0, 0.0, 25.0, 0.5, 2),
        (100.0, 0.0, 1.0, 0.3, math.ceil(math.log(0.01) / math.log(0.7))),
        (4.0, 10.0, 9.0, 0.25, math.ceil(math.log(1.0 / 6.0) / math.log(0.75))),
        (4.0, 10.0, 3.0, 0.25, 0),  # there already, on the end's side
        (4.0, 10.0, 4.0, 0.25, 0),
        (4.0, 10.0, 12.0, 0.25, None),  # beyond the end
        (4.0, 4.0, 5.0, 0.25, None),  # it does not move
        (9.0, 1.0, 3.0, 1.0, 1),
    ],
)
def test_how_many_changes_it_takes(start, end, wanted, part, count):
    assert changes_until(start, end, wanted, part) == count
    if count:
        told = step_by_step(start, end, part, 0.0, count).after
        assert abs(told[count] - end) <= abs(wanted - end) + 1e-9
        assert abs(told[count - 1] - end) > abs(wanted - end) - 1e-9


@pytest.mark.parametrize("part", [0.0, -0.1, 1.01, math.nan])
def test_a_part_that_is_none_is_refused(part):
    with pytest.raises(ValueError, match="above 0 to 1"):
        ends_at(1.0, part, 0.0)
    with pytest.raises(ValueError, match="above 0 to 1"):
        step_by_step(1.0, 1.0, part, 0.0, 2)
    with pytest.raises(ValueError, match="above 0 to 1"):
        changes_until(1.0, 2.0, 1.5, part)
