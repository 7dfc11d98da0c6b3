import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.errors import InputError
from leafgill.web.ingest.payload import LARGEST, at_path, json_of, number_of, steps_of, text_of


@pytest.mark.parametrize(
    ("text", "value"),
    [("6.82", 6.82), (" 6,82 ", 6.82), ("-0.5", -0.5), ("+7", 7.0), ("6.", 6.0), (".5", 0.5),
     ("6.8e0", 6.8), (6, 6.0), (6.8, 6.8)],
)  # fmt: skip
def test_numbers_as_sensors_write_them(text, value):
    assert number_of(text) == value


@pytest.mark.parametrize(
    "given",
    ["", "pH 6.8", "6.8 pH", "nan", "NaN", "inf", "-inf", "1_000", "0x10", "1,234.5", "--5",
     "6.8.1", "٦.٨", "6" * 41, "1e9999", True, False, None, [], {}, "6,8,1"],
)  # fmt: skip
def test_what_is_no_number_is_told_in_one_line(given):
    with pytest.raises(InputError, match="is no number"):
        number_of(given)


def test_a_whole_number_without_end_is_none():
    with pytest.raises(InputError, match="is no number that can be read"):
        number_of(10**400)


@pytest.mark.parametrize("data", [b"", b"  \n", b"\xff\xfe6.8", b"6" * (LARGEST + 1)])
def test_a_message_that_is_no_text_is_refused(data):
    with pytest.raises(InputError):
        text_of(data)
    assert text_of(b"\xef\xbb\xbf 6.8\n") == "6.8"


@pytest.mark.parametrize("text", ["{", "NaN", '{"a": Infinity}', "[" * 100_000, "{'a': 1}", "6,8"])
def test_what_is_no_json_is_refused(text):
    with pytest.raises(InputError, match="is no JSON"):
        json_of(text)


@pytest.mark.parametrize(
    ("path", "steps"),
    [
        ("", ()),
        ("ph", ("ph",)),
        ("water.ph", ("water", "ph")),
        ("readings[0].value", ("readings", 0, "value")),
        ("[1][2]", (1, 2)),
        ("readings.0", ("readings", "0")),
        ("a b.c-d_e/f", ("a b", "c-d_e/f")),
    ],
)
def test_paths_are_steps(path, steps):
    assert steps_of(path) == steps


@pytest.mark.parametrize(
    "path", [".", "a.", ".a", "a..b", "a[", "a]", "a[x]", "a[-1]", "a[0]b", "a.[0]", "[12345]",
             ".".join("abcdefghijklm")]
)  # fmt: skip
def test_what_is_no_path_is_refused(path):
    with pytest.raises(InputError, match="is none"):
        steps_of(path)


CONTENT = {"water": {"ph": 6.8, "7": "seven"}, "readings": [{"value": 1}, {"value": 2}]}


@pytest.mark.parametrize(
    ("path", "found"),
    [("", CONTENT), ("water.ph", 6.8), ("readings[1].value", 2), ("readings.1.value", 2),
     ("water.7", "seven"), ("water[7]", "seven")],
)  # fmt: skip
def test_what_stands_at_a_path(path, found):
    assert at_path(CONTENT, steps_of(path), path) == found


@pytest.mark.parametrize("path", ["air", "water.ph.x", "readings[2]", "readings.value", "water[0]"])
def test_where_nothing_stands_is_told(path):
    with pytest.raises(InputError, match="there is nothing at"):
        at_path(CONTENT, steps_of(path), path)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=8,
)


@given(JSON, st.text(max_size=12))
def test_nothing_but_a_number_or_one_line_comes_of_anything(content, path):
    try:
        assert isinstance(number_of(at_path(content, steps_of(path), path)), float)
    except InputError as wrong:
        assert "\n" not in str(wrong)
