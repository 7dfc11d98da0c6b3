"""Sharing a tank: who has it, invitations by link, roles, leaving."""

from __future__ import annotations

from typing import Any

from django.contrib.auth import login
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from leafgill.errors import InputError
from leafgill.tank.clock import zone
from leafgill.web.clock import now as clock_now
from leafgill.web.forms.keeper_form import new_keeper, new_keeper_fields
from leafgill.web.models import Invitation, Share, TankRow
from leafgill.web.store import sharing
from leafgill.web.store.access import tank_for
from leafgill.web.store.tanks import spec_of
from leafgill.web.views.helping import keeper_of, owned_tank, owns, stamp

_ROLE_WORDS = {
    sharing.OWNER: "owner: everything, sharing included",
    sharing.WRITE: "may read and write",
    sharing.READ: "may read",
}


@login_required
@require_GET
def people(request: HttpRequest, public_id: str) -> HttpResponse:
    """List who has a tank; its owners also see the open invitations."""
    return _page(request, tank_for(request, public_id))


def _page(
    request: HttpRequest, row: TankRow, *, wrong: str = "", link: str = "", status: int = 200
) -> HttpResponse:
    keeper = keeper_of(request)
    shares = Share.objects.filter(tank=row).select_related("keeper").order_by("keeper__username")
    owner = owns(row, request)
    context = {
        "tank": row,
        "shares": [
            {"share": share, "words": _ROLE_WORDS[share.role], "me": share.keeper_id == keeper.pk}
            for share in shares
        ],
        "owner": owner,
        "may_leave": not owner or sum(share.role == sharing.OWNER for share in shares) > 1,
        "roles": [(role, _ROLE_WORDS[role]) for role in sharing.ROLES],
        "invitations": _invitations(row) if owner else [],
        "wrong": wrong,
        "link": link,
    }
    return render(request, "web/sharing/people.html", context, status=status)


def _invitations(row: TankRow) -> list[dict[str, Any]]:
    here = zone(spec_of(row).timezone)
    return [
        {
            "number": found.pk,
            "words": _ROLE_WORDS[found.role],
            "until": stamp(found.expires_at.astimezone(here)),
        }
        for found in sharing.open_invitations(row, clock_now())
    ]


@login_required
@require_POST
@never_cache
def invite(request: HttpRequest, public_id: str) -> HttpResponse:
    """Make an invitation, and show its link this once."""
    row = owned_tank(request, public_id)
    try:
        token = sharing.invite(row, request.POST.get("role", ""), keeper_of(request), clock_now())
    except InputError as wrong:
        return _page(request, row, wrong=str(wrong), status=422)
    link = request.build_absolute_uri(reverse("invitation", args=[token]))
    return _page(request, row, link=link)


@login_required
@require_POST
def call_back(request: HttpRequest, public_id: str, number: int) -> HttpResponse:
    """Make an invitation work no more."""
    row = owned_tank(request, public_id)
    Invitation.objects.filter(tank=row, pk=number, used_by__isnull=True).delete()
    return redirect("people", public_id=public_id)


@login_required
@require_POST
def change_role(request: HttpRequest, public_id: str, keeper_id: int) -> HttpResponse:
    """Give somebody another role, or take the share away."""
    row = owned_tank(request, public_id)
    try:
        if request.POST.get("role") == "none":
            sharing.end_share(row, keeper_id)
        else:
            sharing.set_role(row, keeper_id, request.POST.get("role", ""))
    except InputError as wrong:
        return _page(request, row, wrong=str(wrong), status=422)
    return redirect("people", public_id=public_id)


@login_required
@require_POST
def leave(request: HttpRequest, public_id: str) -> HttpResponse:
    """Give up one's own share."""
    row = tank_for(request, public_id)
    try:
        sharing.end_share(row, keeper_of(request).pk)
    except InputError as wrong:
        return _page(request, row, wrong=str(wrong), status=422)
    return redirect("tanks")


@require_http_methods(["GET", "POST"])
@never_cache
def invitation(request: HttpRequest, token: str) -> HttpResponse:
    """Show what a link invites to; accepting uses it up.

    Who has no login yet makes one here: the link is the right to it.
    """
    found = sharing.invitation_of(token, clock_now())
    if found is None:
        return render(request, "web/sharing/gone.html", status=404)
    known = request.user.is_authenticated
    if request.method == "GET":
        return _invitation_page(request, found, token)
    if not known:
        form = new_keeper(request.POST)
        if form.keeper is None:
            return _invitation_page(request, found, token, errors=form.errors, status=422)
        form.keeper.save()
        login(request, form.keeper, backend="django.contrib.auth.backends.ModelBackend")
    row = sharing.accept(found, keeper_of(request), clock_now())
    if row is None:
        return render(request, "web/sharing/gone.html", status=404)
    return redirect("today", public_id=row.public_id)


def _invitation_page(
    request: HttpRequest,
    found: Invitation,
    token: str,
    *,
    errors: dict[str, str] | None = None,
    status: int = 200,
) -> HttpResponse:
    context = {
        "invitation": found,
        "token": token,
        "words": _ROLE_WORDS[found.role],
        "fields": new_keeper_fields(request.POST.get("username", ""), errors or {}),
    }
    return render(request, "web/sharing/invitation.html", context, status=status)


urlpatterns = [
    path("tank/<slug:public_id>/people/", people, name="people"),
    path("tank/<slug:public_id>/people/invite/", invite, name="invite"),
    path("tank/<slug:public_id>/people/invitation/<int:number>/", call_back, name="call_back"),
    path("tank/<slug:public_id>/people/<int:keeper_id>/", change_role, name="change_role"),
    path("tank/<slug:public_id>/leave/", leave, name="leave"),
    path("invitation/<str:token>/", invitation, name="invitation"),
]
