import numpy as np
import pytest

from leafgill.advise.balance.carbon import carbon_days
from leafgill.advise.balance.grid import Grid
from leafgill.advise.balance.habits import Event
from leafgill.advise.balance.joint import draw, log_chance, water_of
from leafgill.advise.balance.kernel import run
from leafgill.advise.balance.nutrients import NUTRIENTS
from leafgill.advise.balance.read_tests import KitReading
from leafgill.advise.balance.season import season_of
from leafgill.advise.balance.unknowns import STRAY_SD, shared, strayed, unknowns_of
from leafgill.diary import Diary, Entry

DAY = 86400.0


def seen(low, high):
    return KitReading(0.0, "nitrate", "", 0.0, low, high)


def test_a_reading_is_likeliest_where_its_step_is_and_a_misread_is_never_impossible():
    at = np.array([10.0, 20.0, 40.0, 5.0, 1e-6, 1e6])
    chance = np.exp(log_chance(at, seen(7.0, 14.0)))
    # within the step, nearly sure; outside, the nearer the likelier
    assert chance[0] == pytest.approx(0.94 + 0.02, abs=0.03)
    assert chance[0] > chance[1] > chance[2] > chance[5]
    assert chance[3] > chance[4]
    # far off on either side, only one in ten of the misreadings is left
    anything = 0.06 * 0.1 * np.log(2.0) / np.log(300.0)
    assert chance[4:] == pytest.approx([anything, anything])


def test_a_step_s_ends_are_blurred_as_an_eye_blurs_them():
    # at an end half, 15 % beyond it one in six, besides what misreadings leave
    chance = np.exp(log_chance(np.array([14.0, 14.0 * np.exp(0.15)]), seen(7.0, 14.0)))
    assert chance == pytest.approx([0.94 * 0.5 + 0.014, 0.94 * 0.1587 + 0.014], abs=0.01)


def test_nothing_seen_says_that_there_is_little():
    chance = log_chance(np.array([0.0, 0.01, 0.05, 1.0]), seen(0.0, 0.05))
    assert (np.diff(chance) <= 1e-12).all()
    assert chance[2] < chance[1] - 0.5


def test_straying_is_as_wide_from_week_to_week_as_it_is_said_to_be():
    stray = strayed(np.random.default_rng(0).standard_normal((20_000, 6)))
    assert stray.std(axis=0) == pytest.approx(np.full(6, STRAY_SD), rel=0.05)
    assert np.corrcoef(stray[:, 2], stray[:, 3])[0, 1] == pytest.approx(0.8, abs=0.03)


def test_draws_of_everything_are_as_calibrated_as_the_readings_they_are_given(
    kept_tank, kept_belief
):
    """Nitrate drawn from the prior, read as the likelihood says: intervals hold it nine in ten."""
    now_s = kept_belief.now.timestamp()
    first_s = now_s - 21.0 * DAY
    looks = [first_s + d * DAY for d in (5.2, 12.2, 19.2)]
    change = [Event(first_s + d * DAY, 0.3, 0.0, {"nitrate": 0.0}) for d in (7.0, 14.0)]
    grid = Grid.of(first_s, now_s, now_s, change, looks)
    carbon = carbon_days(kept_belief, 21, 7)
    one = unknowns_of(kept_tank, kept_belief, NUTRIENTS["nitrate"], 3)
    rng = np.random.default_rng(6)
    truths = shared(kept_tank, kept_belief, 60, rng)
    z = rng.standard_normal((60, one.size))
    true = one.quantities(z)
    courses, _ = run(water_of(true, truths, carbon, "nitrate", grid))
    held_now, held_ratio = 0, 0
    for i in range(60):
        tests = []
        for at in looks:
            shows = (
                grid.at(courses[i : i + 1], at)[0]
                * true.kit[i]
                * np.exp(0.15 * rng.standard_normal())
            )
            low = 1.5 ** np.floor(np.log(shows) / np.log(1.5))
            tests.append(KitReading(at, "nitrate", "", float(shows), float(low), float(1.5 * low)))
        fresh = shared(kept_tank, kept_belief, 300, np.random.default_rng(i))
        joint = draw(fresh, carbon, [one], tests, grid, np.random.default_rng(i))
        q = joint.parts["nitrate"]
        now = run(water_of(q, joint.shared, joint.carbon, "nitrate", grid))[0][:, -1]
        low, high = np.quantile(now, [0.05, 0.95])
        held_now += low <= courses[i, -1] <= high
        wants = joint.net_mg_l * q.ratio
        low, high = np.quantile(wants, [0.05, 0.95])
        held_ratio += (
            low <= truths.net_share[i] * carbon.now_mg_l[truths.row[i]] * true.ratio[i] <= high
        )
    # 54 expected of each; 48 is the least that chance would leave of nine tenths
    assert 48 <= held_now < 60
    assert 48 <= held_ratio < 60


