"""What the first page would wait for, done beside the server's start."""

from __future__ import annotations

import logging
import threading

log = logging.getLogger(__name__)


def warm_pages() -> None:
    """Load what draws charts and what knows the gas in a cylinder, by using each once."""
    import numpy as np

    from leafgill.charts.night_picture import NightPicture
    from leafgill.web import charts
    from leafgill.web.emergency_page import emergency_of
    from leafgill.web.forms.habits import Habits

    try:
        emergency_of(None, None, Habits())
        two = np.array([0.0, 1.0])
        night = NightPicture("", "", 1.0, two, two, two, two, 0.5, (), ())
        _, draw = charts.FORMS["svg"]
        draw(charts.night_spec(night, charts.PHONE, "light"))
    except Exception:
        # a page that needs it will say what is wrong with it
        log.exception("warming the pages broke")


def start() -> None:
    """Warm the pages in a thread of its own; returns at once."""
    threading.Thread(target=warm_pages, name="warming", daemon=True).start()
