"""What people may breathe of carbon dioxide, by whose rule, and what it does to them."""

from typing import NamedTuple

from leafgill.science.cited import Mark, Source


class Limit(NamedTuple):
    """A limit of CO2 in the air people breathe [ppm], averaged over `minutes`, and who sets it.

    `minutes` 0: not to be met at all without breathing apparatus.
    """

    ppm: float
    minutes: float
    what: str
    source: Source


_NIOSH = "NIOSH Pocket Guide to Chemical Hazards, 2005-151"

LIMITS: dict[str, Limit] = {
    "osha-pel": Limit(
        5_000.0,
        480.0,
        "US workplaces, mean of 8 h",
        Source(f"29 CFR 1910.1000, Table Z-1, in {_NIOSH}", Mark.CHECKED),
    ),
    "niosh-rel": Limit(
        5_000.0,
        600.0,
        "US recommendation, mean of a shift of up to 10 h",
        Source(_NIOSH, Mark.CHECKED),
    ),
    "niosh-stel": Limit(
        30_000.0, 15.0, "US recommendation, mean of 15 min", Source(_NIOSH, Mark.CHECKED)
    ),
    "acgih-tlv": Limit(
        5_000.0,
        480.0,
        "hygienists' value, mean of 8 h",
        Source("ACGIH 1993-94, in NIOSH IDLH documentation, May 1994", Mark.CHECKED),
    ),
    "acgih-stel": Limit(
        30_000.0,
        15.0,
        "hygienists' value, mean of 15 min",
        Source("ACGIH 1993-94, in NIOSH IDLH documentation, May 1994", Mark.CHECKED),
    ),
    "uk-wel": Limit(
        5_000.0,
        480.0,
        "UK workplaces, mean of 8 h",
        Source("HSE EH40/2005, as two later pages quote it", Mark.CHECKED),
    ),
    "uk-stel": Limit(
        15_000.0,
        15.0,
        "UK workplaces, mean of 15 min",
        Source("HSE EH40/2005, as two later pages quote it", Mark.CHECKED),
    ),
    "eu-8h": Limit(
        5_000.0,
        480.0,
        "EU indicative value, mean of 8 h",
        Source("Commission Directive 2006/15/EC", Mark.MEMORY),
    ),
    "idlh": Limit(
        40_000.0,
        0.0,
        "immediately dangerous to life or health",
        Source("NIOSH IDLH documentation, May 1994", Mark.CHECKED),
    ),
}


class AirEffect(NamedTuple):
    """What breathing air with `low_ppm` to `high_ppm` of CO2 does, after how long."""

    low_ppm: float
    high_ppm: float
    after: str
    effect: str
    source: Source


_IDLH = Source("NIOSH IDLH documentation, May 1994", Mark.CHECKED)
_EPA = Source("EPA 430-R-00-002, February 2000, Appendix B", Mark.MEMORY)

EFFECTS_IN_AIR: tuple[AirEffect, ...] = (
    AirEffect(20_000.0, 30_000.0, "hours", "headache, short of breath on effort", _EPA),
    AirEffect(30_000.0, 40_000.0, "1 h", "headache, sweating, hard breathing", _EPA),
    AirEffect(40_000.0, 50_000.0, "minutes", "headache, dizziness", _EPA),
    AirEffect(50_000.0, 70_000.0, "30 min", "signs of intoxication", _IDLH),
    AirEffect(70_000.0, 100_000.0, "a few minutes", "unconsciousness", _IDLH),
    AirEffect(90_000.0, 170_000.0, "5 min", "lowest level reported to have killed", _IDLH),
    AirEffect(100_000.0, 170_000.0, "one to a few minutes", "unconsciousness", _EPA),
    AirEffect(170_000.0, 1_000_000.0, "less than a minute", "convulsions, death", _EPA),
)


def effects_at(ppm: float) -> tuple[AirEffect, ...]:
    """Return the effects whose range holds this concentration [ppm], mildest first.

    Empty below 20 000 ppm. Raises ValueError outside 0 to a million ppm or for NaN.
    """
    if not 0.0 <= ppm <= 1e6:
        raise ValueError(f"CO2 of {ppm:g} ppm; accepted: 0 to 1000000 ppm")
    return tuple(
        effect
        for effect in EFFECTS_IN_AIR
        if effect.low_ppm <= ppm < effect.high_ppm or ppm == effect.high_ppm == 1e6
    )
