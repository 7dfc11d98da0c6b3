import numpy as np
import pytest

from leafgill.advise.water.make_up import draws_of
from leafgill.advise.water.renew import put_in, renewed

BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "gas_day", "09:00-18:00"),
    (1.0, "bubble_rate", 2.0),
)


@pytest.fixture(scope="module")
def afternoon(make_tank, make_diary, make_belief):
    """A belief at 14:00, gas and light on."""
    return make_belief(make_tank(), make_diary(*BASE), 6.0)


def test_nothing_changed_is_nothing_done(afternoon, water):
    new = draws_of(water(), afternoon.count)
    both = renewed(afternoon, afternoon.now, 1e-9, new, 4.0)
    assert both.changed.co2 == pytest.approx(both.left.co2, rel=1e-4)
    assert both.changed.times_s[0] == afternoon.now.timestamp()
    assert both.changed.times_s[-1] == afternoon.now.timestamp() + 4 * 3600.0


def test_steps_of_a_minute_for_two_hours_and_of_ten_after(afternoon, water):
    new = draws_of(water(), afternoon.count)
    times = renewed(afternoon, afternoon.now, 0.3, new, 4.0).changed.times_s
    steps = np.diff(times)
    assert np.allclose(steps[:120], 60.0)
    assert np.allclose(steps[120:], 600.0)


def test_all_of_the_water_changed_is_the_new_water(afternoon, water):
    """A minute after, the open water is the new one: pH and CO2 of its own equilibrium."""
    new = draws_of(water(kh=8.0, co2=12.0, gh=6.0), afternoon.count)
    both = renewed(afternoon, afternoon.now, 1.0, new, 1.0)
    assert both.changed.co2[:, 1] == pytest.approx(12.0, rel=0.06)
    assert both.left.co2[:, 1].mean() != pytest.approx(12.0, rel=0.06)


def test_new_water_brings_none_of_the_tanks_organic_acid(make_tank, make_diary, make_belief, water):
    """A tank with much of it: all water changed, CO2 is still that of the new water."""
    acid = make_belief(make_tank(), make_diary(*BASE), 6.0, shift={"non_carbonate": 1.5})
    assert acid.draws.acid_meq_l.mean() > 0.2
    new = draws_of(water(kh=8.0, co2=12.0, gh=6.0), acid.count)
    both = renewed(acid, acid.now, 1.0, new, 1.0)
    assert both.changed.co2[:, 1] == pytest.approx(12.0, rel=0.06)


def test_an_earlier_change_keeps_its_own_water(make_tank, make_diary, make_belief, water):
    diary = make_diary(*BASE, (3.0, "water_change", 40))
    belief = make_belief(make_tank(), diary, 6.0)
    timeline = belief.problem.evidence.timeline
    assert len(timeline.changes) == 1
    new = draws_of(water(kh=1.0), belief.count)
    later, draws = put_in(timeline, belief.draws, belief.now.timestamp(), 0.5, new)
    assert [c.part for c in later.changes] == [0.4, 0.5]
    assert draws.new_alkalinity_meq_l.shape == (belief.count, 2)
    assert np.array_equal(draws.new_alkalinity_meq_l[:, 0], belief.draws.new_alkalinity_meq_l[:, 0])
    assert draws.new_alkalinity_meq_l[:, 1] == pytest.approx(new.alkalinity_meq_l)
