import pytest

from leafgill.advise.water.minerals import Wish, grams_per_l
from leafgill.errors import InputError
from leafgill.science.salts import SALTS, gh_dgh, kh_dkh

USUAL = ("CaCl2.2H2O", "MgSO4.7H2O", "KHCO3")


def salts(*keys):
    return [SALTS[key] for key in keys]


def found(wish, keys, kh=0.0, gh=0.0):
    grams = grams_per_l(wish, kh, gh, salts(*keys))
    return dict(zip(keys, grams, strict=True))


@pytest.mark.parametrize("keys", [USUAL, (*USUAL, "CaSO4.2H2O", "NaHCO3"), ("CaCO3", *USUAL)])
@pytest.mark.parametrize("wish", [Wish(4.0, 6.0), Wish(2.0, 12.0, 4.0), Wish(6.0, 6.0, None)])
def test_the_wish_is_met(keys, wish):
    grams = found(wish, keys)
    assert sum(kh_dkh(k, g) for k, g in grams.items()) == pytest.approx(wish.kh_dkh, abs=0.01)
    assert sum(gh_dgh(k, g) for k, g in grams.items()) == pytest.approx(wish.gh_dgh, abs=0.01)
    if wish.ca_to_mg is not None:
        calcium = sum(SALTS[k].gives.get("calcium", 0.0) * g for k, g in grams.items())
        magnesium = sum(SALTS[k].gives.get("magnesium", 0.0) * g for k, g in grams.items())
        assert calcium / magnesium == pytest.approx(wish.ca_to_mg, rel=0.01)


def test_what_the_water_has_counts():
    grams = found(Wish(4.0, 6.0), USUAL, kh=1.0, gh=3.0)
    assert grams["KHCO3"] == pytest.approx(3.0 * 0.035706, rel=1e-3)
    assert found(Wish(1.0, 3.0), USUAL, kh=1.0, gh=3.0) == pytest.approx(
        dict.fromkeys(USUAL, 0.0), abs=1e-6
    )


def test_two_salts_of_one_kind_share_the_work():
    grams = found(Wish(4.0, 6.0), (*USUAL, "NaHCO3"))
    halves = kh_dkh("KHCO3", grams["KHCO3"]), kh_dkh("NaHCO3", grams["NaHCO3"])
    assert halves == pytest.approx((2.0, 2.0), abs=0.01)


@pytest.mark.parametrize(
    ("wish", "keys", "kh", "told"),
    [
        (Wish(4.0, 6.0), ("KHCO3",), 0.0,
         "with KHCO3 a GH of 6 cannot be met beside KH 4; CaCl2.2H2O, CaSO4.2H2O, MgSO4.7H2O "
         "would raise GH alone"),
        (Wish(4.0, 6.0), ("CaCl2.2H2O", "MgSO4.7H2O"), 0.0, "would raise KH alone"),
        (Wish(4.0, 2.0), ("CaCO3",), 0.0, "cannot be met beside"),
        (Wish(0.0, 6.0), USUAL, 2.0, "KH 0 is below the 2 of the water it starts from"),
        (Wish(4.0, 6.0), ("KHCO3", "KNO3"), 0.0, "potassium nitrate gives neither KH nor GH"),
        (Wish(4.0, 6.0), (), 0.0, "no salts are named"),
        (Wish(6.0, 6.0, 3.0), ("CaCO3", "MgSO4.7H2O"), 0.0,
         "calcium to magnesium of 3 cannot be met"),
    ],
)  # fmt: skip
def test_what_these_salts_cannot_give_is_told(wish, keys, kh, told):
    with pytest.raises(InputError) as raised:
        grams_per_l(wish, kh, 0.0, salts(*keys))
    assert told in str(raised.value)
