"""The app as Django knows it."""

from __future__ import annotations

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Pages, store and worker of Leaf & Gill."""

    name = "leafgill.web"
    label = "web"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Leaf & Gill"
