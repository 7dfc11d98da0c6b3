"""docs/theory.md lists the priors there are, the constants in force and the rules' real bias.

After a change, write its tables anew and look at the difference:
`python tests/test_docs_theory.py`.
"""

import math
import re
from pathlib import Path

import numpy as np
import pytest

from leafgill.advise.balance.nutrients import NUTRIENTS, Nutrient
from leafgill.diary import Diary, Entry
from leafgill.estimate import fit, flow, likelihood, prior, readings
from leafgill.estimate.evidence import LOOK_BACK_DAYS, gather
from leafgill.estimate.huber import HUBER
from leafgill.estimate.likelihood import PROBE_WEIGHT, ROUGH_TIME_H
from leafgill.estimate.problem import Problem
from leafgill.estimate.watch import hypotheses
from leafgill.science import air, cylinder, hose, regulator, stoichiometry
from leafgill.science.bubble_counter import bubble_co2_mg, detached_volume_ul
from leafgill.science.bubble_life import dissolved_share
from leafgill.science.bubble_motion import rise_velocity_m_s, transfer_velocity_m_s
from leafgill.science.carbonate import co2_mg_l, ph, rule_co2_mg_l
from leafgill.science.cited import Range, Source
from leafgill.science.co2_fluid import CRITICAL_TEMPERATURE_C, STANDARD_BAR
from leafgill.science.constants import DKH_MEQ_L
from leafgill.science.gases import co2_equilibrium_mg_l
from leafgill.science.surge import surge
from leafgill.tank.spec import Tank

PAGE = Path(__file__).parents[1] / "docs" / "theory.md"
BLOCK = re.compile(r"<!-- table: ([a-z-]+) -->\n(.*?)<!-- end -->", re.DOTALL)
SHOWN = "2025-03-03T09:00"


def bare_problem() -> Problem:
    """Every unknown there can be, of a tank of which only the volume is told."""
    tank = Tank.from_mapping(
        {"tank": {"name": "Bare", "volume_l": 100}, "rig": {"night_air": True}}
    )
    diary = Diary(
        [
            Entry(SHOWN, "bubble_rate", 1.0, "per s"),
            Entry(SHOWN, "calibration", "4.01/7.00"),
            Entry(SHOWN, "water_change", 30, "%"),
        ]
    ).localised("UTC")
    return Problem.of(gather(tank, diary, diary.entries[0].time.replace(hour=18)))


def lines(*rows: tuple[str, ...]) -> str:
    head, *rest = rows
    ruled = [head, tuple("---" for _ in head), *rest]
    return "".join(f"| {' | '.join(row)} |\n" for row in ruled)


def general(name: str) -> str:
    """Return daily_3 as daily_k: numbered unknowns share a row, the first one's."""
    return re.sub(r"_\d+$", "_k", name)


def priors() -> str:
    rows: dict[str, tuple[str, ...]] = {}
    for row in bare_problem().rows:
        name = general(row.name)
        width = f"{row.width:.3g}"
        rows.setdefault(
            name, (f"`{name}`", row.unit, row.law, f"{row.centre:.3g}", width, row.meaning)
        )
    return lines(("unknown", "unit", "law", "centre", "width", "what it is"), *rows.values())


def rule_bias() -> str:
    """How far 3·KH·10^(7-pH) is off at pH 6.8, in soft and in hard water."""

    def off(kh: float, t: float, gh: float) -> str:
        true = co2_mg_l(6.8, kh * DKH_MEQ_L, t, gh_dgh=gh)
        return f"{100.0 * (rule_co2_mg_l(6.8, kh) / true - 1.0):+.1f} %"

    return lines(
        ("KH, GH", "20 °C", "25 °C", "28 °C"),
        *(
            (f"{kh:g} dKH, {gh:g} dGH", *(off(kh, t, gh) for t in (20.0, 25.0, 28.0)))
            for gh in (0.0, 6.0)
            for kh in (2.0, 4.0, 8.0)
        ),
    )


def one_unit_down() -> str:
    """CO2 one pH below rest, and how far pH must fall for 30 mg/L, at KH 4 and 25 °C."""

    def row(ppm: float) -> tuple[str, ...]:
        alkalinity = 4.0 * DKH_MEQ_L
        rest = ph(co2_equilibrium_mg_l(ppm, 25.0), alkalinity, 25.0)
        low = co2_mg_l(rest - 1.0, alkalinity, 25.0)
        drop = rest - ph(30.0, alkalinity, 25.0)
        return f"{ppm:.0f} ppm", f"{rest:.2f}", f"{low:.1f} mg/L", f"{drop:.2f}"

    return lines(
        ("CO2 of the room", "pH at rest", "CO2 one pH lower", "drop to 30 mg/L"),
        *map(row, (420.0, 600.0, 1000.0, 1500.0)),
    )


