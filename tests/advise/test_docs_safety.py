"""The page on safety says what the rules do, figure by figure."""

import re
from pathlib import Path

import pytest

from leafgill.advise import case, emergency, hours, rates, rules, say, search, situation, tune
from leafgill.advise.beside import drift, gates, shift, telling, timing
from leafgill.estimate.flow import SETTING_SD
from leafgill.tank.limits import DANGER

PAGE = (Path(__file__).parents[2] / "docs" / "safety.md").read_text(encoding="utf-8")


def section(title):
    return next(part for part in PAGE.split("\n## ") if part.startswith(title))


@pytest.mark.parametrize(
    ("title", "words"),
    [
        ("Rule 1", f"passes the animals' limit | {rules.MOST_OVER_LIMIT:.0%}"),
        ("Rule 1", f"run again every day | {rules.MOST_WHEN_RAISED:.0%}"),
        ("Rule 1", f"passes {DANGER:g} times the limit | {rules.MOST_OVER_DANGER:.0%}"),
        ("Rule 1", f"below the animals' minimum | {rules.MOST_LOW_O2:.0%}"),
        ("Rule 1", f"({SETTING_SD:.0%} of the rate"),
        ("Rule 1", f"more than {rules.ABOVE_TARGET - 1:.0%} above the target"),
        ("Rule 1", f"Within {search._NEAR_ENOUGH:.0%} below the target"),
        ("Rule 1", f"a chance of more than {search._SHUT_AT:.0%} that"),
        ("Rule 1", f"up to a chance of {tune._MOST_MENDED:.0%}"),
        ("Rule 2", f"at most {rates.FIRST_MOST:g} bubble a second, and less"),
        ("Rule 2", f"from below {rates.DOUBLING_BELOW:g} bubbles a second at most doubles"),
        ("Rule 3", f"at least {case.LEAST_WAIT_H:g} hour old"),
        ("Rule 3", f"{case.RESPONSE_PART:.0%} of its effect"),
        ("Rule 4", f"not for {situation.STALE_H:g} hours"),
        ("Rule 4", f"of the last {situation.MISFIT_COUNTS_H:g} hours contradicts"),
        ("Rule 4", f"({rules.MISFIT_SIGMA:g} of its own widths"),
        ("Rule 5", f"the last {situation.FISH_COUNTS_H:g} hours decides"),
        ("Rule 5", f"change {emergency.CHANGE_PART:.0%} of the water"),
        ("Rule 5", f"More than {say.SOON_MIN:.0f} minutes"),
        ("Rule 2", f"at most {rates.MOST_LONGER_H:g} hours in one step"),
        ("Beside the valve", f"{hours.MET_PART:.0%} of the target at lights-on"),
        ("Beside the valve", f"{hours.MOST_LEAD_H:g} hours before"),
        ("Beside the valve", f"{shift.KEPT_PART:.0%} of the level an hour before lights-off"),
        ("Beside the valve", f"{shift.LIT_KEPT_PART:.0%} in the middle of the lit hours"),
        ("Beside the valve", f"met within {gates.MET_WITHIN:.0%}, all rules hold"),
        ("Beside the valve", f"a chance of more than {telling.MOST_CHANGES:.0%}"),
        ("Beside the valve", f"up to {drift.MOST_DAYS:d} days on"),
    ],
)
def test_a_figure_on_the_page_is_the_one_in_force(title, words):
    spaced = re.sub(r"(\d)%", r"\1 %", words)
    assert spaced in section(title)


def test_figures_written_out_are_those_in_force():
    assert rates.LARGEST_PART == 1.5 and "half as much again" in section("Rule 2")
    assert pytest.approx(2.0 / 3.0) == case.LAST_THIRD and "last third" in section("Rule 4")
    beside = section("Beside the valve")
    assert hours.LEAST_LEAD_H == timing.WORTH_H == 0.5 and "half an hour" in beside
    assert timing.WORTH_LEVEL == 0.10 and "a tenth of the target" in beside
    assert timing.WORTH_GAS == 0.05 and "a twentieth of the gas" in beside
    assert rules.FAST_BREATHING_PART == 0.8 and "four fifths" in section("Rule 5")


def test_every_rule_in_force_is_on_the_page():
    numbers = set()
    for rule in rules.RULES:
        numbers |= set(re.findall(r"Rule (\d)", rule.__doc__ or ""))
    assert numbers == {"1", "2", "3", "4", "5", "6"}
    titles = {part.split(":")[0] for part in PAGE.split("\n## ")[1:] if part.startswith("Rule")}
    assert titles == {f"Rule {k}" for k in range(1, 8)}
