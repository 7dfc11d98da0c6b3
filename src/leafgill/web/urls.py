"""Every address of the app; each part of the views brings its own."""

from __future__ import annotations

from importlib import import_module
from itertools import chain

PARTS = (
    "today",
    "emergency",
    "charts",
    "diary",
    "bringing_in",
    "sensors",
    "taking_out",
    "rig",
    "balance",
    "water",
    "bottles",
    "care",
    "alerts",
    "telling",
    "trouble",
    "paper",
    "about",
    "setup",
    "settings",
    "calendar",
    "sharing",
    "people",
    "health",
)
_MODULES = (import_module(f"leafgill.web.views.{part}") for part in PARTS)

urlpatterns = list(chain.from_iterable(module.urlpatterns for module in _MODULES))
handler400 = "leafgill.web.views.errors.bad_request"
handler403 = "leafgill.web.views.errors.denied"
handler404 = "leafgill.web.views.errors.missing"
handler500 = "leafgill.web.views.errors.failed"