def constants() -> str:
    return lines(
        ("what", "value"),
        ("time over which the tank strays one way", f"{ROUGH_TIME_H:g} h"),
        ("an error counts linearly beyond", f"{HUBER:g} of its widths"),
        ("an electrode's reading counts for", f"{PROBE_WEIGHT:g} of a reading"),
        ("electrode, one reading", f"{readings.PROBE_NOISE:g} pH"),
        ("electrode, floor of an average", f"{readings.PROBE_FLOOR:g} pH"),
        ("a switch may be early or late by", f"{readings.TIMING_H:g} h"),
        ("eye of the hand test", f"{readings._HAND_READING_SD:g} pH"),
        ("glass at rest in the room", f"{likelihood.GLASS_SD:g} pH"),
        ("glass at rest outdoors", f"{likelihood.OUTDOOR_GLASS_SD:g} pH"),
        ("colour, width in ln CO2", f"{likelihood.COLOUR_SD:g}"),
        ("colour put a step off", f"{likelihood._COLOUR_SLIP:.0%}"),
        ("drop miscounted", f"{likelihood._KH_SLIP:.0%}"),
        ("oxygen test", f"{likelihood.O2_SD:g} mg/L"),
        ("scale", f"{likelihood.SCALE_SD_G:g} g"),
        ("valve set by counting", f"{flow.SETTING_SD:.0%}"),
        ("its creep in a day", f"{flow.CREEP_SD_PER_ROOT_DAY:.1%}"),
        ("look-back", f"{LOOK_BACK_DAYS:g} days"),
        ("steps that lead a draw", f"{fit.LEAD_STEPS}"),
        ("Metropolis moves", f"{fit.MOVES}"),
        ("fewest draws", f"{fit.FEWEST_EFFECTIVE:g}"),
    )


def mark(source: Source) -> str:
    return {"CHECKED": "◆", "MEMORY": "◇"}.get(source.mark.name, "○")


def cylinder_table() -> str:
    """What a gauge shows, what is left when it begins to fall, and a full cylinder's pressure."""

    def row(t: float) -> tuple[str, ...]:
        liquid = t < CRITICAL_TEMPERATURE_C
        full = cylinder.cylinder_pressure_bar([0.68, 0.75], 1.0, t) - STANDARD_BAR
        return (
            f"{t:g} °C",
            f"{cylinder.saturation_pressure_bar(t) - STANDARD_BAR:.1f} bar" if liquid else "-",
            f"{cylinder.last_liquid_kg(1.0, t) / 0.68:.0%}" if liquid else "-",
            *(f"{bar:.0f} bar" for bar in full),
        )

    return lines(
        ("temperature", "gauge", "left when it falls", "full at 0.68 kg/L", "full at 0.75 kg/L"),
        *map(row, (10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0)),
    )


def fillings() -> str:
    return lines(
        ("filling", "kg/L", "holds for", "source"),
        *(
            (f"`{name}`", f"{f.kg_per_l:g}", f.holds_for, f"{f.source.text} {mark(f.source)}")
            for name, f in cylinder.FILLS.items()
        ),
    )


def surges() -> str:
    """Most flow against the setting at a cylinder's end, 22 °C, 0.1 bar behind the needle."""

    def row(kind: str, bar: float) -> tuple[str, ...]:
        end = surge(3.34, 22.0, charge_kg=2.268, set_gauge_bar=bar, regulator=kind)
        gain = end.middle.outlet_gauge_bar.max() - bar
        courses = (end.low, end.middle, end.high)
        return kind, f"{bar:g} bar", f"+{gain:.2f} bar", *(f"× {c.most:.2f}" for c in courses)

    return lines(
        ("regulator", "set to", "usual rise", "least flow", "usual flow", "most flow"),
        *(row(kind, bar) for kind in regulator.EFFECTS for bar in (1.0, 2.0, 3.0)),
    )


def hoses() -> str:
    def row(name: str) -> tuple[str, ...]:
        known = hose.MATERIALS[name]
        loss = hose.permeation_g_per_day(name, 4.0, 1.0, 1.0, 1.0)
        return (
            name,
            "{:g} ({:g} to {:g})".format(*known.barrer),
            "{:.2g} ({:.2g} to {:.2g})".format(*loss),
            f"{known.source.text} {mark(known.source)}",
        )

    head = ("hose", "Barrer at 25 °C", "g/day a metre", "source")
    return lines(head, *map(row, hose.MATERIALS))


