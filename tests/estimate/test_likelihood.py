"""Each instrument's error: chances that sum to one, and a filter that equals the dense normal."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from leafgill.estimate.huber import HUBER, huber_loss
from leafgill.estimate.likelihood import (
    PROBE_WEIGHT,
    ROUGH_TIME_H,
    SCALE_SD_G,
    colour_chance,
    kh_chance,
    lerp,
    normal_cdf,
    rest_ph,
    score,
    waved,
    weigh,
)
from leafgill.estimate.observations import Observations, Weighings
from leafgill.estimate.problem import Traits
from leafgill.estimate.rough import draw_straying
from leafgill.science.carbonate import ph as ph_of
from leafgill.science.gases import co2_equilibrium_mg_l
from leafgill.tank.forcing import Course

HOURS = np.array([0.5, 1.25, 5.0, 5.5, 14.0, 23.0])
READ = np.array([6.93, 7.04, 6.82, 6.86, 7.10, 6.97])
EDGES_H = np.linspace(0.0, 24.0, 49)
ROUGH = 0.06


def readings(*, probe=False, sd=0.1, **other):
    none = {name: np.zeros(0) for name in Observations._fields}
    fields = none | {
        "ph_at": HOURS * 2.0,
        "ph_h": HOURS,
        "ph": READ,
        "ph_sd": np.full(HOURS.size, sd),
        "ph_probe": np.full(HOURS.size, float(probe)),
        "ph_epoch": np.zeros(HOURS.size),
        "ph_daily": np.zeros((HOURS.size, 8)),
        "colour_bounds": np.zeros((0, 4)),
    }
    return Observations(**(fields | other))


def traits(m=1, **other):
    fields = {
        "offset": np.zeros((m, 1)), "slope": np.ones(m), "drift": np.zeros(m), "hand": np.zeros(m),
        "checker_lag": np.ones(m), "checker_kh": np.full(m, 4.0), "roughness": np.full(m, ROUGH),
        "room_ppm": np.full(m, 600.0), "non_carbonate": np.zeros(m), "acid_pka": np.full(m, 5.8),
        "gh": np.full(m, 6.0), "salt": np.full(m, 1.5), "daily": np.zeros((m, 8)),
    }  # fmt: skip
    return Traits(**(fields | other))


def flat(ph=6.95, m=1, co2=20.0, alkalinity=1.4, o2=8.0):
    def row(value):
        return np.full((m, EDGES_H.size), value)

    return Course(
        row(co2), row(co2), row(o2), row(o2), row(ph), row(alkalinity),
        np.zeros((m, 2)), np.zeros((m, 5)), np.zeros(m),
    )  # fmt: skip


def scored(observations, **other):
    course = flat(**{k: other.pop(k) for k in ("ph", "co2", "alkalinity", "o2") if k in other})
    return score(course, np.diff(EDGES_H), 25.0, observations, traits(**other))


def covariance(a, b):
    return ROUGH**2 * np.exp(-np.abs(a[:, None] - b[None, :]) / ROUGH_TIME_H)


def dense_loss(shown, sd):
    cov = covariance(HOURS, HOURS) + sd**2 * np.eye(HOURS.size)
    logpdf = multivariate_normal(shown, cov).logpdf(READ)
    return -logpdf - 0.5 * HOURS.size * np.log(2.0 * np.pi)


def test_the_filter_is_the_dense_normal():
    errors, loss = scored(readings())
    assert np.abs(errors).max() < HUBER
    assert loss[0] == pytest.approx(dense_loss(np.full(6, 6.95), 0.1), abs=1e-9)


def test_hand_bias_and_daily_waves_shift_what_is_shown():
    rng = np.random.default_rng(1)
    waves, parts = rng.normal(0, 1, (6, 8)), rng.normal(0, 0.03, (1, 8))
    _, loss = scored(readings(ph_daily=waves), hand=np.array([0.04]), daily=parts)
    assert loss[0] == pytest.approx(dense_loss(6.95 + 0.04 + waves @ parts[0], 0.1), abs=1e-9)


def test_an_electrode_has_offset_slope_and_drift_and_counts_for_its_weight():
    electrode = {"offset": np.array([[0.05]]), "slope": np.array([0.95]), "drift": np.array([0.02])}
    errors, loss = scored(readings(probe=True), **electrode)
    shown = 7.0 + 0.05 + 0.95 * (6.95 - 7.0) + 0.02 * HOURS / 24.0
    assert loss[0] == pytest.approx(PROBE_WEIGHT * dense_loss(shown, 0.1), abs=1e-9)
    whitened = np.linalg.solve(
        np.linalg.cholesky(covariance(HOURS, HOURS) + 0.01 * np.eye(6)), READ - shown
    )
    assert errors[0] == pytest.approx(whitened * np.sqrt(PROBE_WEIGHT), abs=1e-9)


def test_offset_is_that_of_the_reading_s_calibration():
    epochs = np.array([0.0, 0, 0, 1, 1, 1])
    _, loss = scored(readings(probe=True, ph_epoch=epochs), offset=np.array([[0.05, -0.08]]))
    shown = 6.95 + np.where(epochs > 0, -0.08, 0.05)
    assert loss[0] == pytest.approx(PROBE_WEIGHT * dense_loss(shown, 0.1), abs=1e-9)


def test_a_wild_reading_counts_linearly():
    wild = READ.copy()
    wild[-1] = 8.9
    errors, loss = scored(readings(ph=wild))
    wilder = wild.copy()
    wilder[-1] = 9.9
    more_errors, more = scored(readings(ph=wilder))
    step = more_errors[0, -1] - errors[0, -1]
    assert errors[0, -1] > 10.0
    assert more[0] - loss[0] == pytest.approx(HUBER * step, rel=1e-9)


def test_huber_is_smooth_at_its_bend():
    assert huber_loss(HUBER) == pytest.approx(0.5 * HUBER**2)
    assert huber_loss(2.0) == 2.0
    assert huber_loss(-6.0) == pytest.approx(16.0)


def test_straying_is_drawn_from_the_dense_conditional():
    m = 20_000
    o = readings(sd=0.05)
    drawn = draw_straying(
        np.full((m, EDGES_H.size), 6.95), o, traits(m), EDGES_H, np.random.default_rng(3)
    )
    across = covariance(EDGES_H, HOURS)
    gain = across @ np.linalg.inv(covariance(HOURS, HOURS) + 0.05**2 * np.eye(6))
    mean = gain @ (READ - 6.95)
    cov = covariance(EDGES_H, EDGES_H) - gain @ across.T
    sd = np.sqrt(np.diag(cov))
    assert np.abs((drawn.mean(axis=0) - mean) / sd).max() < 5.0 / np.sqrt(m)
    seen = np.cov(drawn.T)
    assert np.abs((seen - cov) / np.outer(sd, sd)).max() < 7.0 / np.sqrt(m)


def test_straying_without_readings_is_the_process_itself():
    none = {name: np.zeros(0) for name in Observations._fields}
    none |= {"ph_daily": np.zeros((0, 8)), "colour_bounds": np.zeros((0, 4))}
    m = 20_000
    drawn = draw_straying(
        np.full((m, 49), 7.0), Observations(**none), traits(m), EDGES_H, np.random.default_rng(4)
    )
    seen, cov = np.cov(drawn.T), covariance(EDGES_H, EDGES_H)
    assert np.abs(seen - cov).max() < 0.05 * ROUGH**2


@pytest.mark.parametrize("log_co2", [0.0, 2.0, 2.6, 3.1, 3.5, 5.0])
def test_colours_share_the_whole_chance(log_co2):
    bounds = np.log([10.0, 20.0, 38.0, 60.0])
    chances = [colour_chance(k, log_co2, bounds, 0.05, 0.2) for k in range(5)]
    assert sum(chances) == pytest.approx(1.0, abs=1e-12)
    assert min(chances) >= 0.0


def test_the_colour_read_is_most_often_the_true_one():
    bounds = np.log([10.0, 20.0, 38.0, 60.0])
    for k, co2 in enumerate([3.0, 14.0, 28.0, 48.0, 120.0]):
        chances = [colour_chance(c, np.log(co2), bounds, 0.0, 0.1) for c in range(5)]
        assert int(np.argmax(chances)) == k
        assert 0.8 < max(chances) <= 0.88 + 1e-9


def test_a_stronger_reference_shows_bluer():
    bounds = np.log([10.0, 20.0, 38.0, 60.0])
    weak, strong = (colour_chance(1, np.log(22.0), bounds, s, 0.1) for s in (0.0, np.log(5 / 4)))
    assert strong > weak


@pytest.mark.parametrize("drop", [0.25, 0.5, 1.0])
@pytest.mark.parametrize("kh", [1.2, 4.0, 7.7])
def test_drops_share_the_whole_chance(kh, drop):
    highs = np.arange(-6, 60) * drop + drop
    total = sum(kh_chance(kh, high - drop, high) for high in highs)
    assert total == pytest.approx(1.0, abs=1e-6)


def test_a_drop_count_names_the_interval_it_means():
    assert kh_chance(3.75, 3.5, 4.0) > 0.85
    assert 0.01 < kh_chance(4.3, 3.5, 4.0) < 0.1
    assert kh_chance(6.0, 3.5, 4.0) < 1e-6


def test_kh_and_colour_enter_the_loss_by_their_chance():
    none = {name: np.zeros(0) for name in ("ph_at", "ph_h", "ph", "ph_sd", "ph_probe", "ph_epoch")}
    bounds = np.log(np.array([[10.0, 20.0, 38.0, 60.0]]))
    o = readings(
        **none, ph_daily=np.zeros((0, 8)), kh_at=np.array([1.0]), kh_low=np.array([3.5]),
        kh_high=np.array([4.0]), colour_at=np.array([40.0]), colour=np.array([2.0]),
        colour_bounds=bounds,
    )  # fmt: skip
    errors, loss = scored(o, alkalinity=3.75 * 0.35665, co2=20.0)
    kh = kh_chance(3.75, 3.5, 4.0) + 1e-4
    sd = np.hypot(0.12, np.log(10.0) * ROUGH)
    colour = colour_chance(2, np.log(20.0), bounds[0], 0.0, sd) + 1e-4
    assert loss[0] == pytest.approx(-np.log(kh) - np.log(colour), rel=1e-6)
    assert 0.5 * (errors[0] ** 2 - 1e-4).sum() == pytest.approx(loss[0], rel=1e-6)


def test_a_lagging_checker_shows_what_was():
    none = {name: np.zeros(0) for name in ("ph_at", "ph_h", "ph", "ph_sd", "ph_probe", "ph_epoch")}
    bounds = np.log(np.array([[10.0, 20.0, 38.0, 60.0]]))
    o = readings(**none, ph_daily=np.zeros((0, 8)), colour_at=np.array([6.0]),
                 colour=np.array([0.0]), colour_bounds=bounds)  # fmt: skip
    course = flat(co2=5.0)
    course.co2_mg_l[:, 5:] = 28.0
    quick, slow = (
        score(course, np.diff(EDGES_H), 25.0, o, traits(checker_lag=np.array([lag])))[1][0]
        for lag in (0.1, 3.0)
    )
    assert quick - slow > 2.0


def test_oxygen_is_a_plain_normal():
    none = {name: np.zeros(0) for name in ("ph_at", "ph_h", "ph", "ph_sd", "ph_probe", "ph_epoch")}
    o = readings(**none, ph_daily=np.zeros((0, 8)), o2_at=np.array([3.0]), o2=np.array([7.3]))
    errors, loss = scored(o, o2=8.0)
    assert errors[0, 0] == pytest.approx(-1.0)
    assert loss[0] == pytest.approx(0.5)


def test_a_glass_at_rest_has_the_ph_of_the_room_s_co2():
    at_rest = co2_equilibrium_mg_l(600.0, 25.0)
    expected = ph_of(at_rest, 1.4, 25.0, gh_dgh=6.0, extra_salt_mmol_l=1.5)
    assert rest_ph(600.0, 1.4, 25.0, 6.0, 1.5, 0.0, 5.8) == pytest.approx(expected, abs=1e-6)
    assert rest_ph(1200.0, 1.4, 25.0, 6.0, 1.5, 0.0, 5.8) < expected - 0.25


def test_a_glass_outdoors_does_not_hear_of_the_room():
    none = {name: np.zeros(0) for name in ("ph_at", "ph_h", "ph", "ph_sd", "ph_probe", "ph_epoch")}
    glass = {"glass_at": np.array([2.0]), "glass_h": np.array([25.0]),
             "glass_ph": np.array([8.25]), "glass_probe": np.zeros(1),
             "glass_epoch": np.zeros(1), "glass_c": np.full(1, np.nan)}  # fmt: skip

    def losses(outdoors):
        o = readings(**none, ph_daily=np.zeros((0, 8)), **glass,
                     glass_outdoors=np.array([float(outdoors)]))  # fmt: skip
        return [scored(o, room_ppm=np.array([ppm]))[1][0] for ppm in (500.0, 1500.0)]

    inside, outside = losses(False), losses(True)
    assert outside[0] == outside[1]
    assert inside[1] > inside[0] + 1.0


@pytest.mark.parametrize(("warmth", "width"), [(10.0, 0.03), (np.nan, 0.10)])
def test_a_cold_glass_outdoors_is_held_against_cold_water(warmth, width):
    """At 10 °C the water holds half as much CO2 again as at 25; unwritten, the width covers it."""
    none = {name: np.zeros(0) for name in ("ph_at", "ph_h", "ph", "ph_sd", "ph_probe", "ph_epoch")}
    stood = 25.0 if np.isnan(warmth) else warmth
    t = traits()
    salt, acid = t.salt[0], (t.non_carbonate[0], t.acid_pka[0])
    true = rest_ph(425.0, 1.4, stood, t.gh[0], salt, *acid)
    o = readings(**none, ph_daily=np.zeros((0, 8)), glass_at=np.array([2.0]),
                 glass_h=np.array([25.0]), glass_ph=np.array([true + 0.05]),
                 glass_probe=np.ones(1), glass_epoch=np.zeros(1), glass_outdoors=np.ones(1),
                 glass_c=np.array([warmth]))  # fmt: skip
    errors, _ = scored(o)
    assert errors[0, 0] == pytest.approx(0.05 / width, rel=0.02)


def test_weights_take_the_full_mass_out_of_each_cylinder():
    gas_s = np.array([[0.0], [36000.0], [36000.0], [72000.0]])
    mass = np.array([5000.0, 4992.8, 6000.0, 5996.8])
    weighings = Weighings(gas_s, mass, np.array([0.0, 0, 1, 1]))
    # 0.1 mg twice a second for ten hours is 7.2 g: the first fits, the second has lost 4 g less.
    errors, loss = weigh(weighings, np.array([0.1]), np.array([[2.0]]))
    assert errors[0] == pytest.approx(np.array([0.0, 0.0, -2.0, 2.0]) / SCALE_SD_G, abs=1e-9)
    assert loss[0] == pytest.approx(0.5 * 2 * (2.0 / SCALE_SD_G) ** 2)


def test_a_scale_read_wrong_once_counts_linearly():
    weighings = Weighings(np.zeros((2, 1)), np.array([5000.0, 4900.0]), np.zeros(2))
    _, loss = weigh(weighings, np.array([0.1]), np.array([[2.0]]))
    assert loss[0] == pytest.approx(2 * HUBER * (50.0 / SCALE_SD_G - 0.5 * HUBER))


def test_small_parts():
    assert normal_cdf(1.3) == pytest.approx(norm.cdf(1.3), abs=1e-14)
    row = np.array([1.0, 3.0, 4.0])
    assert [lerp(row, at) for at in (0.0, 0.5, 1.5, 2.0)] == [1.0, 2.0, 3.5, 4.0]
    assert waved(np.array([2.0, 3.0]), np.array([0.5, -1.0])) == -2.0
