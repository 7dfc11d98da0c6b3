"""Every word a tank file may use has a prior."""

import pytest

from leafgill.estimate.prior import unknowns
from leafgill.tank.fields import FIELDS
from leafgill.tank.spec import Tank


@pytest.mark.parametrize("diffuser", FIELDS["rig"]["diffuser"].choices)
def test_every_diffuser_has_a_dissolved_share(diffuser):
    tank = Tank.from_mapping({"tank": {"name": "A", "volume_l": 60}, "rig": {"diffuser": diffuser}})
    rows = {row.name: row for row in unknowns(tank, has_air=False)}
    assert 0.3 < rows["dissolved"].centre < 1.0


@pytest.mark.parametrize("density", FIELDS["plants"]["density"].choices)
def test_denser_plants_take_up_more(density):
    tank = Tank.from_mapping(
        {"tank": {"name": "A", "volume_l": 60}, "plants": {"density": density}}
    )
    rows = {row.name: row for row in unknowns(tank, has_air=False)}
    assert rows["uptake"].centre == {"low": 0.7, "medium": 1.6, "high": 3.0}[density]
