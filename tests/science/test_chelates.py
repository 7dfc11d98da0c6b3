import pytest

from leafgill.science.chelates import CHELATES, chelate_of
from leafgill.science.salts import SALTS


def test_every_chelated_iron_says_how_long_it_holds():
    assert set(CHELATES) == {key for key in SALTS if key.startswith("Fe-")}
    for chelate in CHELATES.values():
        assert chelate.holds_to_ph.low < chelate.holds_to_ph.value < chelate.holds_to_ph.high
        assert chelate.half_life_days.low < chelate.half_life_days.value
        assert "memory" in str(chelate.source)


def test_the_stronger_ligand_holds_to_a_higher_ph():
    holds = [chelate_of(key).holds_to_ph.value for key in ("Fe-gluconate", "Fe-EDTA", "Fe-DTPA")]
    assert holds == sorted(holds)


def test_another_is_refused():
    with pytest.raises(ValueError, match="accepted: Fe-gluconate"):
        chelate_of("KNO3")
