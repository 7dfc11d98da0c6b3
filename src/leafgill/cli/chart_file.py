"""A chart as a file: PNG, SVG or PDF, rendered on this machine."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from leafgill.errors import InputError, quoted

SUFFIXES = (".png", ".svg", ".pdf")


def check_chart_path(path: Path) -> None:
    """Raise InputError when no chart can be written there, before anything is worked out."""
    if path.suffix.lower() not in SUFFIXES:
        raise InputError(
            f"--chart {quoted(path.name)}: a chart is written as {', '.join(SUFFIXES)}; "
            "end the file's name so"
        )
    if path.is_dir():
        raise InputError(f"--chart {quoted(path.name)} is a folder, not a file")
    folder = path.parent
    if not folder.is_dir():
        raise InputError(f"--chart {quoted(path.name)}: there is no folder {folder}")
    if not os.access(path if path.exists() else folder, os.W_OK):
        raise InputError(f"--chart {quoted(path.name)} may not be written by this user")


def write_chart(chart: Any, path: Path) -> None:
    """Write a chart (Altair). Raises InputError when the file cannot be written."""
    import vl_convert

    specification = chart.to_dict()
    suffix = path.suffix.lower()
    if suffix == ".png":
        data = vl_convert.vegalite_to_png(specification, scale=2.0)
    elif suffix == ".svg":
        data = vl_convert.vegalite_to_svg(specification).encode()
    else:
        data = vl_convert.vegalite_to_pdf(specification)
    try:
        path.write_bytes(data)
    except OSError as wrong:
        raise InputError(
            f"--chart {quoted(path.name)} cannot be written: {wrong.strerror}"
        ) from None
