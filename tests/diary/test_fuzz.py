"""Damaged files are read or refused in one line; nothing else happens."""

from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.diary import KINDS, Diary, read_probe
from leafgill.errors import InputError

DIARY = "time,kind,value,unit,note\r\n" + "\r\n".join(info.example for info in KINDS.values())
PROBE = "time,ph,o2\n" + "".join(f"2025-03-03T08:{m:02d},7.{m:02d},8.1\n" for m in range(10))


MARKS = st.sampled_from([b'"', b"\n", b",", b"\r", b";"])


@st.composite
def damaged(draw: st.DrawFn, whole: str) -> bytes:
    data = whole.encode()
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(data)))
        length = draw(st.integers(0, 12))
        junk = draw(st.one_of(st.binary(max_size=6), MARKS))
        data = data[:at] + junk + data[at + length :]
    return data


def read_or_refused(read) -> None:
    try:
        read()
    except InputError as error:
        assert str(error)
        assert len(str(error).splitlines()) == 1
        assert len(str(error)) < 600


@settings(max_examples=300)
@given(damaged(DIARY))
def test_a_damaged_diary(data):
    read_or_refused(lambda: Diary.read(data))


@settings(max_examples=300)
@given(damaged(PROBE))
def test_a_damaged_probe_file(data):
    read_or_refused(lambda: read_probe(data))


@given(st.binary(max_size=300))
def test_bytes_of_any_kind(data):
    read_or_refused(lambda: Diary.read(data))
    read_or_refused(lambda: read_probe(data))
