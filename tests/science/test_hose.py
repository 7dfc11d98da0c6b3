import math

import numpy as np
import pytest

from leafgill.science import hose
from leafgill.science.cited import Mark
from leafgill.tank.fields import FIELDS

SIZE = (4.0, 1.0, 1.0, 0.0)


def test_scalar_array_and_nan():
    alone = hose.permeation_g_per_day("pvc", *SIZE, 25.0)
    assert all(type(part) is float for part in alone)
    for i in range(5):
        args = [*SIZE, 25.0]
        args[i] = np.array([[args[i]], [math.nan]])
        answer = hose.permeation_g_per_day("pvc", *args)
        for part, whole in zip(answer, alone, strict=True):
            assert part.shape == (2, 1)
            assert part[0, 0] == pytest.approx(whole, rel=1e-14)
            assert math.isnan(part[1, 0])
    assert type(hose.wall_loss_g_per_day(3250, 4, 1, 1, 1)) is float


def test_by_hand():
    """2π·L·P·Δp/ln(6/4) with P in mol/(m·s·Pa)."""
    mol_s = 2 * math.pi * 2.0 * 100.0 * 3.3464e-16 * 1.5e5 / math.log(1.5)
    by_hand = mol_s * 86400 * 44.0095
    assert hose.wall_loss_g_per_day(100.0, 4.0, 1.0, 2.0, 1.5) == pytest.approx(by_hand, rel=1e-12)


def test_the_barrer():
    """1e-10 cm³(STP)·cm/(cm²·s·cmHg): 22 413.97 cm³/mol, 1 cmHg = 1333.224 Pa, cm²/cm to m."""
    assert pytest.approx(1e-10 / 22413.97 / 1333.224 * 1e2, rel=1e-4) == hose.BARRER_MOL_M_S_PA


def test_what_drives_it_is_absolute_pressure():
    at_air, at_two = (hose.permeation_g_per_day("silicone", 4, 1, 1, p).value for p in (0.0, 2.0))
    assert at_two / at_air == pytest.approx(3.01325 / 1.01325, rel=1e-12)


def test_longer_thinner_and_wider_hoses_lose_more():
    def loss(bore, wall, length):
        return hose.permeation_g_per_day("pvc", bore, wall, length, 1.0).value

    assert loss(4, 1, 3) == pytest.approx(3 * loss(4, 1, 1), rel=1e-12)
    assert loss(4, 0.5, 1) > loss(4, 1, 1) > loss(4, 2, 1)
    assert loss(6, 1, 1) > loss(4, 1, 1)
    assert loss(4, 1, 0) == 0.0


@pytest.mark.parametrize("name", hose.MATERIALS)
def test_ranges_and_warmth(name):
    found = hose.permeation_g_per_day(name, *SIZE)
    assert 0.0 < found.low < found.value < found.high
    cold, warm = (hose.permeation_g_per_day(name, *SIZE, t).value for t in (15.0, 35.0))
    assert cold < found.value < warm < 2.0 * cold * 1.5
    at_25 = hose.wall_loss_g_per_day(hose.MATERIALS[name].barrer.value, 4.0, 1.0, 1.0, 1.01325)
    assert found.value == pytest.approx(at_25, rel=1e-12)


def test_ranking():
    """Silicone passes most by far, then rubbers, then the soft plastics, nylon least."""
    loss = {name: hose.permeation_g_per_day(name, *SIZE).value for name in hose.MATERIALS}
    assert loss["silicone"] > 20 * loss["rubber"]
    assert sorted(loss, key=loss.get) == [
        "polyamide",
        "polypropylene",
        "ptfe",
        "polyethylene",
        "polyurethane",
        "pvc",
        "epdm",
        "rubber",
        "silicone",
    ]


def test_the_hoses_are_those_of_the_tank_file():
    assert set(hose.MATERIALS) == set(FIELDS["rig"]["hose"].choices)


def test_silicone_alone_was_checked():
    assert hose.MATERIALS["silicone"].source.mark is Mark.CHECKED
    assert hose.MATERIALS["pvc"].source.mark is Mark.MEMORY


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("gold", *SIZE), 'a hose of "gold"; accepted: silicone, rubber, epdm'),
        (("pvc", 0.0, 1.0, 1.0, 1.0), "a bore of 0 mm; accepted: more than 0 mm"),
        (("pvc", 4.0, [1.0, -1.0], 1.0, 1.0), "a wall of -1 mm"),
        (("pvc", 4.0, 1.0, -1.0, 1.0), "a length of -1 m; accepted: 0 m or more"),
        (("pvc", 4.0, 1.0, 1.0, -0.5), "a gauge pressure of -0.5 bar"),
    ],
)
def test_refused(args, said):
    with pytest.raises(ValueError, match=said):
        hose.permeation_g_per_day(*args)
