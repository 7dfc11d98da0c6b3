"""The picture of the weeks lives through its plain lists."""

import json

import numpy as np

from leafgill.charts.balance_picture import BalancePicture, Deed, NutrientPanel, TestMark
from leafgill.web.working.weeks import weeks_from, weeks_json

BANDS = ("mean", "low", "high", "dosed_mean", "dosed_low", "dosed_high")


def test_there_and_back():
    days = np.linspace(-7.0, 14.0, 22)
    # of a trace: thousandths of a mg/L must not be rounded away
    bands = [0.00123 * (1.0 + k) * np.exp(days / 30.0) for k in range(6)]
    marks = (TestMark(-2.0, 0.5, 0.3, 0.8, "0.5 mg/L", False),)
    picture = BalancePicture(
        "t", "s", days, (NutrientPanel("iron", *bands, 0.03, 0.5, marks),),
        (Deed(0.5, "doses", "1 g of KNO3", False),), ((-7.0, "1 Mar"), (0.0, "8 Mar")),
    )  # fmt: skip
    back = weeks_from(json.loads(json.dumps(weeks_json(picture))))
    assert np.allclose(back.days, days, atol=1e-4)
    for name in BANDS:
        told, meant = getattr(back.panels[0], name), getattr(picture.panels[0], name)
        assert np.allclose(told, meant, rtol=1e-3, atol=0.0), name
    assert back.panels[0].marks == marks
    assert (back.panels[0].name, back.panels[0].floor_mg_l, back.panels[0].ceiling_mg_l) == (
        "iron", 0.03, 0.5
    )  # fmt: skip
    assert (back.title, back.subtitle, back.deeds, back.ticks) == (
        picture.title, picture.subtitle, picture.deeds, picture.ticks
    )  # fmt: skip
