import numpy as np
import pytest

from leafgill.diary.probe_mapping import Mapping
from leafgill.errors import InputError
from leafgill.web.importing.probe_file import compared, packed, read_file, unpacked


def test_times_become_real_ones():
    found = read_file(b"time,ph\n2025-03-04T12:30,6.8\n", "p.csv", "Europe/Berlin")
    assert found.streams["ph"].times_s.tolist() == [1741087800]
    assert not found.streams["ph"].local


def test_a_mapping_is_obeyed():
    mapping = Mapping(0, ((1, "ph", ""),), form="day first")
    found = read_file(b"a;b\n04.03.2025 12:30;6,8\n", "p.csv", "UTC", mapping)
    assert found.streams["ph"].values.tolist() == [6.8]


def test_a_file_whose_readings_cannot_be_is_refused():
    with pytest.raises(InputError):
        read_file(b"time,ph\n2025-03-04T12:30,99\n", "p.csv", "UTC")


def test_what_is_packed_comes_out_again():
    text = b"time,ph,o2\n2025-03-04T12:30Z,6.8,\n2025-03-04T12:31Z,6.7,8.1\n"
    streams = read_file(text, "p.csv", "UTC").streams
    again = unpacked(packed(streams))
    assert set(again) == {"ph", "o2"}
    for sensor, stream in streams.items():
        assert np.array_equal(again[sensor][0], stream.times_s)
        assert np.array_equal(again[sensor][1], stream.values)


def test_readings_are_compared_with_those_there():
    new_t, new_v = np.array([10, 20, 30, 40]), np.array([6.0, 6.1, 6.2, 6.3])
    old_t, old_v = np.array([5, 20, 30]), np.array([7.0, 6.1, 9.0])
    found = compared("ph", new_t, new_v, old_t, old_v)
    assert (found.count, found.first_s, found.last_s) == (4, 10, 40)
    assert (found.new, found.there, found.changed) == (2, 1, 1)
    assert (found.low, found.high) == (6.0, 6.3)
    first = compared("ph", new_t, new_v, np.array([], dtype=np.int64), np.array([]))
    assert (first.new, first.there, first.changed) == (4, 0, 0)
