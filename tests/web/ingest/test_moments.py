from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from leafgill.errors import InputError
from leafgill.web.ingest.moments import moment_s

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)
S = 1_741_432_200  # 2025-03-08T11:10:00Z


def moment(given, now=NOW, here=BERLIN):
    return moment_s(given, here, now)


@pytest.mark.parametrize(
    "given",
    [
        S,
        float(S),
        S * 1000,
        S * 1_000_000,
        str(S),
        f" {S}000 ",
        "2025-03-08T11:10:00Z",
        "2025-03-08T12:10+01:00",
        "2025-03-08T12:10",
        "2025-03-08 12:10:00",
        None,
    ],
)
def test_one_moment_in_every_way_it_is_written(given):
    assert moment(given) == S == NOW.timestamp()


@pytest.mark.parametrize(
    "given",
    [True, [], {}, "", "soon", "12:10", "2027-02-29T12:00", "2025-13-01T00:00", "2025-03-08",
     "2025-03-08T25:00", "nan", "inf", "-5", "٣٤٥٦٧٨٩٠١٢", "2025-03-08T12:10+99:00", "9" * 400],
)  # fmt: skip
def test_what_is_no_moment_is_told_in_one_line(given):
    with pytest.raises(InputError) as told:
        moment(given)
    assert "\n" not in str(told.value)


def test_a_number_without_end_is_no_moment():
    with pytest.raises(InputError, match="is no moment"):
        moment(10**400)


def test_a_leap_day_is_a_day():
    assert moment("2028-02-29T12:00Z") == datetime(2028, 2, 29, 12, tzinfo=UTC).timestamp()


AUTUMN = {
    # the clocks of Berlin are put back at 01:00 UTC, from 03:00 to 02:00
    "first": datetime(2025, 10, 26, 0, 30, tzinfo=UTC),
    "second": datetime(2025, 10, 26, 1, 30, tzinfo=UTC),
}


@pytest.mark.parametrize("which", AUTUMN)
def test_of_an_hour_that_comes_twice_the_one_nearer_to_now_is_meant(which):
    real = AUTUMN[which]
    assert real.astimezone(BERLIN).strftime("%H:%M") == "02:30"
    assert moment("2025-10-26T02:30", now=real) == real.timestamp()
    # read some minutes late it is the same one
    later = datetime.fromtimestamp(real.timestamp() + 900, UTC)
    assert moment("2025-10-26T02:30", now=later) == real.timestamp()


def test_with_an_offset_nothing_has_to_be_guessed():
    assert moment("2025-10-26T02:30+02:00") == AUTUMN["first"].timestamp()
    assert moment("2025-10-26T02:30+01:00") == AUTUMN["second"].timestamp()


def test_a_time_the_clocks_skip_is_moved_later():
    # 02:00 becomes 03:00 at 01:00 UTC
    found = moment("2025-03-30T02:30")
    assert found == datetime(2025, 3, 30, 1, 30, tzinfo=UTC).timestamp()
    assert moment("2025-03-30T03:00") == datetime(2025, 3, 30, 1, 0, tzinfo=UTC).timestamp()
    assert moment("2025-03-30T01:59") == datetime(2025, 3, 30, 0, 59, tzinfo=UTC).timestamp()
