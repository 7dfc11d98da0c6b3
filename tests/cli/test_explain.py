"""How figures open on a terminal."""

from rich.console import Console

from leafgill.advise.figure import Figure, Input
from leafgill.cli.explain import print_figures

GAS = Figure("gas_g_per_day", "Gas a day", 21.04, "g/day", "need / share",
             (Input("need", 15.1, "g/day", "prior"),), "balance of mass", 8.06, 52.3)  # fmt: skip
SURE = Figure("charge_kg", "Charge", 2.0, "kg", "as it is sold", (), "tank file")


def printed(capsys, figures):
    console = Console(width=100, highlight=False, no_color=True)
    print_figures(console, figures)
    return capsys.readouterr().out


def test_each_figure_opens_to_formula_inputs_and_source(capsys):
    out = printed(capsys, [GAS, SURE])
    assert "Gas a day: 21 g/day, 8.06 to 52.3" in out
    assert "worked out as: need / share" in out
    assert "from: need 15.1 g/day (prior)" in out
    assert "source: balance of mass" in out
    assert "Charge: 2 kg" in out
    assert "nine times in ten" in out


def test_a_figure_that_is_used_twice_is_told_once(capsys):
    assert printed(capsys, [GAS, GAS, GAS]).count("Gas a day") == 1