def more_tests(diary, start, day_values):
    from datetime import timedelta

    rows = [Entry(start + timedelta(days=d), "test", v, "mg/L", "nitrate") for d, v in day_values]
    return Diary([*diary.entries, *rows], timezone=diary.timezone)


def test_tests_pull_the_forecast(kept_tank, kept_diary, kept_belief, start):
    silent = Diary([e for e in kept_diary.entries if e.kind != "test"], timezone="UTC")
    ends = {}
    for shown in (2.5, 40.0):
        told = more_tests(silent, start, [(d, shown) for d in (15.1, 18.1, 21.1)])
        found = season_of(kept_tank, told, kept_belief, 2, count=400)
        ends[shown] = [np.median(c) for c in (found.now_mg_l("nitrate"),
                                              found.going_on("nitrate")[0][:, -1])]  # fmt: skip
    now = season_of(kept_tank, silent, kept_belief, 2, count=400).now_mg_l("nitrate")
    assert ends[2.5][0] < np.median(now) < ends[40.0][0]
    assert ends[40.0][0] > 4.0 * ends[2.5][0]
    assert ends[40.0][1] > 1.5 * ends[2.5][1]


def test_the_same_seed_gives_the_same_draws(season, kept_tank, kept_diary, kept_belief):
    again = season_of(kept_tank, kept_diary, kept_belief, 4, count=600)
    assert np.array_equal(again.now_mg_l("nitrate"), season.now_mg_l("nitrate"))


def test_water_tests_weigh_the_belief_s_own_draws(kept_tank, kept_diary, kept_belief, start):
    """Nitrate that vanishes between doses speaks for plants that fix much: those draws stay."""
    gone = [(d, 0.0) for d in (9.1, 12.1, 15.1, 18.1, 21.1)]
    full = [(d, 80.0) for d in (9.1, 12.1, 15.1, 18.1, 21.1)]
    rows = {}
    for name, values in (("gone", gone), ("full", full)):
        diary = more_tests(kept_diary, start, values)
        found = season_of(kept_tank, diary, kept_belief, 1, keys=("nitrate",), count=600)
        rows[name] = found.joint.shared.row
        assert set(found.joint.shared.row) <= set(range(kept_belief.count))
    carbon = carbon_days(kept_belief, 1, 1).now_mg_l
    assert carbon[rows["gone"]].mean() > 1.05 * carbon[rows["full"]].mean()


def test_untested_nutrients_keep_their_prior(season):
    ratio = season.joint.parts["magnesium"].ratio
    tissue = NUTRIENTS["magnesium"].tissue_percent
    wide = np.log(np.quantile(ratio, 0.95) / np.quantile(ratio, 0.05))
    assert wide >= np.log(tissue.high / tissue.low)
    tested = season.joint.parts["nitrate"].start_mg_l
    prior = NUTRIENTS["nitrate"].start_mg_l
    got = np.quantile(tested, 0.95) / np.quantile(tested, 0.05)
    assert got < 0.7 * prior.high / prior.low
