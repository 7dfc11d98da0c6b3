"""Steps of a day at most, cut where something is done to the water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leafgill.advise.balance.habits import Event
from leafgill.estimate.belief import along
from leafgill.science.compiled import FloatArray
from leafgill.tank.clock import DAY_S

# Things done within this time of each other are done at once [s].
_SAME_S = 60.0


@dataclass(frozen=True)
class Grid:
    """Steps between edges [n + 1] (epoch s), and what is done at the start of each.

    `day` [n] and `week` [n] are each step's, counted from now (-1: the 24 h, the 7 days before);
    `part` and `tap_share` [n] are of the change at its start.
    """

    edges_s: FloatArray
    day: FloatArray
    week: FloatArray
    part: FloatArray
    tap_share: FloatArray
    doses: tuple[tuple[int, dict[str, float]], ...]

    @classmethod
    def of(
        cls,
        first_s: float,
        last_s: float,
        now_s: float,
        events: Sequence[Event],
        looks_s: Sequence[float] = (),
    ) -> Grid:
        """Return steps from one moment to another with the events that fall between.

        Days begin at now's hour; `looks_s` are moments to be asked for by `at`, which sees what is
        there before anything is done in the same minute.
        """
        inside = [event for event in events if first_s <= event.time_s < last_s]
        begin = np.floor((first_s - now_s) / DAY_S)
        days = now_s + DAY_S * np.arange(begin, np.ceil((last_s - now_s) / DAY_S) + 1)
        done = [event.time_s for event in inside]
        marks = np.concatenate([[first_s, last_s], days, done, np.asarray(looks_s)])
        marks = np.unique(marks[(marks >= first_s) & (marks <= last_s)])
        keep = np.concatenate([[True], np.diff(marks) > _SAME_S])
        edges = marks[keep]
        if edges[-1] < last_s:
            edges[-1] = last_s
        steps = edges.size - 1
        part, tap = np.zeros(steps), np.ones(steps)
        doses: list[tuple[int, dict[str, float]]] = []
        for event in inside:
            at = int(np.clip(np.searchsorted(edges, event.time_s + _SAME_S) - 1, 0, steps - 1))
            if event.part > 0.0:
                # two changes at once are one larger one
                left = (1.0 - part[at]) * (1.0 - event.part)
                part[at], tap[at] = 1.0 - left, 1.0 - event.pure
            if event.adds_mg_l:
                doses.append((at, dict(event.adds_mg_l)))
        middle = 0.5 * (edges[1:] + edges[:-1])
        return cls(
            edges_s=edges,
            day=np.floor((middle - now_s) / DAY_S),
            week=np.floor((middle - now_s) / (7.0 * DAY_S)),
            part=part,
            tap_share=tap,
            doses=tuple(doses),
        )

    @property
    def dt_day(self) -> FloatArray:
        """Length of each step [d], [n]."""
        return np.diff(self.edges_s) / DAY_S

    def adds(self, key: str) -> FloatArray:
        """Return what doses add of a nutrient at the start of each step [mg/L], [n]."""
        added = np.zeros(self.edges_s.size - 1)
        for at, adds in self.doses:
            added[at] += adds.get(key, 0.0)
        return added

    def at(self, course: FloatArray, time_s: float) -> FloatArray:
        """Return draws [m] of a course [m, n + 1] at a moment, before what is done then."""
        return along(self.edges_s, course, np.array([time_s]))[:, 0]
