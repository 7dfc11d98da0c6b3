"""The one kind of error that is the keeper's to mend."""

from __future__ import annotations

_LONGEST_QUOTE = 60


class InputError(ValueError):
    """Something typed or written cannot be meant; `str(error)` is one line that says what.

    `where` names the place ("tank.toml: [water] kh_dkh", "diary.csv line 14") when it is not
    already part of the message; the line then starts with it. A screen may use it alone to mark
    the field.
    """

    def __init__(self, message: str, where: str = "") -> None:
        # both may quote what was typed, line breaks and control codes included
        super().__init__(_one_line(message), _one_line(where))

    @property
    def message(self) -> str:
        """The line without the place."""
        return str(self.args[0])

    @property
    def where(self) -> str:
        """The place, "" when the message names it or there is none."""
        return str(self.args[1])

    def __str__(self) -> str:
        return f"{self.where}: {self.message}" if self.where else self.message


def _one_line(text: str) -> str:
    line = " ".join(text.split())
    return "".join(letter if letter.isprintable() else "?" for letter in line)


def quoted(value: object) -> str:
    """Return a value as it was typed, cut short, for a message: text in double quotes."""
    if isinstance(value, bool):
        return str(value).lower()
    try:
        text = f'"{_one_line(value)}"' if isinstance(value, str) else _one_line(str(value))
    except ValueError:  # a whole number with more digits than Python writes out
        text = "a number without end"
    return text if len(text) <= _LONGEST_QUOTE else f"{text[: _LONGEST_QUOTE - 3]}..."
