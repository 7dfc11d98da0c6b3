"""The rules for longer gas hours, and for a raise after hours or water were changed."""

from dataclasses import replace

from leafgill.advise import looks
from leafgill.advise.aim import hours_shown_from
from leafgill.advise.case import case_of
from leafgill.advise.rules import judge
from leafgill.tank.schedule import parse_window


def rows_of(case, about):
    return [row for row in judge(case) if row.about == about]


def longer(situation, gas, rate=None):
    return case_of(situation, rate, gas=parse_window(gas))


def test_earlier_gas_is_more_gas_and_shorter_is_not(settled, around):
    situation = around(settled("09:00-17:00"))
    assert longer(situation, "08:30-17:00").rises
    assert longer(situation, "08:30-15:00").rises  # shorter in all, but earlier
    assert not longer(situation, "09:00-16:00").rises
    assert not longer(situation, "09:00-17:00").rises


def test_rule_2_two_hours_more_at_most(settled, around):
    situation = around(settled("09:00-17:00"))
    for gas, more, passed in (("07:00-17:00", 2.0, True), ("06:45-17:00", 2.25, False)):
        size, alone = rows_of(longer(situation, gas), "step")
        assert (size.figure, size.passed, alone.passed) == (more, passed, True)
        assert size.rule == 2


def test_rule_2_never_hours_and_valve_at_once(settled, around):
    situation = around(settled("09:00-17:00"))
    rows = rows_of(longer(situation, "08:30-17:00", rate=4.5), "step")
    assert [row.passed for row in rows] == [True, False, True]
    assert "not both" in rows[1].text


def test_rule_4_somebody_sees_earlier_gas_before_the_height(settled, around):
    told = settled("09:00-17:00")
    for awake, wait, passed in (
        ((8, 22), 1.0, True),
        ((12, 22), 4.0, True),
        ((13, 22), 5.0, False),
    ):
        (row,) = rows_of(longer(around(told, awake), "08:00-17:00"), "watch")
        assert (row.figure, row.limit, row.passed) == (wait, 4.0, passed)


def test_rule_5_no_longer_hours_while_animals_breathe_fast(settled, around):
    # the valve was answered with already, which lets it stay, but not the hours grow
    told = settled("09:00-17:00", (50.2, "fish", "fast-breathing"), (50.5, "bubble_rate", 4.0))
    situation = around(told)
    situation = replace(situation, set_at=situation.now)
    assert rows_of(case_of(situation, None), "animals")[0].passed
    assert not rows_of(longer(situation, "08:30-17:00"), "animals")[0].passed


def test_rule_3_no_raise_before_moved_hours_have_shown(settled, around):
    # moved at 09:00 on the third day to begin at 10:00: two hours into its light is 12:00
    told = settled("09:00-18:00", (49.0, "gas_day", "10:00-17:00"), at=51.5)
    situation = around(told)
    assert hours_shown_from(situation).hour == 12
    moved, *_ = rows_of(case_of(situation, 4.5), "wait")
    assert (moved.figure, moved.limit, moved.passed) == (2.5, 3.0, False)
    later = around(settled("09:00-18:00", (49.0, "gas_day", "10:00-17:00"), at=52.1))
    assert rows_of(case_of(later, 4.5), "wait")[0].passed
    # lowering is not held up
    assert rows_of(case_of(situation, 3.5), "wait") == []
    # and the raise is thought of again when they have
    refused = [row for row in judge(case_of(situation, 4.5)) if not row.passed]
    assert {row.about for row in refused} == {"wait"}
    assert looks.before_raise(situation, refused).hour == 12


def test_rule_4_water_changed_since_makes_a_reading_stale(settled, around):
    for hour, passed in ((49.0, True), (50.0, True), (50.5, False)):
        case = case_of(around(settled("09:00-18:00", (hour, "water_change", 40.0))), 4.5)
        rows = rows_of(case, "reading")
        assert [row.passed for row in rows] == [True, passed]
        assert "water was changed" in rows[1].text


def test_a_change_of_long_ago_or_of_nothing_is_no_matter(settled, around):
    for row in ((2.0, "water_change", 40.0), (50.5, "water_change", 0.0)):
        case = case_of(around(settled("09:00-18:00", row)), 4.5)
        assert len(rows_of(case, "reading")) == 1


def test_a_raise_wanted_after_a_change_is_measured_for_first(settled, advised):
    told = settled("09:00-18:00", (50.5, "water_change", 10.0), target={"co2_mg_l": 22.0})
    step = advised(told)
    assert step.action == "measure" and step.rate is None
    assert "pH by the electrode" in step.measure
    before = settled("09:00-18:00", (49.5, "water_change", 10.0), target={"co2_mg_l": 22.0})
    assert advised(before).action == "raise"
