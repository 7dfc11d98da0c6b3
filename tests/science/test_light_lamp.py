import math

import numpy as np
import pytest

from leafgill.science import light_lamp
from leafgill.science.cited import Range


def view_factor(a, b, h):
    """A level point emitter by Lambert's law over the middle of an a x b rectangle, h above it.

    Four times the textbook factor from a small surface to a parallel rectangle under its corner.
    """
    x, y = 0.5 * a / h, 0.5 * b / h
    root_x, root_y = math.hypot(1.0, x), math.hypot(1.0, y)
    return (2.0 / math.pi) * (
        x / root_x * math.atan(y / root_x) + y / root_y * math.atan(x / root_y)
    )


@pytest.mark.parametrize("size", [(60.0, 30.0, 10.0), (60.0, 30.0, 40.0), (90.0, 90.0, 25.0)])
def test_a_cosine_lamp_against_the_view_factor(monkeypatch, size):
    monkeypatch.setattr(light_lamp, "entry_share", np.ones_like)
    assert light_lamp.surface_share(*size, 120.0) == pytest.approx(view_factor(*size), rel=2e-4)


def test_a_row_of_lamps_against_tracing_rays(monkeypatch):
    """200 000 rays of a 50 cm row, 12 cm over a 60 x 30 cm tank, 80° wide."""
    monkeypatch.setattr(light_lamp, "entry_share", np.ones_like)
    rng = np.random.default_rng(3)
    m = math.log(0.5) / math.log(math.cos(math.radians(40.0)))
    cos = rng.random(200_000) ** (1.0 / (m + 1.0))
    out = 12.0 * np.sqrt(1.0 / cos**2 - 1.0)
    turn = rng.random(200_000) * 2.0 * np.pi
    x = (rng.random(200_000) - 0.5) * 50.0 + out * np.cos(turn)
    inside = (np.abs(x) < 30.0) & (np.abs(out * np.sin(turn)) < 15.0)
    ours = light_lamp.surface_share(60.0, 30.0, 12.0, 80.0, 50.0)
    assert ours == pytest.approx(inside.mean(), abs=0.004)


def test_higher_lamps_and_wider_beams_lose_more():
    shares = [light_lamp.surface_share(60.0, 30.0, height, 120.0) for height in (0.0, 10.0, 40.0)]
    assert shares == sorted(shares, reverse=True)
    wider = [light_lamp.surface_share(60.0, 30.0, 20.0, beam) for beam in (40.0, 90.0, 150.0)]
    assert wider == sorted(wider, reverse=True)
    # nothing shines beyond the rim, so a lamp longer than the tank is one as long as it
    assert light_lamp.surface_share(60.0, 30.0, 5.0, 120.0, 90.0) == pytest.approx(
        light_lamp.surface_share(60.0, 30.0, 5.0, 120.0, 60.0)
    )


def test_how_often_light_meets_a_wall():
    # mean cosine 2/3 in air: sine 0.7454, in water 0.5592, slope 0.6745; 30·0.6745·0.6366·0.05
    assert light_lamp.wall_meetings(60.0, 30.0, 30.0, 120.0) == pytest.approx(0.644, abs=0.001)
    assert light_lamp.wall_meetings(60.0, 30.0, 0.0, 120.0) == 0.0


def test_photons_of_a_lamp():
    known = light_lamp.lamp_umol_s(38.0, efficacy_umol_j=2.0)
    guessed = light_lamp.lamp_umol_s(38.0)
    assert known.value == pytest.approx(72.2)
    assert known.high / known.low < guessed.high / guessed.low
    assert light_lamp.lamp_umol_s(38.0, lamp="fluorescent").value < guessed.value


def test_the_parts_make_the_whole():
    """A wide shallow pond under a lamp lying on it: photons over area, less what comes back."""
    told = {"height_cm": 0.0, "beam_deg": 120.0, "lamp_cm": 10.0, "efficacy_umol_j": 2.0}
    pond = light_lamp.ppfd_under_lamp(100.0, 200.0, 200.0, 0.0, **told)
    assert pond.value == pytest.approx(100.0 * 2.0 * 0.95 * 0.9336 / 4.0, rel=1e-3)
    double = light_lamp.ppfd_under_lamp(200.0, 200.0, 200.0, 0.0, **told)
    assert double.low == pytest.approx(2.0 * pond.low, rel=1e-12)


def test_depth_takes_light_and_telling_more_narrows_the_range():
    deep = [light_lamp.ppfd_under_lamp(38.0, 60.0, 30.0, depth).value for depth in (5, 20, 40)]
    assert deep == sorted(deep, reverse=True)
    little = light_lamp.ppfd_under_lamp(38.0, 60.0, 30.0, 30.0)
    more = light_lamp.ppfd_under_lamp(38.0, 60.0, 30.0, 30.0, efficacy_umol_j=2.0)
    most = light_lamp.ppfd_under_lamp(
        38.0, 60.0, 30.0, 30.0, efficacy_umol_j=2.0, height_cm=10.0, beam_deg=120.0, lamp_cm=55.0
    )
    widths = [one.high / one.low for one in (little, more, most)]
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] > 1.5


def test_the_range_is_what_independent_parts_make_of_it():
    """Draws of the parts, each a two-sided log-normal with its own 90 % range."""
    parts = (Range(2.0, 1.2, 2.8), Range(0.7, 0.5, 0.8), Range(0.9, 0.7, 0.97))
    rng = np.random.default_rng(4)
    product = np.ones(100_000)
    for part in parts:
        z = rng.standard_normal(100_000) / 1.6449
        end = np.where(z > 0, math.log(part.high / part.value), math.log(part.value / part.low))
        product *= part.value * np.exp(z * end)
    value = math.prod(part.value for part in parts)
    ours = light_lamp._met(value, parts)
    low, high = np.quantile(product, (0.05, 0.95))
    assert ours.low == pytest.approx(low, rel=0.12)
    assert ours.high == pytest.approx(high, rel=0.12)


def test_a_lamp_that_is_off():
    assert light_lamp.ppfd_under_lamp(0.0, 60.0, 30.0, 30.0) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: light_lamp.surface_share(0.0, 30.0, 10.0), "a tank's side of 0 cm"),
        (lambda: light_lamp.surface_share(60.0, 30.0, -1.0), "a height of -1 cm"),
        (lambda: light_lamp.surface_share(60.0, 30.0, 1.0, 5.0), "10 to 180 °"),
        (lambda: light_lamp.lamp_umol_s(-1.0), "a power of -1 W"),
        (lambda: light_lamp.lamp_umol_s(10.0, lamp="candle"), "accepted: led, fluorescent"),
        (lambda: light_lamp.lamp_umol_s(10.0, efficacy_umol_j=0.0), "an efficacy of 0"),
        (lambda: light_lamp.ppfd_under_lamp(10.0, 60.0, 30.0, -1.0), "a depth of -1 cm"),
    ],
)
def test_refused(call, said):
    with pytest.raises(ValueError, match=said):
        call()
