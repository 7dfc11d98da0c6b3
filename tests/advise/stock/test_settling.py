import pytest

from leafgill.advise.stock.settling import between, settling_in
from leafgill.science.precipitation import saturation_indices, settled_ph
from leafgill.science.salts import SALTS
from leafgill.tank.bottle import bottle_of


def falls(line):
    return [one.what for one in settling_in(bottle_of(line)) if one.falls]


def test_calcium_with_sulfate_and_with_phosphate():
    assert falls("a: 500 mL, CaCl2.2H2O 40 g, K2SO4 20 g") == ["calcium sulfate (gypsum)"]
    assert "calcium hydrogen phosphate" in falls("a: 500 mL, CaCl2.2H2O 40 g, K2HPO4 5 g")
    assert "calcium carbonate (lime)" in falls("a: 500 mL, CaCl2.2H2O 20 g, NaHCO3 10 g")


def test_what_keeps():
    for line in (
        "a: 500 mL, KNO3 40 g, KH2PO4 4 g, K2SO4 20 g",
        "a: 500 mL, KNO3 40 g, MgSO4.7H2O 20 g",
        "a: 500 mL, CaCl2.2H2O 40 g",
        "a: 500 mL, Fe-DTPA 5 g, MnSO4.H2O 1 g",
    ):
        assert falls(line) == [], line


def test_iron_without_a_chelate():
    found = falls("a: 500 mL, FeSO4.7H2O 5 g, KH2PO4 5 g")
    assert any(what.startswith("iron(III) phosphate") for what in found)
    assert any("rust" in what for what in falls("a: 500 mL, FeSO4.7H2O 5 g, NaHCO3 5 g"))


def test_gluconate_beside_phosphate_is_the_keepers_rule():
    (found,) = settling_in(bottle_of("a: 500 mL, Fe-gluconate 5 g, KH2PO4 5 g"))
    assert found.falls
    assert found.index is None
    assert "common practice, no source" in found.words
    (held,) = settling_in(bottle_of("a: 500 mL, Fe-DTPA 5 g, KH2PO4 5 g"))
    assert not held.falls
    assert "7.5" in held.words


def test_the_index_has_its_ends_and_what_it_was_made_of():
    (gypsum,) = settling_in(bottle_of("a: 500 mL, CaCl2.2H2O 40 g, K2SO4 20 g"))
    index = gypsum.index
    assert index.key == "index_gypsum"
    assert index.high - index.low == pytest.approx(2.0)
    assert {given.name for given in index.inputs} >= {"Ca", "SO4", "pH of the bottle", "warmth"}
    assert index.source


def test_a_shut_bottle_keeps_its_carbon():
    """Lime of a bicarbonate bottle: all of its carbon counts, at the pH its charges balance at."""
    found = settling_in(bottle_of("a: 1000 mL, CaCl2.2H2O 14.7 g, NaHCO3 4.2 g, KH2PO4 0.5 g"))
    lime = next(one for one in found if one.what.startswith("calcium carbonate"))
    grams = {"CaCl2.2H2O": 14.7, "NaHCO3": 4.2, "KH2PO4": 0.5}
    mix = {}
    for key, g in grams.items():
        for ion, count in SALTS[key].ions.items():
            mix[ion] = mix.get(ion, 0.0) + 1e3 * count * g / SALTS[key].molar_mass_g_mol
    ph = settled_ph(mix, 25.0)
    closed = saturation_indices(mix, ph, 25.0, closed=True)["calcite"]
    assert lime.index.value == pytest.approx(closed)
    assert abs(saturation_indices(mix, ph, 25.0)["calcite"] - closed) > 0.02


def test_what_comes_near_is_told_and_does_not_fall():
    found = settling_in(bottle_of("a: 500 mL, CaCl2.2H2O 1.2 g, MgSO4.7H2O 2 g"))
    assert [one.what for one in found] == ["calcium sulfate (gypsum)"]
    assert not found[0].falls
    assert "may fall out" in found[0].words


def test_bottles_to_keep_apart():
    calcium = bottle_of("lime: 500 mL, CaCl2.2H2O 40 g")
    macro = bottle_of("macro: 500 mL, KNO3 40 g, KH2PO4 6 g, K2SO4 20 g")
    iron = bottle_of("iron: 500 mL, Fe-DTPA 5 g")
    pairs = between([calcium, macro, iron])
    assert {(one.first, one.second) for one in pairs} == {("lime", "macro")}
    assert {one.what for one in pairs} >= {"calcium sulfate (gypsum)"}
    assert between([macro, iron]) == ()
    assert between([macro]) == ()


def test_acid_bottles_meet_at_the_tanks_ph():
    """Calcium and an acid phosphate keep in one bottle, and fall out in a wet cup."""
    assert falls("a: 500 mL, CaCl2.2H2O 20 g, KH2PO4 2 g") == []
    (pair,) = between(
        [bottle_of("a: 500 mL, CaCl2.2H2O 40 g"), bottle_of("b: 500 mL, KH2PO4 4 g")]
    )[:1]
    assert "calcium" in pair.what


def test_what_falls_in_one_alone_is_not_told_of_again():
    bad = bottle_of("bad: 500 mL, CaCl2.2H2O 40 g, K2SO4 30 g")
    pure = bottle_of("potash: 500 mL, KNO3 40 g")
    assert between([bad, pure]) == ()


def test_bottles_known_by_their_labels():
    iron = bottle_of("iron: iron 5 g/L")
    phosphate = bottle_of("p: phosphate 10 g/L")
    (pair,) = between([iron, phosphate])
    assert pair.what == "iron phosphate"
    assert between([bottle_of("k: potassium 20 g/L"), iron]) == ()
    (lime,) = between([bottle_of("ca: calcium 30 g/L"), phosphate])[:1]
    assert "calcium" in lime.what


def test_a_label_alone_tells_nothing_of_the_inside():
    assert settling_in(bottle_of("iron: iron 5 g/L")) == ()
