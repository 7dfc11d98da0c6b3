"""`leafgill water`: the carbonate equilibrium in any direction; below it, new water and changes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from leafgill.cli.options import AsJson
from leafgill.cli.water_change import change
from leafgill.cli.water_minerals import minerals
from leafgill.cli.water_mix import mix

if TYPE_CHECKING:
    from leafgill.cli.water_answer import Answer, Readings

# The diary accepts the same.
PH_ACCEPTED = (3.0, 11.0)
CO2_ACCEPTED = (0.05, 300.0)
_UNIT = {"co2_mg_l": "mg/L", "ph": "pH", "kh_dkh": "dKH"}
_NAME = {"co2_mg_l": "CO2", "ph": "pH", "kh_dkh": "KH"}


water = typer.Typer(
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    invoke_without_command=True,
)
water.command("mix")(mix)
water.command("minerals")(minerals)
water.command("change")(change)


@water.callback()
def main(
    context: typer.Context,
    ph: Annotated[float | None, typer.Option(metavar="PH", help="pH of the tank water.")] = None,
    kh: Annotated[
        str | None,
        typer.Option(metavar="KH", help='Carbonate hardness in dKH, or with its unit: "71 ppm".'),
    ] = None,
    co2: Annotated[float | None, typer.Option(metavar="CO2", help="CO2 in mg/L.")] = None,
    temperature: Annotated[
        str, typer.Option(metavar="T", help='Water temperature in °C, or with its unit: "77 °F".')
    ] = "25",
    gh: Annotated[
        str | None,
        typer.Option(metavar="GH", help="Total hardness in dGH; without it 6 is assumed."),
    ] = None,
    ph_error: Annotated[
        float | None,
        typer.Option(
            metavar="PH", help="The pH is off by at most this, nine times in ten; without it 0.1."
        ),
    ] = None,
    kh_error: Annotated[
        float | None,
        typer.Option(
            metavar="DKH",
            help="The KH is off by at most this, nine times in ten; without it 0.5 dKH.",
        ),
    ] = None,
    kh_drop: Annotated[
        float | None,
        typer.Option(
            metavar="DKH", help="In place of --kh-error: dKH a drop, of a kit that rounds up."
        ),
    ] = None,
    compare: Annotated[
        bool, typer.Option("--compare", help="Show what the trade's rule 3·KH·10^(7-pH) gives.")
    ] = False,
    json_: AsJson = False,
) -> None:
    """CO2 from pH and KH with error bars, or any other direction.

    Give two of --ph, --kh and --co2; the third is worked out by the full equilibrium. The commands
    below are about new water and water changes.
    """
    if context.invoked_subcommand is not None:
        _refuse_before(context)
        return
    from leafgill.cli.console import print_json, waiting
    from leafgill.cli.water_answer import work_out

    given = {"ph": ph, "kh": kh, "co2": co2}
    if sum(value is not None for value in given.values()) != 2:
        from leafgill.errors import InputError

        raise InputError("exactly two of --ph, --kh and --co2 are needed, to work out the third")
    readings = _readings(ph, kh, co2, temperature, gh, ph_error, kh_error, kh_drop)
    with waiting() as bar:
        bar("working it out", 0.0)
        answer = work_out(readings)
    if json_:
        print_json(_as_json(answer, compare))
    else:
        _show(answer, compare)


def _refuse_before(context: typer.Context) -> None:
    """Refuse options that stand before a command below: they would be about nothing."""
    from leafgill.errors import InputError

    for name in context.params:
        source = context.get_parameter_source(name)
        if source is not None and source.name == "COMMANDLINE":
            raise InputError(
                f"--{name.strip('_').replace('_', '-')} is for leafgill water alone; options of "
                f"{context.invoked_subcommand} stand after it"
            )


def _readings(
    ph: float | None,
    kh: str | None,
    co2: float | None,
    temperature: str,
    gh: str | None,
    ph_error: float | None,
    kh_error: float | None,
    kh_drop: float | None,
) -> Readings:
    """Return the options as readings. Raises InputError naming the option that cannot be meant."""
    from leafgill.cli.water_answer import USUAL_GH_DGH, USUAL_KH_ERROR, USUAL_PH_ERROR, Readings
    from leafgill.errors import InputError
    from leafgill.tank.fields import FIELDS
    from leafgill.units import quantity

    fields = FIELDS["tank"] | FIELDS["water"]
    if kh_error is not None and kh_drop is not None:
        raise InputError("--kh-error and --kh-drop say the same thing twice; give one of them")
    if kh is None and (kh_error is not None or kh_drop is not None):
        raise InputError("--kh-error and --kh-drop need a --kh that they are the error of")
    if ph is None and ph_error is not None:
        raise InputError("--ph-error needs a --ph that it is the error of")
    kh_dkh = None if kh is None else quantity(kh, "dKH", what="--kh")
    gh_dgh = USUAL_GH_DGH if gh is None else quantity(gh, "dGH", what="--gh")
    temperature_c = quantity(temperature, "degC", what="--temperature")
    _hold("--ph", ph, PH_ACCEPTED)
    _hold("--co2", co2, CO2_ACCEPTED, " mg/L")
    _hold("--kh", kh_dkh, (0.05, (fields["kh_dkh"].accepted or (0.0, 30.0))[1]), " dKH")
    _hold("--gh", gh_dgh, fields["gh_dgh"].accepted, " dGH")
    _hold("--temperature", temperature_c, fields["temperature_c"].accepted, " °C")
    _hold("--ph-error", ph_error, (0.0, 1.0))
    _hold("--kh-error", kh_error, (0.0, 10.0), " dKH")
    _hold("--kh-drop", kh_drop, (0.05, 5.0), " dKH")
    assumed = {
        name
        for name, missing in (
            ("gh", gh is None),
            ("ph_error", ph is not None and ph_error is None),
            ("kh_error", kh is not None and kh_error is None and kh_drop is None),
        )
        if missing
    }
    return Readings(
        ph=ph,
        kh_dkh=kh_dkh,
        co2_mg_l=co2,
        temperature_c=temperature_c,
        gh_dgh=gh_dgh,
        ph_error=USUAL_PH_ERROR if ph_error is None else ph_error,
        kh_error=USUAL_KH_ERROR if kh_error is None else kh_error,
        kh_drop=kh_drop,
        assumed=frozenset(assumed),
    )


def _hold(
    what: str, value: float | None, accepted: tuple[float, float] | None, unit: str = ""
) -> None:
    from leafgill.errors import InputError

    if value is None or accepted is None:
        return
    low, high = accepted
    if not low <= value <= high:  # NaN is refused too
        raise InputError(f"{what} = {value:g} cannot be; accepted: {low:g} to {high:g}{unit}")


def _show(answer: Answer, compare: bool) -> None:
    from rich.table import Table

    from leafgill.answer import figures
    from leafgill.cli.console import screen

    console = screen()
    unit = _UNIT[answer.name]
    shown = figures.interval(answer.value, unit)
    console.print(f"[bold]{shown if unit == 'pH' else f'{_NAME[answer.name]} {shown}'}[/bold]")
    console.print("The two ends hold the truth between them nine times in ten.", style="dim")
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    for title in ("from", "reading", "may be"):
        table.add_column(title)
    for row in _rows(answer.readings):
        table.add_row(*row)
    console.print()
    console.print(table)
    if answer.name == "co2_mg_l":
        console.print()
        console.print(_checker(answer))
    for note in answer.notes:
        console.print(f"Note: {note}.")
    if compare:
        console.print()
        console.print(_comparison(answer))


def _rows(r: Readings) -> list[tuple[str, str, str]]:
    rows = []
    usual = {"ph_error": " (assumed; say --ph-error)", "kh_error": " (assumed; say --kh-error)"}
    told = {key: text if key in r.assumed else "" for key, text in usual.items()}
    if r.ph is not None:
        rows.append(("pH", f"{r.ph:.2f}", f"{r.ph_error:g} off{told['ph_error']}"))
    if r.kh_dkh is not None:
        if r.kh_drop is not None:
            off = f"{max(r.kh_dkh - r.kh_drop, 0.0):.3g} to {r.kh_dkh:.3g} dKH: drops of "
            off += f"{r.kh_drop:g}, rounded up"
        else:
            off = f"{r.kh_error:g} dKH off{told['kh_error']}"
        rows.append(("KH", f"{r.kh_dkh:.3g} dKH", off))
    if r.co2_mg_l is not None:
        rows.append(("CO2", f"{r.co2_mg_l:.3g} mg/L", "taken as exact"))
    rows.append(("temperature", f"{r.temperature_c:.3g} °C", ""))
    assumed = "assumed; say --gh" if "gh" in r.assumed else ""
    rows.append(("GH", f"{r.gh_dgh:.3g} dGH", assumed))
    return rows


def _checker(answer: Answer) -> str:
    """Say what a drop checker would show, from the low to the high end."""
    from leafgill.science import indicator

    temperature = answer.readings.temperature_c
    ends = [
        indicator.colour(indicator.reference_ph(co2, temperature))
        for co2 in (answer.value.low, answer.value.high)
    ]
    colours = ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"
    return f"A drop checker with 4 dKH reference would settle at {colours} in such water."


def _comparison(answer: Answer) -> str:
    bias = answer.rule_bias
    side = "less" if bias < 0.0 else "more"
    return (
        f"For comparison only: the trade's rule 3·KH·10^(7-pH) gives {answer.rule_co2_mg_l:.3g} "
        f"mg/L where the equilibrium gives {answer.co2_mg_l:.3g}, {abs(100.0 * bias):.0f} % "
        f"{side}. It leaves out temperature, salts and the readings' errors."
    )


def _as_json(answer: Answer, compare: bool) -> dict[str, Any]:
    from leafgill.answer.figures import interval_json

    r = answer.readings
    said: dict[str, Any] = {
        answer.name: interval_json(answer.value) | {"as_read": answer.as_read},
        "from": {
            "ph": r.ph,
            "ph_error": r.ph_error if r.ph is not None else None,
            "kh_dkh": r.kh_dkh,
            "kh_error": r.kh_error if r.kh_dkh is not None and r.kh_drop is None else None,
            "kh_drop": r.kh_drop,
            "co2_mg_l": r.co2_mg_l,
            "temperature_c": r.temperature_c,
            "gh_dgh": r.gh_dgh,
            "assumed": sorted(r.assumed),
        },
        "notes": list(answer.notes),
    }
    if compare:
        said["trade_rule"] = {"co2_mg_l": answer.rule_co2_mg_l, "bias": answer.rule_bias}
    return said
