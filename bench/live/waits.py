"""Waiting times in figures."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


def summary(waits_s: Sequence[float]) -> dict[str, float]:
    """Return the median, the 99th percentile and the longest [ms]; NaN of none."""
    if not waits_s:
        return dict.fromkeys(("p50_ms", "p99_ms", "max_ms"), float("nan"))
    p50, p99, longest = (1000 * np.percentile(waits_s, [50, 99, 100])).tolist()
    return {"p50_ms": p50, "p99_ms": p99, "max_ms": longest}
