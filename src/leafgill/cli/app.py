"""The commands by name. Each imports what it needs when it is run, so that help is quick."""

from __future__ import annotations

from typing import Annotated

import typer

from leafgill.cli.backup import backup, export, restore
from leafgill.cli.balance import balance
from leafgill.cli.care import care
from leafgill.cli.commission import commission
from leafgill.cli.demo import demo
from leafgill.cli.doctor import doctor
from leafgill.cli.dose import dose
from leafgill.cli.keeper import keeper
from leafgill.cli.listen import broker, listen
from leafgill.cli.next import next_
from leafgill.cli.rig import rig
from leafgill.cli.serve import serve
from leafgill.cli.supply import supply
from leafgill.cli.trouble import trouble
from leafgill.cli.watch import watch
from leafgill.cli.water import water

app = typer.Typer(
    name="leafgill",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
app.command("next")(next_)
app.command("watch")(watch)
app.command("rig")(rig)
app.command("supply")(supply)
app.command("balance")(balance)
app.command("dose")(dose)
app.command("care")(care)
app.command("trouble")(trouble)
app.command("commission")(commission)
app.command("demo")(demo)
app.command("serve")(serve)
app.command("listen")(listen)
app.command("broker")(broker)
app.command("backup")(backup)
app.command("restore")(restore)
app.command("export")(export)
app.command("doctor")(doctor)
app.add_typer(water, name="water")
app.add_typer(keeper, name="keeper")


def _version(asked: bool) -> None:
    if asked:
        from leafgill import __version__

        typer.echo(f"leafgill {__version__}")
        raise typer.Exit


@app.callback()
def main(
    version: Annotated[
        bool,
        typer.Option(
            "--version", help="Say which version this is.", callback=_version, is_eager=True
        ),
    ] = False,
) -> None:
    """From an aquarium's diary to what CO2 the water has, and the next safe step."""