def air_limits() -> str:
    return lines(
        ("limit", "ppm", "mean of", "what", "source"),
        *(
            (
                f"`{name}`",
                f"{limit.ppm:.0f}",
                f"{limit.minutes:g} min" if limit.minutes else "-",
                limit.what,
                f"{limit.source.text} {mark(limit.source)}",
            )
            for name, limit in air.LIMITS.items()
        ),
    )


def released() -> str:
    """CO2 of a closed room into which a whole cylinder has gone."""
    rooms = (20.0, 30.0, 50.0)
    return lines(
        ("charge", *(f"{room:g} m³" for room in rooms)),
        *(
            (
                f"{kg:g} kg",
                *(
                    f"{air.room_co2_ppm_after_release(kg, room, 20.0) / 1e4:.1f} %"
                    for room in rooms
                ),
            )
            for kg in (0.095, 0.5, 1.0, 2.0, 5.0, 10.0)
        ),
    )


def yields() -> str:
    return lines(
        ("reaction", "1 g of", "gives CO2", "with"),
        *(
            (
                reaction.equation,
                reaction.reagents[0][0],
                f"{stoichiometry.co2_g_per_g(name, reaction.reagents[0][0]):.3f} g",
                ", ".join(
                    f"{stoichiometry.needed_g_per_g(name, other, reaction.reagents[0][0]):.3f} g "
                    f"{other}"
                    for other, _ in reaction.reagents[1:]
                )
                or "nothing else",
            )
            for name, reaction in stoichiometry.REACTIONS.items()
        ),
    )


def bubble_motion() -> str:
    """Rise and transfer velocity at 25 °C, stiff face and mobile."""

    def row(d: float) -> tuple[str, ...]:
        rises = (rise_velocity_m_s(d, 25.0, surface=face) for face in ("dirty", "clean"))
        passes = (transfer_velocity_m_s(d, 25.0, surface=face) for face in ("dirty", "clean"))
        speeds = (f"{100.0 * rise:.1f} cm/s" for rise in rises)
        return f"{d:g} mm", *speeds, *(f"{1e3 * k:.3f} mm/s" for k in passes)

    return lines(
        ("diameter", "rise, dirty", "rise, clean", "kL, dirty", "kL, clean"),
        *map(row, (0.1, 0.2, 0.5, 1.0, 2.0, 3.0, 4.0, 6.0)),
    )


def bubble_shares() -> str:
    """Part of a bubble's CO2 that dissolves: dirty to clean, two depths, and held first."""

    def row(d: float) -> tuple[str, ...]:
        def share(depth: float, face: str, hold_s: float = 0.0) -> float:
            return float(
                dissolved_share(d, depth, 25.0, co2_mg_l=25.0, surface=face, hold_s=hold_s)
            )

        ends = (
            f"{share(depth, 'dirty'):.0%} to {share(depth, 'clean'):.0%}" for depth in (0.2, 0.4)
        )
        return f"{d:g} mm", *ends, f"{share(0.4, 'dirty', 10.0):.0%}"

    return lines(
        ("diameter", "from 0.2 m, dirty to clean", "from 0.4 m", "from 0.4 m, held 10 s"),
        *map(row, (0.2, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0)),
    )


def bubble_mass() -> str:
    """Volume and CO2 of a counted bubble by tip, liquid and gauge pressure, at 22 °C."""

    def row(tip: float, liquid: str) -> tuple[str, ...]:
        ul = detached_volume_ul(tip, 22.0, liquid=liquid)
        masses = (f"{bubble_co2_mg(ul.value, gauge, 22.0):.3f} mg" for gauge in (0.0, 1.0, 2.0))
        return f"{tip:g} mm, {liquid}", f"{ul.value:.0f} µL, {ul.low:.0f} to {ul.high:.0f}", *masses

    return lines(
        ("tip and liquid", "volume", "CO2 at 0 bar gauge", "at 1 bar", "at 2 bar"),
        *(row(tip, liquid) for liquid in ("water", "glycerol") for tip in (1.0, 2.0, 3.0, 4.0)),
    )


