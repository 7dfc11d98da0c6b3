"""The unknowns: their laws, and what the tank's description makes of them."""

import numpy as np
import pytest

from leafgill.estimate.prior import DAILY_HARMONICS, Unknown, room_ppm, unknowns
from leafgill.tank.spec import Tank

Z = np.array([-1.0, 0.0, 2.0])


def of(tank, **other):
    return {row.name: row for row in unknowns(tank, **({"has_air": False} | other))}


@pytest.mark.parametrize(
    ("law", "centre", "width", "values"),
    [
        ("log", 2.0, 0.5, [1.213061, 2.0, 5.436564]),
        ("normal", 2.0, 0.5, [1.5, 2.0, 3.0]),
        ("share", 0.75, 1.0, [0.524633, 0.75, 0.956835]),
    ],
)
def test_each_law(law, centre, width, values):
    row = Unknown("x", "1", law, centre, width, "a test")
    assert row.of(Z) == pytest.approx(values, rel=1e-5)


def test_names_are_unique_and_every_row_says_what_it_is(tank):
    rows = unknowns(tank, has_air=True, directions=3, changes=2)
    assert len({row.name for row in rows}) == len(rows)
    assert all(row.meaning and row.unit and row.width > 0.0 for row in rows)
    assert {row.law for row in rows} == {"log", "normal", "share"}


def test_numbered_rows(tank):
    names = of(tank, directions=3, changes=2)
    assert [n for n in names if n.startswith("flow_")] == ["flow_0", "flow_1", "flow_2"]
    assert [n for n in names if n.startswith("new_kh_")] == ["new_kh_0", "new_kh_1"]
    assert sum(n.startswith("daily_") for n in names) == 2 * DAILY_HARMONICS


def test_kh_comes_from_the_kit_then_the_file_then_what_is_usual(tank):
    bare = Tank.from_mapping({"tank": {"name": "Bare", "volume_l": 50}})
    read = of(tank, first_kh_dkh=6.25, first_width=0.12)["kh"]
    assert (read.centre, read.width) == (6.25, 0.12)
    assert (of(tank)["kh"].centre, of(tank)["kh"].width) == (4.0, 0.2)
    assert (of(bare)["kh"].centre, of(bare)["kh"].width) == (4.0, 0.6)


def test_exchange_falls_with_depth():
    def exchange(height):
        box = {"name": "Box", "length_cm": 60, "width_cm": 30, "height_cm": height}
        return of(Tank.from_mapping({"tank": box}))["exchange"].centre

    assert exchange(30) / exchange(60) == pytest.approx(2.0, rel=0.02)


def test_air_that_never_runs_adds_nothing(tank):
    assert of(tank)["exchange_air"].of(Z) == pytest.approx(0.0, abs=1e-8)
    assert of(tank, has_air=True)["exchange_air"].of(Z).min() > 0.01


def test_plants_and_diffuser_move_what_is_expected():
    def told(**sections):
        return of(Tank.from_mapping({"tank": {"name": "Told", "volume_l": 50}} | sections))

    sparse, dense = (told(plants={"density": d})["uptake"].centre for d in ("low", "high"))
    assert (sparse, dense) == (0.7, 3.0)
    stone, reactor = (told(rig={"diffuser": d})["dissolved"] for d in ("airstone", "reactor"))
    assert (stone.centre, reactor.centre) == (0.45, 0.95)


def test_room_never_below_the_outdoors():
    assert room_ppm(np.array([0.0, 260.0])) == pytest.approx([420.0, 680.0])
