import numpy as np
import pytest

from leafgill.web.ingest.parcel import FIRST_S, LAST_S, MOST, Sender, packed

PH = Sender(1, "ph", 1)
WATER = Sender(2, "temperature", 1)
FIRST = 1_741_400_000


def content(parcel):
    return parcel.times_s.tolist(), parcel.values.tolist()


def test_order_is_that_of_time_and_seconds_are_whole():
    parcel = packed(PH, [FIRST + 60.9, FIRST], [6.8, 6.7])
    assert content(parcel) == ([FIRST, FIRST + 60], [6.7, 6.8])
    assert parcel.times_s.dtype == np.int64
    assert (parcel.refused, parcel.why, parcel.twice) == (0, (), 0)


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf, MOST * 1.001, -MOST * 1.001])
def test_what_is_no_reading_is_refused_in_words(value):
    parcel = packed(PH, [FIRST, FIRST + 1], [6.8, value])
    assert content(parcel) == ([FIRST], [6.8])
    assert parcel.refused == 1
    assert parcel.why == (f"{value:g} cannot be a reading of ph",)


def test_nothing_is_colder_than_nothing():
    parcel = packed(WATER, [FIRST, FIRST + 1], [-273.16, -127.0])
    assert content(parcel) == ([FIRST + 1], [-127.0])
    assert parcel.why == ("-273.16 °C cannot be a reading of temperature",)


@pytest.mark.parametrize("time_s", [FIRST_S - 1, LAST_S + 1, np.nan, np.inf, -1e300, 1e300])
def test_a_time_that_cannot_be_is_refused_in_words(time_s):
    parcel = packed(PH, [time_s, FIRST], [6.8, 6.9])
    assert content(parcel) == ([FIRST], [6.9])
    assert parcel.refused == 1
    assert "is not within 2000 to 2199" in parcel.why[0]


@pytest.mark.parametrize("time_s", [FIRST_S, LAST_S])
def test_the_ends_of_time_are_accepted(time_s):
    assert packed(PH, time_s, 6.8).times_s.tolist() == [time_s]


def test_of_two_at_a_second_the_first_stays_or_with_replace_the_last():
    given = [FIRST, FIRST + 60, FIRST, FIRST], [6.5, 6.6, 6.7, 6.5]
    parcel = packed(PH, *given)
    assert content(parcel) == ([FIRST, FIRST + 60], [6.5, 6.6])
    assert parcel.twice == 1
    parcel = packed(PH, *given, replace=True)
    assert content(parcel) == ([FIRST, FIRST + 60], [6.5, 6.6])
    parcel = packed(PH, [FIRST, FIRST], [6.5, 6.7], replace=True)
    assert content(parcel) == ([FIRST], [6.7])


def test_unequal_lengths_are_a_slip_of_the_program():
    with pytest.raises(ValueError, match="2 times but 1 values"):
        packed(PH, [FIRST, FIRST + 1], [6.8])


def test_a_thousand_reasons_are_told_as_a_few():
    parcel = packed(PH, [FIRST] * 1000, [np.nan] * 1000, why=[f"w{n}" for n in range(9)], refused=9)
    assert parcel.refused == 1009
    assert parcel.why == ("w0", "w1", "w2", "w3", "w4")