def faults() -> str:
    """The watch's hypotheses by kind, with the sizes tried."""
    rows: dict[str, list[tuple[str, str, str]]] = {}
    for h in hypotheses.HYPOTHESES:
        hazard = sum(o.hazard for o in hypotheses.HYPOTHESES
                     if (o.kind, o.onset) == (h.kind, h.onset))  # fmt: skip
        each = "switch" if h.onset in (hypotheses.GAS_ON, hypotheses.GAS_OFF) else "day"
        rows.setdefault(h.kind, []).append((h.onset, size_of(h), f"1 in {1 / hazard:.0f} a {each}"))
    jumps = ", ".join(f"{size:+g} pH" for size in hypotheses.JUMP_SIZES_PH)
    rows[hypotheses.JUMP_KIND] = [
        (hypotheses.ANY, jumps, f"1 in {1 / hypotheses.JUMP_HAZARD:.0f} a day")
    ]
    rows[hypotheses.UNKNOWN_KIND] = [
        (hypotheses.ANY, f"{hypotheses.UNKNOWN_WIDTHS:g} times as wide",
         f"1 in {1 / hypotheses.UNKNOWN_HAZARD:.0f} a day")
    ]  # fmt: skip
    shown = []
    for kind, found in rows.items():
        for onset in dict.fromkeys(one[0] for one in found):
            mine = [one for one in found if one[0] == onset]
            shown.append((kind, onset, "; ".join(one[1] for one in mine), mine[0][2]))
    return lines(("fault", "begins at", "sizes tried", "chance"), *shown)


def size_of(h: hypotheses.Hypothesis) -> str:
    said = []
    if h.change:
        said.append(f"{h.change:.0%} of the water")
    for log, name in ((h.rate, "bubbles"), (h.kh, "KH")):
        if log:
            said.append(f"{name} × {math.exp(log):.2g}")
    for slope, name in ((h.rate_slope, "bubbles"), (h.dissolved_slope, "dissolved"),
                        (h.kh_slope, "KH")):  # fmt: skip
        if slope:
            said.append(f"{name} {100.0 * math.expm1(slope):+.0f} % a day")
    if h.leak_g_day:
        said.append(f"{h.leak_g_day:g} g a day")
    return ", ".join(said) or "whole"


def nutrients() -> str:
    """What is believed of each nutrient before a test is looked at, and where it is to stay."""

    def span(known: Range) -> str:
        value, low, high = (np.format_float_positional(x, trim="-") for x in known)
        return f"{value} ({low} to {high})"

    def row(one: Nutrient) -> tuple[str, ...]:
        return (
            f"{one.name}, {one.symbol}",
            span(one.tissue_percent),
            np.format_float_positional(one.critical_percent, trim="-"),
            span(one.water_share),
            span(one.half_mg_l),
            span(one.loss_per_day),
            span(one.tap_mg_l),
            f"{one.floor_mg_l:g} to {one.ceiling_mg_l:g}",
        )

    return lines(
        (
            "nutrient",
            "of the element in dry plant, %",
            "critical, %",
            "taken by leaves, part",
            "uptake half at, mg/L",
            "lost a day, part",
            "in tap water, mg/L",
            "kept between, mg/L",
        ),
        *map(row, NUTRIENTS.values()),
    )


TABLES = {
    "nutrients": nutrients,
    "faults": faults,
    "bubble-motion": bubble_motion,
    "bubble-shares": bubble_shares,
    "bubble-mass": bubble_mass,
    "priors": priors,
    "rule-bias": rule_bias,
    "one-unit-down": one_unit_down,
    "constants": constants,
    "cylinder": cylinder_table,
    "fillings": fillings,
    "surges": surges,
    "hoses": hoses,
    "released": released,
    "air-limits": air_limits,
    "yields": yields,
}


def written_anew(page: str) -> str:
    return BLOCK.sub(lambda f: f"<!-- table: {f[1]} -->\n{TABLES[f[1]]()}<!-- end -->", page)


def test_the_page_has_each_table_once():
    found = [name for name, _ in BLOCK.findall(PAGE.read_text(encoding="utf-8"))]
    assert sorted(found) == sorted(TABLES)


@pytest.mark.parametrize("name", TABLES)
def test_a_table_is_what_the_code_says(name):
    shown = dict(BLOCK.findall(PAGE.read_text(encoding="utf-8")))
    assert shown[name] == TABLES[name]()


def test_every_unknown_has_a_row_and_every_row_an_unknown():
    shown = dict(BLOCK.findall(PAGE.read_text(encoding="utf-8")))["priors"]
    rows = re.findall(r"^\| `(\w+)` \|", shown, re.MULTILINE)
    tank = Tank.from_mapping({"tank": {"name": "Bare", "volume_l": 100}})
    there = prior.unknowns(tank, has_air=True, directions=2, changes=2)
    assert set(rows) == {general(row.name) for row in there} | {"recalibrated_k"}
    assert len(rows) == len(set(rows))


if __name__ == "__main__":
    PAGE.write_text(written_anew(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
