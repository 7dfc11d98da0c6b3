"""What the keeper can dose from: salts and bottles of the tank file, or usual salts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from leafgill.advise.balance.read_doses import of_bottle, of_salt
from leafgill.tank.spec import Tank

# Where the tank file names nothing: one salt for each of the nutrients that most tanks miss.
USUAL = ("KNO3", "KH2PO4", "K2SO4", "MgSO4.7H2O", "Fe-DTPA")


@dataclass(frozen=True)
class Source:
    """A salt (by the gram) or a bottle (by the mL), and what one of that adds [mg/L]."""

    what: str
    is_bottle: bool
    adds_mg_l: Mapping[str, float]

    @property
    def unit(self) -> str:
        """The unit it is measured in."""
        return "mL" if self.is_bottle else "g"


def sources_of(tank: Tank) -> tuple[tuple[Source, ...], bool]:
    """Return what there is to dose from, and whether it had to be assumed."""
    per_l = 1e3 / tank.volume_l
    found = [
        Source(bottle.name, True, {k: g_l / tank.volume_l for k, g_l in of_bottle(bottle).items()})
        for bottle in tank.salts.bottles
    ]
    kept = tank.salts.kept
    assumed = not found and not kept
    for key in USUAL if assumed else kept:
        adds = {name: part * per_l for name, part in of_salt(key).items()}
        if adds:
            found.append(Source(key, False, adds))
    return tuple(found), assumed
