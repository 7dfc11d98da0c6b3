"""What passes through hoses: permeabilities and the loss of a metre of 4/6 mm hose at 1 bar."""

import pytest

from leafgill.science import hose
from leafgill.science.cited import Mark


def test_silicone_rubber():
    """PDMS 3250 Barrer at 25 °C: Robb 1968, Ann. N.Y. Acad. Sci. 146, 119, by two later texts.

    3800 at 35 °C (Merkel et al. 2000, from memory) lies inside the range.
    """
    silicone = hose.MATERIALS["silicone"]
    assert silicone.barrer.value == 3250.0
    assert silicone.barrer.low < 3800.0 < silicone.barrer.high
    assert silicone.source.mark is Mark.CHECKED


@pytest.mark.parametrize(
    ("name", "barrer"),
    [
        # van Amerongen; Pauly in Polymer Handbook: from memory
        ("rubber", 153.0),
        ("rubber", 131.0),
        ("epdm", 108.0),
        ("polyethylene", 12.6),
        ("polypropylene", 9.0),
        ("ptfe", 10.0),
        ("ptfe", 12.0),
        ("polyamide", 0.09),
        ("pvc", 10.0),
        ("pvc", 100.0),
        ("polyurethane", 10.0),
        ("polyurethane", 70.0),
        # a welding journal's table at 30 °C, LDPE 0.922, MDPE 0.938, HDPE 0.954 and 0.960; seen
        ("polyethylene", 25.2),
        ("polyethylene", 7.4),
        ("polyethylene", 4.3),
        ("polyethylene", 3.5),
    ],
)
def test_published_permeabilities_lie_in_the_ranges(name, barrer):
    known = hose.MATERIALS[name].barrer
    assert known.low <= barrer <= known.high


@pytest.mark.parametrize(
    ("barrer", "printed"),
    [
        (3250.0, "6.4"),
        (153.0, "0.30"),
        (108.0, "0.21"),
        (100.0, "0.20"),
        (70.0, "0.14"),
        (25.2, "0.05"),
        (10.0, "0.02"),
        (9.0, "0.018"),
        (7.4, "0.015"),
        (1.0, "0.002"),
    ],
)
def test_a_metre_of_hose(barrer, printed):
    """g/day of 4/6 mm hose at 1 bar of CO2: arithmetic on the permeabilities, done apart."""
    last = 10.0 ** -len(printed.partition(".")[2])
    loss = hose.wall_loss_g_per_day(barrer, 4.0, 1.0, 1.0, 1.0)
    assert loss == pytest.approx(float(printed), abs=0.51 * last)
