"""One thing seen or done, with its value made plain."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import datetime

from leafgill.diary.finding import Finding, warning
from leafgill.diary.kinds import Kind, parse_kind
from leafgill.diary.making import Draft, Value, make
from leafgill.diary.times import parse_time
from leafgill.tank.schedule import Window

_FORGIVEN_TIME = {
    "date-form": "the date is not written with hyphens",
    "day-first-date": "the date is written day first",
    "month-first-date": "the date is written month first",
    "time-with-space": "the time has a space in place of the T",
    "time-with-offset": "the time has Z or an offset, and is that moment",
}
_LINE_ENDS = re.compile(r"\r\n?")
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


@dataclass(frozen=True, slots=True, init=False)
class Entry:
    """One thing seen or done, at one moment.

    `time` is a datetime, naive where it is the tank's wall time; `value` is in the kind's own unit
    (`unit`): a float, a word, a Window of hours ("off" starts when it ends), or text. The note's
    words are read into the fields below it. `cautions` are the warnings its making gave rise to.
    Two entries are equal when time, kind, value, unit and note are.

    Raises InputError, in one line, when anything of it cannot be meant.
    """

    time: datetime
    kind: Kind
    value: Value
    unit: str
    note: str
    line: int | None = field(default=None, compare=False)
    # bubble_count: over how many seconds it was counted [s]
    seconds: float | None = field(init=False, compare=False, default=None)
    # kh, gh: size of a test drop [dKH or dGH]; ph: the step it was read to
    resolution: float | None = field(init=False, compare=False, default=None)
    # kh, gh: "up", "down", "nearest" or ""
    rounding: str = field(init=False, compare=False, default="")
    # degassed_ph: "probe", "hand" or ""; "indoor", "outdoors" or ""; when the glass was drawn
    instrument: str = field(init=False, compare=False, default="")
    air: str = field(init=False, compare=False, default="")
    drawn: datetime | None = field(init=False, compare=False, default=None)
    # degassed_ph: how warm the glass was when it was read [°C]
    water_c: float | None = field(init=False, compare=False, default=None)
    # water_change: KH of the new water [dKH]
    new_kh_dkh: float | None = field(init=False, compare=False, default=None)
    # test: what it was a test of ("nitrate", "oxygen")
    substance: str = field(init=False, compare=False, default="")
    # test: the two ends it was read between [mg/L], as "between 5 and 10", "below 0.05"
    between: tuple[float, float] | None = field(init=False, compare=False, default=None)
    # calibration: the buffers named, as pH values
    buffers: tuple[float, ...] = field(init=False, compare=False, default=())
    cautions: tuple[Finding, ...] = field(init=False, compare=False, repr=False, default=())

    def __init__(
        self,
        time: datetime | str,
        kind: Kind | str,
        value: Value | None = None,
        unit: str = "",
        note: str = "",
        *,
        line: int | None = None,
        date_order: str | None = None,
    ) -> None:
        if isinstance(time, datetime):
            when, cautions = time, []
        else:
            when, forgiven = parse_time(str(time), date_order)
            cautions = [warning(name, _FORGIVEN_TIME[name], line) for name in forgiven]
        typed = _clean(value) if isinstance(value, str) else value
        draft = Draft(when, parse_kind(kind), typed, _clean(unit), _clean(note), cautions=cautions)
        make(draft)
        for name in _DRAFTED:
            object.__setattr__(self, name, getattr(draft, name))
        object.__setattr__(self, "line", line)
        object.__setattr__(self, "cautions", tuple(draft.cautions))

    @property
    def number(self) -> float:
        """Return the value of a kind that holds a number, in the kind's own unit.

        Raises TypeError for a kind that holds none.
        """
        if not isinstance(self.value, float):
            raise TypeError(f"{self.kind} holds no number")
        return self.value

    @property
    def word(self) -> str:
        """Return the value of a kind that holds a word or text.

        Raises TypeError for a kind that holds none.
        """
        if not isinstance(self.value, str):
            raise TypeError(f"{self.kind} holds no word")
        return self.value

    @property
    def window(self) -> Window:
        """Return the hours of gas_day, light_day or air_day; those of "off" start when they end.

        Raises TypeError for a kind that holds none.
        """
        if not isinstance(self.value, Window):
            raise TypeError(f"{self.kind} holds no hours")
        return self.value

    def at(self, time: datetime, drawn: datetime | None = None) -> Entry:
        """Return the same entry at another time (and with another time of drawing)."""
        moved = object.__new__(Entry)
        for name in _FIELDS:
            object.__setattr__(moved, name, getattr(self, name))
        object.__setattr__(moved, "time", time)
        object.__setattr__(moved, "drawn", drawn)
        return moved


def _clean(text: str) -> str:
    """Return a cell without control characters, its lines ended alike."""
    return _CONTROL.sub("", _LINE_ENDS.sub("\n", text)).strip()


def written(entry: Entry) -> str:
    """Return an entry's value as it is shown and written: "6.8", "08:30-17:30", "off"."""
    value = entry.value
    if isinstance(value, str):
        return value
    if isinstance(value, float):
        return repr(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    return str(value)


_FIELDS = tuple(Entry.__dataclass_fields__)
_DRAFTED = tuple(name for name in _FIELDS if name not in ("line", "cautions"))
