import pickle

from leafgill.errors import InputError, quoted


def test_the_line_starts_with_the_place_when_there_is_one():
    assert str(InputError("70 is not accepted", "a.toml: [water] kh_dkh")) == (
        "a.toml: [water] kh_dkh: 70 is not accepted"
    )
    assert str(InputError("no such file")) == "no such file"
    assert InputError("no such file").where == ""


def test_what_was_typed_cannot_break_the_line_or_the_terminal():
    error = InputError("two\nlines\tand \x1b[2Ja screen wiped", "a\nb")
    assert str(error) == "a b: two lines and ?[2Ja screen wiped"


def test_it_survives_the_way_between_processes():
    error = pickle.loads(pickle.dumps(InputError("wrong", "here")))
    assert (type(error), str(error), error.where, error.message) == (
        InputError,
        "here: wrong",
        "here",
        "wrong",
    )


def test_it_is_caught_as_a_value_error():
    assert issubclass(InputError, ValueError)


def test_a_value_is_quoted_as_typed_and_cut_short():
    assert quoted("40 gal") == '"40 gal"'
    assert quoted(True) == "true"
    assert quoted(7.5) == "7.5"
    assert quoted("a\nb") == '"a b"'
    assert quoted("x" * 500) == '"' + "x" * 56 + "..."
    assert quoted(10**5000) == "a number without end"
