"""Every chart of the pages: one specification each, in the sizes and themes pages need."""

from __future__ import annotations

import gzip
import secrets
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from importlib import metadata
from pathlib import Path
from typing import Any

import vl_convert

from leafgill.charts.balance import balance_chart
from leafgill.charts.balance_picture import BalancePicture
from leafgill.charts.day import day_chart
from leafgill.charts.dress import DARK, LIGHT, Look
from leafgill.charts.night import night_chart
from leafgill.charts.night_picture import NightPicture
from leafgill.charts.picture import DayPicture
from leafgill.charts.record import record_chart
from leafgill.charts.record_picture import RecordPicture

Spec = dict[str, Any]

LOOKS: dict[str, Look] = {"light": LIGHT, "dark": DARK}
PHONE, DESK, PAPER = "phone", "desk", "paper"
SIZES = (PHONE, DESK, PAPER)


@dataclass(frozen=True)
class Plane:
    """Width and height [px] of a chart's plane, and the room around all of it."""

    width: int
    height: int
    padding: int = 4


@dataclass(frozen=True, slots=True)
class Picture:
    """A chart of a page: its words, and its addresses.

    `urls` and `specs` by size and theme, `library` the script that draws the specs, `files` by the
    file's kind.
    """

    what: str
    words: str
    urls: dict[str, dict[str, str]] = field(default_factory=dict)
    specs: dict[str, dict[str, str]] = field(default_factory=dict)
    library: str = ""
    files: dict[str, str] = field(default_factory=dict)


# A phone of 390 px leaves a chart 358 px, its axis included; "paper" is for files, with a title.
DAY = {PHONE: Plane(312, 250), DESK: Plane(690, 330), PAPER: Plane(760, 340, 20)}
NIGHT = {PHONE: Plane(312, 170), DESK: Plane(690, 200), PAPER: Plane(760, 220, 20)}
WEEKS = {PHONE: Plane(300, 90), DESK: Plane(690, 110), PAPER: Plane(760, 110, 20)}
RECORD = {PHONE: Plane(300, 0), DESK: Plane(690, 0), PAPER: Plane(760, 0, 20)}


def day_spec(picture: DayPicture, size: str, theme: str, *, live: bool = False) -> Spec:
    """Return the specification of a day's CO2; a `live` one follows the pointer."""
    plane = DAY[size]
    shown = picture if size == PAPER else replace(picture, title="", subtitle="")
    chart = day_chart(shown, LOOKS[theme], plane.width, plane.height, plane.padding, pointed=live)
    return _plain(chart)


def night_spec(picture: NightPicture, size: str, theme: str) -> Spec:
    """Return the specification of the oxygen through a night."""
    plane = NIGHT[size]
    shown = picture if size == PAPER else replace(picture, title="", subtitle="")
    return _plain(night_chart(shown, LOOKS[theme], plane.width, plane.height, plane.padding))


def record_spec(picture: RecordPicture, size: str, theme: str) -> Spec:
    """Return the specification of the pH and the bubbles of some days."""
    plane = RECORD[size]
    shown = picture if size == PAPER else replace(picture, title="", subtitle="")
    return _plain(record_chart(shown, LOOKS[theme], plane.width, plane.padding))


def weeks_spec(picture: BalancePicture, size: str, theme: str) -> Spec:
    """Return the specification of the nutrients through the weeks."""
    plane = WEEKS[size]
    shown = picture if size == PAPER else replace(picture, title="", subtitle="")
    return _plain(balance_chart(shown, LOOKS[theme], plane.width, plane.height, plane.padding))


def library_version() -> str:
    """Return what names the script that draws charts on a page."""
    return metadata.version("vl-convert-python")


def library_packed(folder: Path) -> bytes:
    """Return that script, gzipped; it is made once and kept in a folder.

    It takes some seconds to make. Where the folder cannot be written it is made each time.
    """
    kept = folder / f"chart-library-{library_version()}.js.gz"
    with suppress(OSError):
        return kept.read_bytes()
    # its own type says that it takes a program; without one it is the library alone
    script = str(vl_convert.javascript_bundle())  # type: ignore[call-arg]
    packed = gzip.compress(script.encode(), 9, mtime=0)
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        made = folder / f".{kept.name}.{secrets.token_hex(4)}"
        made.write_bytes(packed)
        made.replace(kept)
    return packed


def _plain(chart: Any) -> Spec:
    # the tests hold the same charts against their schema; here that would double the time
    spec: Spec = chart.to_dict(validate=False)
    return spec


def _svg(spec: Spec) -> bytes:
    return str(vl_convert.vegalite_to_svg(spec)).encode()


def _png(spec: Spec) -> bytes:
    return bytes(vl_convert.vegalite_to_png(spec, scale=2.0))


def _pdf(spec: Spec) -> bytes:
    return bytes(vl_convert.vegalite_to_pdf(spec))


# What a chart can be had as: its type, and how it is made of a specification.
FORMS: dict[str, tuple[str, Callable[[Spec], bytes]]] = {
    "svg": ("image/svg+xml", _svg),
    "png": ("image/png", _png),
    "pdf": ("application/pdf", _pdf),
}
