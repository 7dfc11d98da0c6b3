"""The trial's figures as lines of text."""

from collections.abc import Iterable, Sequence

import numpy as np

from .score import Score


def report(scores: Sequence[Score]) -> str:
    """One table of keepers, then how good the belief was at random lit moments."""
    lines = [
        f"{'keeper':<14}{'tanks':>6}{'within 10 %':>13}{'within 20 %':>13}{'level':>8}"
        f"{'settled d':>11}{'changes':>9}{'ever over':>11}{'over 1.25':>11}{'min over':>10}"
        f"{'low O2':>8}"
    ]
    for keeper in dict.fromkeys(s.keeper for s in scores):
        lines.append(_keeper(keeper, [s for s in scores if s.keeper == keeper]))
    for probe in (True, False):
        told = [row for s in scores if s.probe is probe for row in s.beliefs]
        if told:
            lines.append(_beliefs("with a probe" if probe else "without", told))
    return "\n".join(lines)


def _keeper(name: str, scores: Sequence[Score]) -> str:
    off = np.array([abs(s.level - 1.0) for s in scores])
    settled = np.array([s.settled_days for s in scores])
    return (
        f"{name:<14}{len(scores):>6}{_share(off <= 0.10):>13}{_share(off <= 0.20):>13}"
        f"{np.median([s.level for s in scores]):>8.2f}{np.median(settled):>11.1f}"
        f"{np.median([s.changes for s in scores]):>9.0f}"
        f"{_share(np.array([s.over_min > 0 for s in scores])):>11}"
        f"{sum(s.danger_min > 0 for s in scores):>11}"
        f"{np.mean([s.over_min for s in scores]):>10.0f}"
        f"{np.mean([s.low_o2_min for s in scores]):>8.0f}"
    )


def _beliefs(what: str, rows: Iterable[tuple[float, float, float, float]]) -> str:
    truth, mean, low, high = np.array(list(rows)).T
    error = np.abs(mean / truth - 1.0)
    held = np.mean((truth >= low) & (truth <= high))
    above, below = np.mean(truth > high), np.mean(truth < low)
    return (
        f"CO2 now, {what}: {truth.size} moments, 90 % interval holds {100 * held:.0f} % "
        f"(truth above {100 * above:.0f} %, below {100 * below:.0f} %), "
        f"median error {100 * np.median(error):.1f} %, "
        f"90th percentile {100 * np.quantile(error, 0.9):.0f} %, "
        f"median of mean/truth {np.median(mean / truth):.2f}"
    )


def _share(of: np.ndarray) -> str:
    return f"{100.0 * np.mean(of):.0f} %"
