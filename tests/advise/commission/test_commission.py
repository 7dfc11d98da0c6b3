"""The checklist follows the rig, in the order the hands need, with figures that are right."""

from __future__ import annotations

from pathlib import Path

import pytest

from leafgill.advise.commission import commission
from leafgill.advise.commission.outlets import OUTLETS
from leafgill.advise.leak_space import HIGH, Hold, Reading, closed_volume
from leafgill.science.cited import Mark
from leafgill.tank.fields import FIELDS
from leafgill.tank.spec import Tank

TANKS = sorted((Path(__file__).parents[3] / "examples" / "tanks").glob("*.toml"))


def tank_of(**rig):
    return Tank.from_mapping(
        {
            "tank": {"name": "Invented", "length_cm": 80, "width_cm": 35, "height_cm": 40},
            "rig": {"cylinder_kg": 2.0, **rig},
        }
    )


def items_of(**rig):
    return {item.key: item for item in commission(tank_of(**rig)).items}


ORDER = ["look over", "place", "warm up", "dry and clean", "washer", "never adapt", "snug",
         "shut first", "counter", "check valve", "hose", "diffuser", "first opening", "soap test",
         "hold high", "hold low", "first bubbles"]  # fmt: skip


def test_the_order_of_a_cylinder():
    assert list(items_of()) == ORDER


def test_the_gas_is_let_in_only_when_all_behind_stands():
    for source in ("cylinder", "cartridge"):
        keys = list(items_of(source=source, solenoid=True))
        opened = keys.index("first opening")
        for before in ("shut first", "solenoid", "counter", "check valve", "hose", "diffuser"):
            assert keys.index(before) < opened, (source, before)
        for after in ("soap test", "hold low", "first bubbles"):
            assert keys.index(after) > opened
    keys = list(items_of(source="cartridge"))
    # a cartridge gives gas as soon as it is pierced
    assert keys.index("cartridge") > keys.index("diffuser")


def test_a_solenoid_has_its_own_step():
    assert "solenoid" in items_of(solenoid=True)
    assert "both sides of the solenoid" in items_of(solenoid=True)["soap test"].text
    assert "solenoid has current" in items_of(solenoid=True)["shut first"].text
    assert "solenoid" not in items_of()
    assert "solenoid" not in items_of()["soap test"].text


@pytest.mark.parametrize("word", list(OUTLETS))
def test_each_outlet_names_its_seal_and_how_far_that_is_known(word):
    outlet = OUTLETS[word]
    text = items_of(outlet=word)["washer"].text
    assert text.startswith(outlet.name)
    assert outlet.region in text and outlet.thread in text
    assert ("flat washer" in text) is outlet.washer
    assert ("never both" in text) is outlet.washer
    assert ("from memory" in text) is (outlet.source.mark is Mark.MEMORY)


def test_outlets_are_those_of_the_tank_file():
    assert set(OUTLETS) == set(FIELDS["rig"]["outlet"].choices)
    # 0.825-14 NGO with a washer: the one seen in print
    assert OUTLETS["cga-320"].source.mark is Mark.CHECKED
    assert "0.825-14" in OUTLETS["cga-320"].thread


def test_an_unknown_outlet_lists_all_of_them():
    found = commission(tank_of())
    (washer,) = (item for item in found.items if item.key == "washer")
    for outlet in OUTLETS.values():
        assert outlet.name in washer.text
    assert any("outlet is not known" in text for text in found.assumed)
    told = commission(tank_of(), outlet="cga-320")
    assert told.outlet == "cga-320"
    assert not any("outlet" in text for text in told.assumed)


def test_the_gauge_of_a_full_cylinder_by_hand():
    # Span & Wagner 1996: 57.29 bar absolute at 20 °C, 1.4 bar a degree
    figure = commission(tank_of(cylinder_water_l=2.9), room_c=20.0).expected.figures[
        "full_gauge_bar"
    ]
    assert figure.value == pytest.approx(56.3, abs=0.3)
    assert figure.high - figure.low == pytest.approx(2 * 1.645 * 1.4, rel=0.15)
    wide = commission(tank_of(cylinder_water_l=2.9)).expected.figures["full_gauge_bar"]
    assert wide.high - wide.low > 2.0 * (figure.high - figure.low)


