"""Every page, light and dark, phone and desk: nothing that axe calls serious or critical."""

import pytest

from .conftest import DESK, PHONE, tank

HERE = (
    "", "diary/", "diary/add/", "diary/add/kh/", "diary/add/drop_checker/", "diary/add/gas_day/",
    "rig/", "rig/together/", "balance/", "water/", "water/?for=mix&aim=kh&to=3",
    "water/?for=minerals&kh=4&gh=6", "bottles/", "bottles/?what1=nitrate&raise1=5",
    "care/", "trouble/", "trouble/gasping-at-dawn/", "trouble/co2-stays-low/",
    "about/", "about/water/", "people/", "files/", "sensors/", "card/",
    "report/", "emergency/", "charts/", "alerts/",
)  # fmt: skip
ANYWHERE = ("/?all", "/settings/", "/settings/calendar/", "/settings/telling/", "/tanks/new/",
            "/archive/", "/emergency/")  # fmt: skip
GRAVE = ("serious", "critical")


def faults(page):
    """Return what axe finds grave, each with the first place it was found at."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [
        (fault["id"], fault["impact"], fault["nodes"][0]["html"][:120])
        for fault in found
        if fault["impact"] in GRAVE
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_no_page_has_a_grave_fault(opened, demo, size, scheme):
    # axe brings a script of its own into the page, which the pages' policy rightly refuses
    page = opened(size, color_scheme=scheme, bypass_csp=True)
    here = tank(page, demo)
    found = {}
    page.goto(f"{here}sensors/")
    sensor = demo + page.locator(".sensors a").first.get_attribute("href")
    addresses = [*(here + rest for rest in HERE), sensor, *(demo + rest for rest in ANYWHERE)]
    for address in addresses:
        answer = page.goto(address)
        assert answer.status == 200, address
        wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        told = [*faults(page), *([("wider than the screen", wide, "")] if wide > 0 else [])]
        if told:
            found[address.replace(demo, "")] = told
    assert found == {}
