"""Whether the app is well, for a program that watches over it."""

from __future__ import annotations

import time
from typing import Any

from django.db import DatabaseError, connection
from django.http import HttpRequest, JsonResponse
from django.urls import path
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from leafgill.web import pulse
from leafgill.web.middleware import at_this_machine
from leafgill.web.running import BROKEN


@require_GET
@never_cache
def healthz(request: HttpRequest) -> JsonResponse:
    """Answer 200 while the app can do its work, 503 with what it cannot.

    It asks for no login and tells nothing of any tank; what runs beside is told by name to this
    machine alone. A runner that broke and is to be started again is no reason for 503: ending the
    app would mend it no sooner.
    """
    fine = _database_answers()
    told: dict[str, Any] = {
        "status": "ok" if fine else "the database does not answer",
    }
    if at_this_machine(request):
        inside = pulse.gathered(time.time())
        told["worker"] = inside["worker"]
        told["runners"] = {at["name"]: at["doing"] for at in inside["runners"]}
        told["broken"] = [at["name"] for at in inside["runners"] if at["doing"] == BROKEN]
    return JsonResponse(told, status=200 if fine else 503)


def _database_answers() -> bool:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1 FROM web_tankrow LIMIT 1")
    except DatabaseError:
        return False
    return True


urlpatterns = [path("healthz", healthz, name="healthz")]
