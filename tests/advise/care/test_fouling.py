"""How fast a diffuser clogs, on tanks whose truth is known."""

import pytest

from leafgill.advise.care.fouling import CLEAN_AT, USUAL_DAYS, fouling_of
from leafgill.advise.care.lifetime import Seen


@pytest.fixture(scope="module")
def fast(clogging):
    return clogging(8.0)


@pytest.fixture(scope="module")
def slow(clogging):
    return clogging(200.0)


def test_a_fast_one_is_told_from_a_slow_one(fast, slow):
    quick, lasting = (fouling_of(*made) for made in (fast, slow))
    assert quick.days.value < 0.6 * lasting.days.value
    assert quick.days.low <= 8.0 <= quick.days.high
    assert quick.days.value < USUAL_DAYS.value < lasting.days.value
    assert lasting.days.low > 10.0


def test_what_is_lost_now_is_counted_from_the_last_cleaning(fast):
    belief, cleaned = fast
    found = fouling_of(belief, cleaned)
    truth = 1.0 - (1.0 - CLEAN_AT) ** (12.25 / 8.0)
    assert found.lost.low < truth < 1.35 * found.lost.high
    assert found.cleaned
    just = fouling_of(belief, [*cleaned, belief.now.timestamp() - 3600.0])
    assert just.lost.high < 0.02


def test_the_record_narrows_what_was_taken_before(slow):
    found = fouling_of(*slow)
    assert found.narrowed < 0.9


def test_a_keeper_s_own_rhythm_counts_too(slow):
    belief, cleaned = slow
    plain = fouling_of(belief, cleaned)
    often = fouling_of(belief, cleaned, [Seen(8.0, "spoiled")] * 3)
    assert often.days.value < 0.8 * plain.days.value


def test_without_bubbles_or_readings_nothing_is_said(make_tank, make_diary, make_belief):
    bare = make_diary((0.0, "light_day", "10:00-18:00"), (0.0, "kh", 4.0))
    assert fouling_of(make_belief(make_tank(), bare, 30.0), []) is None
    no_ph = make_diary((0.0, "kh", 4.0), (1.0, "gas_day", "09:00-18:00"), (1.0, "bubble_rate", 1.0))
    assert fouling_of(make_belief(make_tank(), no_ph, 30.0), []) is None
