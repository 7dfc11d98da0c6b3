"""Logging in and out."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth import views as auth_views
from django.contrib.auth.forms import AuthenticationForm
from django.urls import path

from leafgill.web.forms.field import FormField


class LoginForm(AuthenticationForm):
    """Name and password; wrong ones are told in one line that tells neither apart."""

    error_messages = {  # noqa: RUF012
        "invalid_login": "Name and password do not belong together.",
        "inactive": "Name and password do not belong together.",
    }
    username = forms.CharField(max_length=80)

    def page_fields(self) -> list[FormField]:
        """Return the fields as the pages draw them; a password is never put back."""
        typed = self.data.get("username", "") if self.is_bound else ""
        faults = " ".join(str(fault) for fault in self.non_field_errors())
        return [
            FormField("username", "Name", "text", typed, error=faults, autocomplete="username"),
            FormField("password", "Password", "password", "", autocomplete="current-password"),
        ]


class Login(auth_views.LoginView):
    """The page for name and password."""

    form_class = LoginForm
    template_name = "web/people/login.html"
    redirect_authenticated_user = True

    def form_invalid(self, form: Any) -> Any:
        """Answer with the page and a status that says it was refused."""
        response = super().form_invalid(form)
        response.status_code = 422
        return response


urlpatterns = [
    path("login/", Login.as_view(), name="login"),
    path("logout/", auth_views.LogoutView.as_view(), name="logout"),
]
