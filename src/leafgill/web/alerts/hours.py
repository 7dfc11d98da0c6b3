"""Gas hours against light hours."""

from __future__ import annotations

from collections.abc import Sequence

Span = Sequence[int]
# Gas comes on a while before the light, so that CO2 is there when the light is (common practice,
# no source); and a timer may run on for a little.
LEAD_S, GRACE_S = 3 * 3600.0, 1800.0


def gas_without_light(gas: Sequence[Span], light: Sequence[Span], now_s: float) -> float | None:
    """Return since when [epoch s] the gas is on without light, None where it is not.

    `gas` and `light` are (on, off) in epoch seconds. Light that comes within the lead counts as
    light, and so does light that went off a moment ago.
    """
    on = next((start for start, end in gas if start <= now_s < end), None)
    if on is None:
        return None
    if any(start - LEAD_S <= now_s < end + GRACE_S for start, end in light):
        return None
    lit_until = max((end for _, end in light if end <= now_s), default=on)
    return float(max(on, lit_until))
