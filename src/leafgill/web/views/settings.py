"""A keeper's own settings and password."""

from __future__ import annotations

from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from leafgill.web.forms.keeper_form import (
    password_fields,
    read_settings,
    settings_fields,
    settings_of,
    wrong_password,
)
from leafgill.web.store import away
from leafgill.web.views.helping import keeper_of

_TOLD = {"saved": "Saved.", "password": "The password is changed."}


@login_required
@require_http_methods(["GET", "POST"])
def settings(request: HttpRequest) -> HttpResponse:
    """Show or change how numbers, times and pages look to the keeper."""
    keeper = keeper_of(request)
    if request.method == "GET":
        return _page(request, settings_of(keeper), {})
    values, errors = read_settings(request.POST)
    if errors:
        return _page(request, values, errors, status=422)
    if values != settings_of(keeper):
        for name, value in values.items():
            setattr(keeper, name, value)
        keeper.save(update_fields=list(values))
    return redirect(f"{reverse('settings')}?told=saved")


@login_required
@require_POST
@sensitive_post_parameters()
def password(request: HttpRequest) -> HttpResponse:
    """Change the keeper's password."""
    keeper = keeper_of(request)
    errors = wrong_password(request.POST, keeper)
    if keeper.has_usable_password() and not keeper.check_password(request.POST.get("old", "")):
        errors["old"] = "That is not the password."
    if errors:
        return _page(request, settings_of(keeper), {}, errors, status=422)
    keeper.set_password(request.POST["new"])
    keeper.save(update_fields=["password"])
    update_session_auth_hash(request, keeper)
    return redirect(f"{reverse('settings')}?told=password")


def _page(
    request: HttpRequest,
    values: dict[str, str],
    errors: dict[str, str],
    wrong: dict[str, str] | None = None,
    status: int = 200,
) -> HttpResponse:
    keeper = keeper_of(request)
    context = {
        "fields": settings_fields(values, errors),
        "password_fields": password_fields(wrong or {}, has_one=keeper.has_usable_password()),
        "away": away.put_away_by(keeper),
        "told": _TOLD.get(request.GET.get("told", ""), ""),
    }
    return render(request, "web/settings.html", context, status=status)


urlpatterns = [
    path("settings/", settings, name="settings"),
    path("settings/password/", password, name="settings_password"),
]
