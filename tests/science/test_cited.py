import pytest

from leafgill.science.cited import Mark, Source


@pytest.mark.parametrize(
    ("source", "said"),
    [
        (
            Source("Robb 1968", Mark.CHECKED),
            "Robb 1968 (compared with a copy of the source or of one that quotes it)",
        ),
        (Source("ADR P200", Mark.MEMORY), "ADR P200 (cited from memory, not checked against the "
         "source)"),
        (Source("", Mark.PRACTICE), "common practice, no source"),
        (Source("", Mark.CHOICE), "a choice of ours, no source"),
    ],
)  # fmt: skip
def test_a_source_says_how_far_it_was_checked(source, said):
    assert str(source) == said
