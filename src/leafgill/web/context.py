"""What every page knows of who looks at it."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest


def person(request: HttpRequest) -> dict[str, Any]:
    """Return whether the keeper may write to the tank of this page, and the theme."""
    role = getattr(request, "tank_role", None)
    user = getattr(request, "user", None)
    return {
        "role": role,
        "may_write": role in ("owner", "write"),
        "theme": getattr(user, "theme", "auto"),
    }
