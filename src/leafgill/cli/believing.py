"""What several commands begin with: the diary read, and what is believed of the tank."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from leafgill.cli.console import Waiting
    from leafgill.diary import Diary
    from leafgill.estimate import Belief
    from leafgill.tank.spec import Tank


def believed(
    tank: Tank, diary: Path | None, probe: Path | None, now: datetime, bar: Waiting
) -> tuple[Diary, Belief]:
    """Return the diary and what is believed at an aware moment, telling how far the work is.

    Without a diary that of such tanks is believed, from an empty one.
    Raises InputError for files that cannot be meant; a belief too poor ends with 1 and one line.
    """
    from leafgill.diary import Diary

    bar("reading the diary", 0.0)
    kept = Diary() if diary is None else Diary.load(diary, probe)
    # only now what takes longest to load, so that a wrong file is told at once
    from leafgill.cli.next import refusing
    from leafgill.estimate import believe

    with refusing():
        return kept, believe(tank, kept, now, progress=bar)
