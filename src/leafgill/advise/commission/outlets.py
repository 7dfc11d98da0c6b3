"""The outlets of CO2 cylinders by region: thread, standard, and what seals each."""

from __future__ import annotations

from typing import NamedTuple

from leafgill.science.cited import Mark, Source


class Outlet(NamedTuple):
    """One outlet: where it is used, its thread, whether a loose washer belongs there, who says so.

    `seal` is what makes it tight, in words that follow "it is sealed by".
    """

    name: str
    region: str
    thread: str
    washer: bool
    seal: str
    source: Source


_FLAT = "a flat washer between the outlet's face and the regulator's, one and new each time"

# By the words of a tank file.
OUTLETS: dict[str, Outlet] = {
    "cga-320": Outlet(
        "CGA 320", "US and Canada", "0.825-14 NGO right-hand, outside", True, _FLAT,
        Source("CGA V-1, as an engineering page explains it", Mark.CHECKED),
    ),
    "din-477-6": Outlet(
        "DIN 477-1 No. 6", "Germany, Austria and much of the EU", "W 21.8 x 1/14 in right-hand, "
        "outside", True, _FLAT,
        Source("thread from a public list of profiles; number and washer", Mark.MEMORY),
    ),
    "bs-341-8": Outlet(
        "BS 341 No. 8", "UK and Ireland", "0.860 in x 14 TPI right-hand, outside", True, _FLAT,
        Source("BS 341-3", Mark.MEMORY),
    ),
    "jis-b-8246": Outlet(
        "JIS B 8246 W22-14", "Japan", "W22-14 right-hand, outside", True, _FLAT,
        Source("JIS B 8246", Mark.MEMORY),
    ),
    "nf-e29-650-c": Outlet(
        "NF E29-650 type C", "France", "21.7 mm x 1.814, outside", True, _FLAT,
        Source("NF E29-650", Mark.MEMORY),
    ),
    "as-2473-30": Outlet(
        "AS 2473 type 30", "Australia", "as the standard has it", True, _FLAT,
        Source("AS 2473.2", Mark.MEMORY),
    ),
    "tr21-4": Outlet(
        "TR 21 x 4", "home-carbonation cylinders", "TR 21 x 4, outside", False,
        "the adapter's own ring, so that no loose washer is put in; its valve opens only when the "
        "adapter's pin presses it",
        Source("thread from a public list of profiles; the seal", Mark.MEMORY),
    ),
}  # fmt: skip
