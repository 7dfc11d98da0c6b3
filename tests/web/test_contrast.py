"""WCAG 2.2, success criteria 1.4.3 (text 4.5:1) and 1.4.11 (what is not text 3:1), numerically.

Relative luminance and the ratio are those of WCAG 2.2's definitions (cited from memory, not
checked against the document); black on white is 21:1 by both.
"""

import re
from pathlib import Path

import pytest

import leafgill.web
from leafgill.charts.dress import DARK, LIGHT

TOKENS = Path(leafgill.web.__file__).parent / "static/web/tokens.css"
SHEETS = sorted(TOKENS.parent.glob("*.css"))
GROUNDS = ("page", "surface", "sunken", "water-soft", "accent-soft", "danger-soft")
TEXT = [
    *(("ink", ground) for ground in GROUNDS),
    *(("ink-faint", ground) for ground in GROUNDS),
    *(("accent-ink", ground) for ground in GROUNDS),
    *(("danger-ink", ground) for ground in GROUNDS),
    ("on-accent", "accent"),
    ("on-danger", "danger"),
]
SHAPES = [
    (what, ground)
    for what in ("line-strong", "accent", "danger", "water")
    for ground in ("page", "surface", "sunken")
]


def themes():
    """Return {theme: {token: colour}} as the sheet has it."""
    text = TOKENS.read_text(encoding="utf-8")
    blocks = re.findall(r"([^{}]+)\{([^{}]+)\}", text)
    found = {}
    for selector, body in blocks:
        name = selector.split("*/")[-1].strip()
        colours = dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})\s*;", body))
        if colours:
            found[name] = colours
    return found


LIGHT_TOKENS, DARK_BY_DEVICE, DARK_BY_CHOICE = themes().values()


def luminance(colour):
    parts = [int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def ratio(one, other):
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_ratio_is_that_of_black_on_white():
    assert ratio("#000000", "#ffffff") == pytest.approx(21.0)
    assert ratio("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("tokens", [LIGHT_TOKENS, DARK_BY_CHOICE], ids=["light", "dark"])
@pytest.mark.parametrize(("what", "ground"), TEXT, ids="-".join)
def test_words_can_be_read(tokens, what, ground):
    assert ratio(tokens[what], tokens[ground]) >= 4.5


@pytest.mark.parametrize("tokens", [LIGHT_TOKENS, DARK_BY_CHOICE], ids=["light", "dark"])
@pytest.mark.parametrize(("what", "ground"), SHAPES, ids="-".join)
def test_edges_and_marks_can_be_seen(tokens, what, ground):
    assert ratio(tokens[what], tokens[ground]) >= 3.0


def test_dark_is_the_same_by_device_and_by_choice():
    assert DARK_BY_DEVICE == DARK_BY_CHOICE
    assert set(LIGHT_TOKENS) == set(DARK_BY_CHOICE)


@pytest.mark.parametrize(
    ("look", "tokens"), [(LIGHT, LIGHT_TOKENS), (DARK, DARK_BY_CHOICE)], ids=["light", "dark"]
)
def test_charts_lie_on_the_surface_and_can_be_read(look, tokens):
    assert look.paper == tokens["surface"]
    assert [ratio(c, look.paper) >= 4.5 for c in (look.ink, look.faint, look.danger)] == [True] * 3
    assert [ratio(c, look.paper) >= 3.0 for c in (look.line, look.gas, look.air)] == [True] * 3


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.name)
def test_sheets_use_only_tokens_that_are_there(sheet):
    known = set(re.findall(r"(--[\w-]+)\s*:", TOKENS.read_text(encoding="utf-8")))
    used = set(re.findall(r"var\((--[\w-]+)", sheet.read_text(encoding="utf-8")))
    assert used <= known


def test_what_is_pressed_is_at_least_44_pixels():
    # 2.75 rem at the sheet's 106.25 % of 16 px
    touch = re.search(r"--touch:\s*([\d.]+)rem", TOKENS.read_text(encoding="utf-8"))
    app = (TOKENS.parent / "app.css").read_text(encoding="utf-8")
    size = re.search(r"font:\s*([\d.]+)%", app)
    assert float(touch[1]) * 16.0 * float(size[1]) / 100.0 >= 44.0
    button = re.search(r"\n\.button \{([^}]*)\}", app)[1]
    assert "min-block-size: var(--touch)" in button
