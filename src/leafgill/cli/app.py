"""The commands by name. Each imports what it needs when it is run, so that help is quick."""

from __future__ import annotations

import typer

from leafgill.cli.water import water

app = typer.Typer(
    name="leafgill",
    help="From an aquarium's diary to what CO2 the water has, and the next safe step.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
app.command("water")(water)
