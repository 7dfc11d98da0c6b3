"""Which tanks a keeper may see and change."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest

from leafgill.web.models import Share, TankRow

MAY_WRITE = ("owner", "write")


def tank_for(request: HttpRequest, public_id: str, *, write: bool = False) -> TankRow:
    """Return the tank of an address, if whoever asks has it.

    Raises Http404 for a tank that is none or somebody else's, so that nothing tells the two
    apart, and PermissionDenied where a reader would `write`. Notes the role on the request.
    """
    share = (
        Share.objects.select_related("tank")
        .filter(tank__public_id=public_id, keeper=request.user.pk)
        .first()
    )
    if share is None:
        raise Http404("There is no such tank.")
    request.tank_role = share.role  # type: ignore[attr-defined]
    if write and share.role not in MAY_WRITE:
        raise PermissionDenied("This tank is shared with you to read.")
    return share.tank
