"""The commands by name. Each imports what it needs when it is run, so that help is quick."""

from __future__ import annotations

from typing import Annotated

import typer

from leafgill.cli.commission import commission
from leafgill.cli.demo import demo
from leafgill.cli.keeper import keeper
from leafgill.cli.next import next_
from leafgill.cli.rig import rig
from leafgill.cli.serve import serve
from leafgill.cli.supply import supply
from leafgill.cli.water import water

app = typer.Typer(
    name="leafgill",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
app.command("next")(next_)
app.command("water")(water)
app.command("rig")(rig)
app.command("supply")(supply)
app.command("commission")(commission)
app.command("demo")(demo)
app.command("serve")(serve)
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
