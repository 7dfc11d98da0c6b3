"""What a keeper does at the tank, on a phone and at a desk, in a real Chromium."""

import re

import pytest

from .conftest import DESK, PHONE, tank

WORKED_OUT = re.compile(r"^\s*Worked out")
SIZES = pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])


def overflow(page):
    """Return by how much the page is wider than the screen."""
    return page.evaluate("document.documentElement.scrollWidth - window.innerWidth")


@SIZES
def test_a_tank_is_set_up_from_nothing_to_the_first_step(opened, empty, size):
    page = opened(size)
    page.goto(empty + "/tanks/new/")
    page.get_by_role("button", name="Next").click()
    assert page.get_by_text("Not taken").count() or page.locator("[aria-invalid=true]").count()
    page.get_by_label("Name", exact=True).fill("Porch")
    page.get_by_label("Water in it").fill("60")
    page.get_by_role("button", name="Next").click()
    page.get_by_label("Carbonate hardness").fill("4")
    page.get_by_label("Usual temperature").fill("77 °F")
    page.get_by_role("button", name="Next").click()
    page.get_by_label("Lights go on").fill("00:00")
    page.get_by_label("Lights go off").fill("23:00")
    page.get_by_role("button", name="Next").click()
    page.get_by_label("Dwarf shrimp").check()
    page.get_by_role("button", name="Back").click()
    assert page.get_by_label("Lights go off").input_value() == "23:00"
    page.get_by_role("button", name="Next").click()
    assert page.get_by_label("Dwarf shrimp").is_checked()
    page.get_by_role("button", name="Next").click()
    page.get_by_role("button", name="To the review").click()
    assert "25 °C" in page.inner_text("main")
    assert overflow(page) <= 0
    page.get_by_role("button", name="Yes").click()
    page.get_by_text(WORKED_OUT).first.wait_for(timeout=60_000)
    said = page.inner_text("#step")
    assert re.search(r"Set the gas for the first time|Measure|Shut the gas|Leave the gas", said)
    assert re.search(r"CO2\s+[\d.]+\s+mg/L", page.inner_text("main"))
    assert overflow(page) <= 0


@SIZES
def test_readings_are_entered_and_the_figures_follow(opened, demo, size):
    page = opened(size)
    tank(page, demo)
    tile = page.locator(".tile-ph")
    tile.locator("summary").click()
    tile.get_by_label("pH").fill("66")
    tile.get_by_role("button").first.click()
    tile.get_by_text("Not taken").first.wait_for()
    assert tile.get_by_label("pH").input_value() == "66"
    tile.get_by_label("pH").fill("6.7" + str(size[0] % 7))
    tile.get_by_role("button").first.click()
    page.locator(".tile-ph .tile-last").get_by_text("6.7", exact=False).wait_for()
    page.get_by_text(WORKED_OUT).first.wait_for(timeout=60_000)
    page.get_by_role("link", name="Diary").first.click()
    assert "6.7" in page.inner_text("main")
    assert overflow(page) <= 0


_TAPPED = """
(pad, every) => new Promise(done => {
  let taps = 0;
  const clock = setInterval(() => {
    if (pad.dataset.done || taps++ >= 150) { clearInterval(clock); done(); return; }
    pad.dispatchEvent(new PointerEvent("pointerdown", { button: 0, bubbles: true }));
  }, every);
})
"""


