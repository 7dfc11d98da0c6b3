"""docs/theory.md lists the priors there are, the constants in force and the rules' real bias.

After a change, write its tables anew and look at the difference:
`python tests/test_docs_theory.py`.
"""

import re
from pathlib import Path

import pytest

from leafgill.diary import Diary, Entry
from leafgill.estimate import fit, flow, likelihood, prior, readings
from leafgill.estimate.evidence import LOOK_BACK_DAYS, gather
from leafgill.estimate.huber import HUBER
from leafgill.estimate.likelihood import PROBE_WEIGHT, ROUGH_TIME_H
from leafgill.estimate.problem import Problem
from leafgill.science.carbonate import co2_mg_l, ph, rule_co2_mg_l
from leafgill.science.constants import DKH_MEQ_L
from leafgill.science.gases import co2_equilibrium_mg_l
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
        ("electrode, floor of an average", f"{readings._PROBE_FLOOR:g} pH"),
        ("a switch may be early or late by", f"{readings._TIMING_H:g} h"),
        ("eye of the hand test", f"{readings._HAND_READING_SD:g} pH"),
        ("glass at rest", f"{likelihood.GLASS_SD:g} pH"),
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


TABLES = {
    "priors": priors,
    "rule-bias": rule_bias,
    "one-unit-down": one_unit_down,
    "constants": constants,
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
