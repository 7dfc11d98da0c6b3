"""Arguments and options that several commands take, with their words."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

TankFile = Annotated[Path, typer.Argument(metavar="TANK", help="The tank's description (TOML).")]
DiaryFile = Annotated[Path, typer.Argument(metavar="DIARY", help="What was seen and done (CSV).")]
ProbeFile = Annotated[
    Path | None, typer.Option("--probe", metavar="FILE", help="A probe's readings (CSV).")
]
Now = Annotated[
    str | None,
    typer.Option(
        "--now", metavar="TIME", help="Ask for this moment, ISO 8601; without it the present."
    ),
]
Explain = Annotated[bool, typer.Option("--explain", help="Show how each figure was worked out.")]
AsJson = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
