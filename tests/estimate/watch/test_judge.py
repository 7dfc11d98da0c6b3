"""From weights to a verdict, to words, and to the mornings that `watch` looks back to."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from leafgill.errors import InputError
from leafgill.estimate.watch.alert import SAID, Alert, alert_of, dead_alert
from leafgill.estimate.watch.asked import merged, reference_moments, watch
from leafgill.estimate.watch.hypotheses import HYPOTHESES, JUMP_KIND, UNKNOWN_KIND
from leafgill.estimate.watch.judge import Suspect, Verdict, _mixture, log_sum, together
from leafgill.estimate.watch.pursuit import Held
from leafgill.estimate.watch.seen import COUNT, PROBE, Seen

NOW = datetime(2025, 3, 10, 15, tzinfo=UTC)


def suspect(kind, probability, **more):
    row = next((h for h in HYPOTHESES if h.kind == kind), None)
    return Suspect(kind, probability, NOW.timestamp() - 3600.0, row, **more)


def held(what=PROBE, value=6.4, shown=""):
    return Held(Seen(NOW.timestamp(), what, value, 0.01, shown), 6.6, 6.5, 6.7, 5.0)


def test_a_sum_of_exponentials_of_large_logs_is_exact():
    assert log_sum(np.array([1000.0, 1000.0 + np.log(3.0)])) == pytest.approx(1000.0 + np.log(4.0))


def test_causes_that_explain_as_much_are_named_together():
    verdict = Verdict(0.01, (suspect("kh changed", 0.6), suspect(JUMP_KIND, 0.3),
                             suspect("clogging", 0.05)))  # fmt: skip
    assert [s.kind for s in together(verdict)] == ["kh changed", JUMP_KIND]
    said = alert_of(together(verdict), held(), (6.7, 0.02), NOW)
    assert said.kinds == ("kh changed", JUMP_KIND)
    assert said.sure == pytest.approx(0.9)
    assert said.explains.count("; or ") == 1
    assert said.check == SAID[JUMP_KIND].check  # a hand test tells the two apart


def test_an_alert_says_what_was_seen_beside_what_was_expected():
    said = alert_of((suspect("surge", 0.97),), held(), (6.60, 0.0304), NOW)
    assert said.seen == (
        "2025-03-10 15:00: pH 6.40 by the electrode; expected pH 6.60, 6.55 to 6.65"
    )
    assert said.urgency == "now"
    assert said.since == NOW - timedelta(hours=1)
    assert "about 1.5 times" in said.explains
    counted = held(COUNT, np.log(4.0), "4 bubbles a second counted")
    said = alert_of((suspect("surge", 0.97),), counted, (np.log(2.0), 0.1), NOW)
    assert said.seen.endswith("4 bubbles a second counted; expected 2 a second, 1.7 to 2.4")


def test_a_drift_upward_is_urgent_and_one_downward_is_not():
    rows = {h.rate_slope: h for h in HYPOTHESES if h.kind == "flow drift"}
    up = Suspect("flow drift", 0.9, 0.0, rows[0.2])
    down = Suspect("flow drift", 0.9, 0.0, rows[-0.2])
    assert alert_of((up,), None, (0.0, 1.0), NOW).urgency == "now"
    assert alert_of((down,), None, (0.0, 1.0), NOW).urgency == "today"


def test_every_kind_has_its_words():
    kinds = {h.kind for h in HYPOTHESES} | {JUMP_KIND, UNKNOWN_KIND, "probe dead"}
    assert kinds == set(SAID)
    assert dead_alert("sends nothing", NOW.timestamp(), NOW).sure == 1.0


def test_a_mixture_has_the_quantiles_of_its_parts():
    one = _mixture(np.array([np.log(20.0)]), np.array([1.0]), 0.1)
    assert one.low == pytest.approx(20.0 * np.exp(-0.16449), rel=1e-4)
    assert one.high == pytest.approx(20.0 * np.exp(0.16449), rel=1e-4)
    two = _mixture(np.log([20.0, 40.0]), np.array([0.9, 0.1]), 0.1)
    assert two.low < 20.0 < 35.0 < two.high
    assert two.mean == pytest.approx((0.9 * 20.0 + 0.1 * 40.0) * np.exp(0.005))


def test_moments_of_two_days_share_their_mornings():
    moments = [reference_moments(NOW + timedelta(hours=h), "UTC") for h in range(0, 96, 6)]
    newest = [m[0] for m in moments]
    assert len(set(newest)) == 3
    for h, (new, old) in zip(range(0, 96, 6), moments, strict=True):
        assert (new.hour, new.minute) == (7, 0)
        assert timedelta(0) <= NOW + timedelta(hours=h) - new < timedelta(days=2)
        assert new - old == timedelta(days=2)


def test_the_surest_alert_of_a_fault_is_kept_and_the_urgent_come_first():
    def alert(kinds, sure, urgency):
        return Alert(kinds, NOW, "", "", sure, urgency, "")

    found = merged([
        alert(("clogging",), 0.9, "look"), alert(("surge",), 0.91, "now"),
        alert(("surge", "kh changed"), 0.97, "now"),
    ])  # fmt: skip
    assert [(a.kind, a.sure) for a in found] == [("surge", 0.97), ("clogging", 0.9)]


def test_a_diary_that_went_as_believed_gives_no_alert(probed, probed_belief):
    assert watch(probed.tank, probed.diary, probed_belief, probed.now) == []


def test_a_diary_whose_electrode_jumped_gives_one(probed, probed_belief, made):
    rows = made(probed, probed_belief, 7.0, onset_h=2.0, jump=-0.4)
    diary = probed.diary.until(probed.now)
    diary.add_readings("ph", [round(s) for s, _ in rows], [ph for _, ph in rows])
    now = probed.now + timedelta(hours=7)
    alerts = watch(probed.tank, diary, probed_belief, now)
    assert alerts
    assert any(JUMP_KIND in alert.kinds for alert in alerts)


def test_a_now_before_the_belief_is_refused(probed, probed_belief):
    with pytest.raises(InputError, match="before the belief"):
        watch(probed.tank, probed.diary, probed_belief, probed.now - timedelta(hours=1))
