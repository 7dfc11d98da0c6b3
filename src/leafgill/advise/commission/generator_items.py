"""The checklist where gas is made at home: yeast, or acid on bicarbonate."""

from __future__ import annotations

from leafgill.advise.commission.item import Item
from leafgill.tank.spec import Tank


def generator_items(tank: Tank) -> list[Item]:
    """Return the steps of a generator, up to the line behind it."""
    if tank.rig.source == "yeast":
        return [
            Item(
                "vessel",
                "A vessel that cannot burst",
                "A bottle made for fizzy drinks, never glass, never a rigid jar, filled three "
                "quarters at most. Nothing that can shut the gas off: no needle valve, no tap. A "
                "blocked hose shall blow off a stopper, not burst the bottle.",
            ),
            Item(
                "trap",
                "A second bottle in between",
                "Foam and yeast are caught in a small bottle of water before counter and tank; it "
                "serves as the counter.",
            ),
            Item(
                "night",
                "It cannot be shut off at night",
                "An air stone or a broken surface from lights-off to lights-on; write the hours as "
                "air_on and air_off. The rate changes from day to day: count it each day.",
            ),
        ]
    return [
        Item(
            "vessel",
            "Vessels made for the pressure, with a relief valve",
            "Only a generator sold for this, with a gauge and a relief valve that opens well below "
            "what its vessels are tested for; look at both before each filling. Acid in one "
            "vessel, bicarbonate in the other, never the other way round, and never more than its "
            "maker names: a vessel that is shut and fed too much bursts.",
        ),
        Item(
            "acid",
            "Acid kept out of the line",
            "Goggles and gloves while filling. The vessels stand lower than counter and tank, and "
            "a bottle of water between them catches what is carried over.",
        ),
    ]
