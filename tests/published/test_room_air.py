"""CO2 in the air of rooms: limits as their documents print them, and the arithmetic of a room."""

import chemicals
import numpy as np
import pytest

from leafgill.science import air
from leafgill.science.co2_fluid import thin_gas_density_kg_m3

CAS = "124-38-9"

# kg released; percent of CO2 in 20, 30 and 50 m³, from 543.7 L/kg (CoolProp 8.0.0, 20 °C).
RELEASED = """
0.5     1.4   0.9   0.5
1.134   3.1   2.1   1.2
2       5.4   3.6   2.2
2.268   6.2   4.1   2.5
4.536  12     8.2   4.9
5      14     9.1   5.4
9.072  25    16    10
10     27    18    11
"""


@pytest.mark.parametrize("line", RELEASED.strip().splitlines(), ids=lambda line: line.split()[0])
def test_a_whole_cylinder_in_a_closed_room(line):
    mass, *printed = line.split()
    ours = air.room_co2_ppm_after_release(float(mass), np.array([20.0, 30.0, 50.0]), 20.0, 0.0)
    for got, percent in zip(ours / 1e4, printed, strict=True):
        last = 10.0 ** -len(percent.partition(".")[2])
        assert got == pytest.approx(float(percent), abs=0.51 * last)


@pytest.mark.parametrize(
    ("key", "ppm", "minutes"),
    [
        # NIOSH Pocket Guide 2005-151 and NIOSH IDLH documentation, May 1994; seen
        ("osha-pel", 5000, 480),
        ("niosh-rel", 5000, 600),
        ("niosh-stel", 30000, 15),
        ("idlh", 40000, 0),
        ("acgih-tlv", 5000, 480),
        ("acgih-stel", 30000, 15),
        # EH40/2005, by two later pages that quote it; seen
        ("uk-wel", 5000, 480),
        ("uk-stel", 15000, 15),
        # Directive 2006/15/EC; from memory
        ("eu-8h", 5000, 480),
    ],
)
def test_limits_as_printed(key, ppm, minutes):
    assert (air.LIMITS[key].ppm, air.LIMITS[key].minutes) == (ppm, minutes)


def test_the_vacated_limits_of_1989_are_not_in_force():
    """10 000 ppm for 8 h was vacated; many pages still quote it."""
    assert 10_000.0 not in {limit.ppm for limit in air.LIMITS.values()}


def test_another_authority_has_the_same_two():
    """Ontario's limits, as the chemicals library carries them: 5000 ppm and 30 000 ppm."""
    assert chemicals.TWA(CAS) == (air.LIMITS["osha-pel"].ppm, "ppm")
    assert chemicals.STEL(CAS) == (air.LIMITS["niosh-stel"].ppm, "ppm")


def test_ppm_and_weight():
    """1 ppm is 1.80 mg/m³ at 25 °C, and the gas 1.53 times as heavy as air: NIOSH Pocket Guide."""
    density = thin_gas_density_kg_m3(1.01325, 25.0)
    assert density == pytest.approx(1.80, abs=0.01)
    air_density = 1.01325e5 * 28.965e-3 / (8.314462618 * 298.15)
    assert density / air_density == pytest.approx(1.53, abs=0.006)


@pytest.mark.parametrize(
    ("ppm", "word"),
    [
        (50_000, "intoxication"),
        (70_000, "unconscious"),
        (99_000, "unconscious"),
        (90_000, "killed"),
    ],
)
def test_effects_in_the_idlh_documentation(ppm, word):
    """5 % for 30 min intoxication; 7-10 % a few minutes unconsciousness; 9 % for 5 min lethal."""
    from_it = [e for e in air.effects_at(ppm) if "IDLH" in e.source.text]
    assert any(word in effect.effect for effect in from_it)


def test_five_pounds_reach_danger_in_a_bedroom():
    """2.27 kg in 30 m³ is above NIOSH's IDLH."""
    assert air.room_co2_ppm_after_release(2.268, 30.0, 20.0) > air.LIMITS["idlh"].ppm
