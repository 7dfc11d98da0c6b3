"""What an invented tank's nutrients are, and what its keeper means to do: drawn from one seed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

KEYS = ("nitrate", "phosphate", "potassium", "calcium", "magnesium", "iron")
NO3_N, PO4_P = 62.004 / 14.007, 94.971 / 30.974
# ion in plant per carbon [mg/mg]: middle and spread (of the logarithm)
TISSUE = {
    "nitrate": (0.27, 0.22), "phosphate": (0.024, 0.28), "potassium": (0.062, 0.25),
    "calcium": (0.026, 0.35), "magnesium": (0.0095, 0.25), "iron": (0.0006, 0.5),
}  # fmt: skip
# mass of the ions in a gram of salt
SALTS = {
    "KNO3": {"nitrate": 0.6133, "potassium": 0.3867},
    "KH2PO4": {"phosphate": 0.6979, "potassium": 0.2873},
    "K2SO4": {"potassium": 0.4488},
    "MgSO4.7H2O": {"magnesium": 0.0986},
    "Fe-DTPA": {"iron": 0.11},
}
CARDS = {
    "nitrate": (0.0, 2.5, 5.0, 10.0, 20.0, 40.0, 80.0),
    "phosphate": (0.0, 0.1, 0.25, 0.5, 1.0, 2.0, 5.0),
    "potassium": (0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0),
    "calcium": (0.0, 10.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0),
    "magnesium": (0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0),
    "iron": (0.0, 0.05, 0.1, 0.25, 0.5, 1.0),
}


@dataclass(frozen=True)
class Plan:
    """What the keeper means to do: part changed, every so many days, grams of salts so often."""

    part: float
    change_days: int
    doses: tuple[tuple[str, float, int, int], ...]  # salt, g, every so many days, first day
    tested: tuple[str, ...]
    test_days: int
    food_g: float


@dataclass(frozen=True)
class Ground:
    """What of a tank's nutrients the keeper cannot see."""

    tissue: dict[str, float]
    leaf_share: dict[str, float]
    half: dict[str, float]
    tap: dict[str, float]
    start: dict[str, float]
    kit: dict[str, float]
    net_share: float
    denitrified_day: float
    soil_day: float
    soil_holds: float
    iron_lost_day: float
    food_nitrogen: float
    food_phosphorus: float
    eaten_kept: float
    mulm_day: float
    dried_day: float
    luxury: float


def ground(seed: int) -> Ground:
    """Draw what is hidden."""
    rng = np.random.default_rng([seed, 21])

    def log(middle: float, width: float) -> float:
        return float(middle * np.exp(rng.normal(0.0, width)))

    gh = float(rng.uniform(3.0, 12.0))
    share = float(rng.uniform(0.6, 0.85))
    tap = {
        "nitrate": log(8.0, 0.8), "phosphate": log(0.15, 0.9), "potassium": log(2.2, 0.5),
        "calcium": 7.15 * gh * share, "magnesium": 4.34 * gh * (1.0 - share),
        "iron": log(0.015, 0.7),
    }  # fmt: skip
    start = {
        "nitrate": log(14.0, 0.8), "phosphate": log(0.6, 0.8), "potassium": log(6.0, 0.6),
        "calcium": tap["calcium"] * log(1.0, 0.1), "magnesium": tap["magnesium"] * log(1.0, 0.15),
        "iron": log(0.04, 0.8),
    }  # fmt: skip
    return Ground(
        tissue={key: log(middle, width) for key, (middle, width) in TISSUE.items()},
        leaf_share={
            "nitrate": rng.uniform(0.4, 1.0), "phosphate": rng.uniform(0.3, 1.0),
            "potassium": rng.uniform(0.6, 1.0), "calcium": rng.uniform(0.6, 1.0),
            "magnesium": rng.uniform(0.6, 1.0), "iron": rng.uniform(0.3, 0.9),
        },
        half={
            "nitrate": log(0.4, 0.7), "phosphate": log(0.03, 0.7), "potassium": log(0.3, 0.7),
            "calcium": log(0.6, 0.7), "magnesium": log(0.2, 0.7), "iron": log(0.008, 0.7),
        },
        tap=tap,
        start=start,
        kit={key: log(1.0, 0.12) for key in KEYS},
        net_share=float(rng.uniform(0.55, 0.85)),
        denitrified_day=log(0.008, 0.7),
        soil_day=float(rng.uniform(0.0, 0.08)),
        soil_holds=log(0.3, 0.8),
        iron_lost_day=log(0.25, 0.5),
        food_nitrogen=float(rng.uniform(0.06, 0.085)),
        food_phosphorus=float(rng.uniform(0.008, 0.016)),
        eaten_kept=float(rng.uniform(0.15, 0.4)),
        mulm_day=log(0.15, 0.4),
        dried_day=float(rng.uniform(0.003, 0.012)),
        luxury=float(rng.uniform(0.5, 1.5)),
    )  # fmt: skip


def plan_of(seed: int, volume_l: float, wants: dict[str, float]) -> Plan:
    """Draw what the keeper means to do; `wants` is what plants take a week [mg/L], guessed well."""
    rng = np.random.default_rng([seed, 22])
    doses = []
    for salt, key, odds in (
        ("KNO3", "nitrate", 0.85), ("KH2PO4", "phosphate", 0.8), ("K2SO4", "potassium", 0.4),
        ("MgSO4.7H2O", "magnesium", 0.5), ("Fe-DTPA", "iron", 0.85),
    ):  # fmt: skip
        if rng.random() > odds:
            continue
        every = int(rng.choice([2, 3, 7]))
        aim = wants[key] * float(np.exp(rng.normal(-0.1, 0.45)))
        grams = aim / SALTS[salt][key] * volume_l / 1e3 * every / 7.0
        doses.append((salt, float(f"{grams:.2g}"), every, int(rng.integers(1, 5))))
    tested = ["nitrate", "phosphate", "iron"]
    tested += [key for key in ("potassium", "calcium", "magnesium") if rng.random() < 0.35]
    return Plan(
        part=float(rng.choice([0.25, 0.3, 0.4, 0.5])),
        change_days=int(rng.choice([7, 7, 7, 14])),
        doses=tuple(doses),
        tested=tuple(tested),
        test_days=int(rng.choice([4, 7, 7, 10])),
        food_g=float(f"{0.003 * volume_l * np.exp(rng.normal(0.0, 0.6)):.2g}"),
    )
