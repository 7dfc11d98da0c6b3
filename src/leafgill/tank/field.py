"""What a key of the tank file may hold: its unit, what is accepted, what it is for."""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.units import shown_unit

# Enough for a cylinder in a currency whose coins are thousandths.
_HIGHEST_PRICE = 100_000_000.0


@dataclass(frozen=True, slots=True)
class Field:
    """One key of the tank file.

    `sort` is "number", "whole", "word" (one of `words`), "words" (a list of them), "text", "zone",
    "truth", "time", "salts" (a list of them) or "bottles" (a list of lines). A number in `unit` is
    refused outside `accepted` and doubted outside `usual`; `slips` are units to try when a bare
    number is refused or doubted. `default` is what holds when the key is missing. `words` maps
    every spelling to the word it means, and `choices` are the words themselves.
    """

    sort: str
    meaning: str
    default: str
    example: str
    unit: str = ""
    accepted: tuple[float, float] | None = None
    usual: tuple[float, float] | None = None
    slips: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    words: tuple[tuple[str, str], ...] = ()

    @property
    def told(self) -> str:
        """What is accepted, in words."""
        if self.accepted is not None:
            low, high = self.accepted
            whole = "a whole number, " if self.sort == "whole" else ""
            most = f"{high:g}" if high < 1e6 else f"{high:.0f}"
            return f"{whole}{low:g} to {most} {shown_unit(self.unit)}".rstrip()
        if self.choices:
            several = "a list of " if self.sort == "words" else ""
            return several + ", ".join(self.choices)
        return _TOLD[self.sort]


_TOLD = {
    "text": "text in quotes, one line of at most 80 letters",
    "zone": "a time zone's name, as Europe/Berlin or UTC",
    "truth": "true or false",
    "time": '00:00 to 24:00, as "08:30"',
    "salts": "a list of salts, by formula or name",
    "bottles": 'a list of lines, as "macro: 500 mL, KNO3 30 g, KH2PO4 4 g"',
}


def length_field(meaning: str, low: float, high: float) -> Field:
    """Return a length of glass or cabinet [cm] between two ends."""
    return Field("number", meaning, "unknown", "60", "cm", (low, high), slips=("mm", "in"))


def size_field(
    meaning: str, unit: str, example: str, ends: tuple[float, float], *slips: str
) -> Field:
    """Return a quantity of the rig in `unit` between two ends."""
    return Field("number", meaning, "unknown", example, unit, ends, slips=slips)


def price_field(what: str, example: str) -> Field:
    """Return a price in the keeper's own money, which is never turned into another."""
    return Field("number", f"price of {what}", "unknown", example, accepted=(0, _HIGHEST_PRICE))


def hours_field(what: str, example: str) -> Field:
    """Return a time of day."""
    return Field("time", what, "unknown", f'"{example}"')


def word_field(meaning: str, default: str, spellings: dict[str, str]) -> Field:
    """Return a field of one word; `spellings` maps each word to its other spellings."""
    words = tuple((s, word) for word, also in spellings.items() for s in (word, *also.split()))
    example = f'"{next(iter(spellings))}"'
    return Field("word", meaning, default, example, choices=tuple(spellings), words=words)
