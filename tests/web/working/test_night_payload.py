"""The night's picture lives through its plain lists."""

import json

import numpy as np

from leafgill.charts.night_picture import NightPicture
from leafgill.web.working.night import night_from, night_json


def test_there_and_back():
    hours = np.linspace(0.0, 24.0, 5)
    picture = NightPicture(
        "t", "s", 24.0, hours, 8.0 - hours / 24.0, 7.0 - hours / 24.0, 9.0 - hours / 24.0, 5.0,
        ((4.5, 20.25),), ((6.0, "18:00"), (12.0, "00:00")),
    )  # fmt: skip
    back = night_from({"night": json.loads(json.dumps(night_json(picture)))})
    for name in ("hours", "mean", "low", "high"):
        assert np.allclose(getattr(back, name), getattr(picture, name), atol=5e-4)
    for name in ("title", "subtitle", "length_h", "least_mg_l", "dark", "ticks"):
        assert getattr(back, name) == getattr(picture, name)
    assert back.lowest[0] == 24.0