def test_a_hot_room_fills_it_with_liquid():
    # 0.75 kg/L is full of liquid at 22.1 °C and stands at 96 bar absolute at 31 °C
    hot = commission(tank_of(cylinder_water_l=2.667), room_c=31.0).expected.figures[
        "full_gauge_bar"
    ]
    assert hot.value == pytest.approx(94.9, abs=1.5)


def test_warming_takes_hours_and_more_for_a_larger_one():
    small, large = (
        commission(tank_of(cylinder_kg=kg)).expected.figures["warm_hours"].value
        for kg in (2.0, 10.0)
    )
    # overnight is always enough, an hour never
    assert 2.0 < small < large < 14.0
    cold = commission(tank_of(), room_c=10.0).expected.figures["warm_hours"]
    assert cold.value < small


def test_the_full_weight_is_the_stamped_tare_and_the_charge():
    figure = commission(tank_of(cylinder_tare_kg=4.1)).expected.figures["full_weight_kg"]
    assert figure.value == pytest.approx(6.1)
    assert figure.low is None
    assert "weighs 6.1 kg" in items_of(cylinder_tare_kg=4.1)["look over"].text


def test_a_hose_that_lets_gas_through_is_named():
    silicone, tight = items_of(hose="silicone")["hose"], items_of(hose="polyamide")["hose"]
    assert "take a hose of polyurethane" in silicone.text
    assert "take a hose" not in tight.text
    assert silicone.figures == ("hose_loss_g_per_day",)
    loss = commission(tank_of(hose="silicone", hose_length_m=1.0, diffuser="bell"))
    # PDMS 4/6 mm, 1 m, 1 bar of CO2: 6.4 g a day (Robb 1968)
    assert loss.expected.figures["hose_loss_g_per_day"].value == pytest.approx(6.4, rel=0.12)


def test_two_discs_have_a_needle_valve_each():
    assert (
        "Each of the 2 behind a needle valve of its own"
        in items_of(diffuser="disc", count=2)["diffuser"].text
    )
    assert "Each of" not in items_of(diffuser="disc")["diffuser"].text


def test_the_hold_is_honest_about_liquid():
    high = items_of()["hold high"].text
    assert "With the cylinder valve open a hold tells nothing" in high
    assert "ten bar lower" in high
    cartridge = items_of(source="cartridge", cylinder_kg=0.095)
    assert "hold high" not in cartridge
    assert "a cartridge has no valve to shut" in cartridge["hold low"].text


def test_generators_have_a_list_of_their_own():
    yeast = items_of(source="yeast")
    assert list(yeast)[:3] == ["vessel", "trap", "night"]
    assert "no needle valve, no tap" in yeast["vessel"].text
    assert "needle valve" not in yeast["soap test"].text + yeast["first bubbles"].text
    acid = items_of(source="acid-bicarbonate")
    assert "relief valve" in acid["vessel"].text
    for found in (yeast, acid):
        assert "hold high" not in found and "first opening" not in found
    said = commission(tank_of(source="yeast")).cautions
    assert any("Never shut in a vessel that makes gas" in text for text in said)
    assert any("closed room" in text for text in said)
    assert not any("strap or chain" in text for text in said)


@pytest.mark.parametrize("path", TANKS, ids=lambda path: path.stem)
def test_every_example_has_its_list_and_its_figures(path):
    found = commission(Tank.load(path))
    keys = {figure.key for figure in found.figures}
    assert len(keys) == len(found.figures)
    assert len({item.key for item in found.items}) == len(found.items) >= 9
    for item in found.items:
        assert set(item.figures) <= keys, item.key
        assert item.title and item.text.endswith(".") and "  " not in item.text
    for figure in found.figures:
        assert figure.formula and figure.source


def test_a_hold_comes_with_the_list():
    rig = tank_of().rig
    volume, origin = closed_volume(rig, HIGH)
    hold = Hold(HIGH, Reading(45.0, 20.0), Reading(20.0, 20.0), 12.0, volume, origin, 2.0)
    found = commission(tank_of(), hold=hold)
    assert found.hold is not None and found.hold.verdict == "leaks"
    assert {figure.key for figure in found.hold.figures} <= {f.key for f in found.figures}
    assert commission(tank_of()).hold is None