@SIZES
def test_bubbles_are_tapped_along(opened, demo, size):
    page = opened(size)
    tank(page, demo)
    tile = page.locator(".tile-bubbles")
    tile.locator("summary").click()
    pad = tile.locator("[data-tap-pad]")
    # tapped by the page's own clock: this process is not steady enough on a busy machine
    pad.evaluate(_TAPPED, 220 + size[0] // 5)
    assert "Enough" in pad.inner_text()
    said = tile.locator("[data-tap-says]").inner_text()
    rate, low, high = (float(x) for x in re.search(
        r"([\d.]+) per s, ([\d.]+) to ([\d.]+)", said).groups())  # fmt: skip
    assert low < rate < high and 1.2 < rate < 4.0
    assert (high - low) / 2 / rate < 0.12
    before = page.locator(".tile-bubbles .tile-last").inner_text()
    tile.get_by_role("button", name="Write it down").click()
    page.wait_for_function(
        "before => document.querySelector('.tile-bubbles .tile-last').innerText !== before",
        arg=before,
    )
    shown = page.locator(".tile-bubbles .tile-last").inner_text()
    assert float(re.search(r"[\d.]+", shown).group()) == pytest.approx(rate, rel=0.03)


@SIZES
def test_a_step_is_followed(opened, demo, size):
    page = opened(size)
    # a step is replied to once: each size has a tank of its own
    tank(page, demo, "Window seat tank" if size == PHONE else "Tank under the stairs")
    page.locator("#step button.primary").click()
    page.locator("#said").get_by_text(re.compile("Noted|Written down|in the diary")).wait_for()
    page.locator("#step").get_by_text("Why, rule by rule").click()
    assert page.locator(".reasons li").count() >= 3
    page.locator("#step").get_by_role("button", name="Fish look wrong").click()
    page.wait_for_url(re.compile("emergency"))
    assert "gas" in page.inner_text("main").lower()


def test_the_emergency_works_without_javascript(opened, demo):
    page = opened(PHONE, java_script_enabled=False)
    page.goto(demo + "/?all")
    page.get_by_role("link", name="Window seat tank").first.click()
    page.get_by_role("link", name="Emergency").first.click()
    said = page.inner_text("main")
    assert "Shut the gas" in said or "Shut" in said
    assert re.search(r"min", said)
    forms = page.locator("main form")
    assert forms.count() >= 1
    forms.first.locator("button").first.click()
    assert page.locator("main").inner_text()


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_minutes_stand_on_the_emergency_page_without_javascript(opened, demo, size):
    first = opened(size)
    here = tank(first, demo)
    page = opened(size, java_script_enabled=False)
    page.goto(here + "emergency/")
    tables = page.locator("table.minutes")
    assert tables.count() == 2
    for table in tables.all():
        assert table.locator("tbody tr").count() == 10
        box = table.bounding_box()
        assert box["x"] >= 0 and box["x"] + box["width"] <= size[0]
    order = page.locator(".orders").bounding_box()
    assert order["y"] < tables.first.bounding_box()["y"]
    page.get_by_role("link", name="find out why").click()
    page.get_by_role("link", name="Fish gasp under the light").click()
    assert "First: shut the gas and move the surface." in page.inner_text("main")


def test_something_looks_wrong(opened, demo):
    page = opened(PHONE)
    here = tank(page, demo)
    for _ in range(240):  # the record is weighed after the counsel
        page.goto(here + "trouble/co2-stays-low/")
        if not page.get_by_text("not weighed yet").count():
            break
        page.wait_for_timeout(500)
    page.goto(here + "care/")
    page.get_by_role("link", name="Something looks wrong?").click()
    page.get_by_role("link", name="CO2 does not rise").click()
    said = page.inner_text("main")
    assert "What the record says" in said
    assert "Check:" in said
    page.get_by_text("How each figure was worked out").click()
    figure = page.locator(".opens").first
    figure.locator("summary").click()
    assert "Worked out as" in figure.inner_text()


def test_a_probe_file_comes_in_by_columns(opened, demo, tmp_path):
    file = tmp_path / "logger.csv"
    rows = "".join(f"02/04/2025 12:{m:02d};6,{70 + m % 3};24,1\n" for m in range(5))
    file.write_text("Zeit;Kanal A;Kanal B\n" + rows)
    page = opened(DESK)
    tank(page, demo)
    page.get_by_role("link", name="Diary").first.click()
    page.get_by_role("link", name="Files in and out").click()
    card = page.locator("form", has=page.locator("input[type=file]")).nth(1)
    card.locator("input[type=file]").set_input_files(str(file))
    card.get_by_role("button", name="Look at it").click()
    page.wait_for_url(re.compile("columns"))
    selects = page.locator("main select")
    assert selects.count() >= 2, page.inner_text("main")
    for select in selects.all():
        label = select.evaluate("e => e.closest('.field, tr, th, td, label').innerText")
        options = select.locator("option").all_inner_texts()
        want = "time" if "Zeit" in label else "pH" if "Kanal A" in label else None
        choice = next((o for o in options if want and want.lower() in o.lower()), None)
        if choice:
            select.select_option(label=choice)
    page.locator("main form button.primary").first.click()
    assert "5" in page.inner_text("main")
    page.locator("main form button.primary").first.click()
    page.wait_for_url(re.compile("files"))


def test_the_card_is_printed(opened, demo, tmp_path):
    page = opened(DESK)
    here = tank(page, demo)
    page.goto(here + "card/")
    made = page.pdf(path=str(tmp_path / "card.pdf"), prefer_css_page_size=True)
    assert made.startswith(b"%PDF") and len(made) > 5_000
    half = page.pdf(format="A5")
    assert len(re.findall(rb"/Type\s*/Page[^s]", half)) == 1
    said = page.inner_text("main")
    assert "Tank under the stairs" in page.inner_text("body")
    assert "mg/L" in said
