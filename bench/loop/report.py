"""The trial's figures as lines of text."""

from collections.abc import Iterable, Sequence

import numpy as np

from ..trial.score import Score

_HEAD = (
    f"{'keeper':<22}{'tanks':>6}{'within 10 %':>13}{'within 20 %':>13}{'level':>7}"
    f"{'settled d':>11}{'changes':>9}{'ever over':>11}{'over 1.25':>11}{'min over':>10}"
    f"{'low O2':>8}"
)
Row = tuple[float, float, float, float]  # true, mean, low, high


def report(scores: Sequence[Score]) -> str:
    """Keepers, the belief at random lit moments, faults, and what readings are worth."""
    sound = [s for s in scores if not s.fault]
    faulty = [s for s in scores if s.fault]
    lines = _keepers(sound) if sound else []
    for probe in (True, False):
        some = [s for s in sound if s.probe is probe and s.keeper == "advice"]
        if some:
            lines.append(_keeper(f"advice, {_with(probe)}", some))
    lines += ["", *_told(sound)] if sound else []
    if faulty:
        lines += ["With a fault in each tank", *_keepers(faulty)]
    lines += _worth(sound)
    return "\n".join(lines)


def _with(probe: bool) -> str:
    return "probe" if probe else "none"


def _keepers(scores: Sequence[Score]) -> list[str]:
    names = dict.fromkeys(s.keeper for s in scores)
    return [_HEAD, *(_keeper(name, [s for s in scores if s.keeper == name]) for name in names)]


def _keeper(name: str, scores: Sequence[Score]) -> str:
    off = np.array([abs(s.level - 1.0) for s in scores])
    settled = np.array([s.settled_days for s in scores])
    return (
        f"{name:<22}{len(scores):>6}{_share(off <= 0.10):>13}{_share(off <= 0.20):>13}"
        f"{np.median([s.level for s in scores]):>7.2f}{np.median(settled):>11.1f}"
        f"{np.median([s.changes for s in scores]):>9.0f}"
        f"{_share(np.array([s.over_min > 0 for s in scores])):>11}"
        f"{sum(s.danger_min > 0 for s in scores):>11}"
        f"{np.mean([s.over_min for s in scores]):>10.0f}"
        f"{np.mean([s.low_o2_min for s in scores]):>8.0f}"
    )


def _told(scores: Sequence[Score]) -> list[str]:
    lines = []
    for probe in (True, False):
        for keeper in dict.fromkeys(s.keeper for s in scores if s.beliefs):
            told = [
                row for s in scores if s.probe is probe and s.keeper == keeper for row in s.beliefs
            ]
            if told:
                lines.append(f"CO2 now, {keeper}, {_with(probe)}: {_beliefs(told)}")
    return lines


def _beliefs(rows: Iterable[Row]) -> str:
    truth, mean, low, high = np.array(list(rows)).T
    error = np.abs(mean / truth - 1.0)
    held = np.mean((truth >= low) & (truth <= high))
    above, below = np.mean(truth > high), np.mean(truth < low)
    return (
        f"{truth.size} moments, 90 % interval holds {100 * held:.0f} % "
        f"(truth above {100 * above:.0f} %, below {100 * below:.0f} %), "
        f"median error {100 * np.median(error):.1f} %, "
        f"90th percentile {100 * np.quantile(error, 0.9):.0f} %, "
        f"median of mean/truth {np.median(mean / truth):.2f}, "
        f"width {100 * np.median((high - low) / mean):.0f} %"
    )


def _worth(scores: Sequence[Score]) -> list[str]:
    """What is believed without each kind of reading, tanks with and without a probe apart."""
    lines = []
    for probe in (True, False):
        some = [s for s in scores if s.left_out and s.probe is probe]
        if not some:
            continue
        lines += ["", f"Left out, {len(some)} tanks, {_with(probe)}"]
        for name in dict.fromkeys(name for s in some for name in s.left_out):
            told = [row for s in some for row in s.left_out.get(name, ())]
            lines.append(f"{name or 'nothing':<18}{_beliefs(told)}")
    return lines


def _share(of: np.ndarray) -> str:
    return f"{100.0 * np.mean(of):.0f} %"
