"""More water changes put into a belief's timeline, each with the KH of its water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Draws
from leafgill.tank.timeline import Timeline, WaterChange


def with_changes(
    timeline: Timeline,
    draws: Draws,
    changes: Sequence[WaterChange],
    new_alkalinity_meq_l: FloatArray,
) -> tuple[Timeline, Draws]:
    """Return timeline and draws with changes after those there are, in order of time.

    `new_alkalinity_meq_l` [m] or [m, 1] is that of the new water of all of them.
    """
    # the model keeps a column where there is no change at all
    before = draws.new_alkalinity_meq_l[:, : len(timeline.changes)]
    columns = np.column_stack([before, *[new_alkalinity_meq_l] * len(changes)])
    return (
        replace(timeline, changes=(*timeline.changes, *changes)),
        draws._replace(new_alkalinity_meq_l=np.ascontiguousarray(columns)),
    )
