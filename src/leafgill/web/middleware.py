"""What stands around every page: known names, headers, the keeper at this machine, the zone."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.core.exceptions import DisallowedHost
from django.http import HttpRequest, HttpResponse
from django.http.request import split_domain_port, validate_host
from django.utils import timezone
from django.utils.cache import patch_vary_headers
from django.utils.functional import SimpleLazyObject

from leafgill.errors import InputError
from leafgill.tank.clock import zone
from leafgill.web.hosts import address, is_loopback

Next = Callable[[HttpRequest], HttpResponse]

# No script or style within a page, nothing from elsewhere, nowhere else a form could go.
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}
_YEAR_S = 31_536_000
# A request that one of these came with was handed on by another program.
_HANDED_ON = (
    "HTTP_FORWARDED",
    "HTTP_VIA",
    "HTTP_X_FORWARDED_FOR",
    "HTTP_X_FORWARDED_HOST",
    "HTTP_X_FORWARDED_PROTO",
    "HTTP_X_REAL_IP",
)


def address_of(request: HttpRequest) -> str:
    """Return who asks; the server has put a trusted proxy's client there already."""
    return str(request.META.get("REMOTE_ADDR", ""))


class KnownHost:
    """Refuses names that are not this machine's, so that no page elsewhere reads one of ours.

    A name somebody else owns can be made to lead here (DNS rebinding); a bare address cannot.
    """

    def __init__(self, get_response: Next) -> None:
        self._next = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, or raise DisallowedHost."""
        host, _ = split_domain_port(request.get_host())
        if settings.BEYOND_THIS_MACHINE and address(host) is None:
            names = [*settings.HOST_NAMES, *(n for n in settings.ALLOWED_HOSTS if n != "*")]
            if not validate_host(host, names):
                raise DisallowedHost(f"{host!r} is no name of this machine")
        return self._next(request)


class Headers:
    """Puts the headers on that keep a page to itself, and marks cookies that TLS carries."""

    def __init__(self, get_response: Next) -> None:
        self._next = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer with the headers."""
        response = self._next(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        response.headers.setdefault("Cache-Control", "private, no-cache")
        if request.is_secure():
            for cookie in response.cookies.values():
                cookie["secure"] = True
        if settings.TLS:
            response.headers["Strict-Transport-Security"] = f"max-age={_YEAR_S}"
        return response


class KeeperAtThisMachine:
    """Lets whoever sits at this machine in without a login, as the keeper without a password.

    It holds only while the server answers this machine alone, and for what nobody handed on.
    """

    def __init__(self, get_response: Next) -> None:
        self._next = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer; `request.keeper_by_loopback` tells whether the keeper was let in this way."""
        request.keeper_by_loopback = False  # type: ignore[attr-defined]
        if not settings.BEYOND_THIS_MACHINE and at_this_machine(request):
            logged_in = request.user

            def who() -> object:
                if logged_in.is_authenticated:
                    return logged_in
                keeper = open_keeper()
                request.keeper_by_loopback = keeper is not None  # type: ignore[attr-defined]
                return keeper or logged_in

            request.user = SimpleLazyObject(who)  # type: ignore[assignment]
        return self._next(request)


def at_this_machine(request: HttpRequest) -> bool:
    """Return whether a request was made on this machine, and handed on by nobody."""
    host, _ = split_domain_port(request.get_host())
    return (
        is_loopback(address_of(request))
        and is_loopback(host)
        and not any(name in request.META for name in _HANDED_ON)
        # browsers have spoken 1.1 for decades; a proxy that adds no header may still speak 1.0
        and request.META.get("SERVER_PROTOCOL") != "HTTP/1.0"
    )


def open_keeper() -> object | None:
    """Return the keeper without a password, where there is exactly one."""
    from leafgill.web.store.keepers import without_password

    found = without_password()
    return found[0] if len(found) == 1 else None


class KeepersZone:
    """Shows times in the keeper's zone where a page names none of its own."""

    def __init__(self, get_response: Next) -> None:
        self._next = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer with the keeper's zone in force."""
        response: HttpResponse
        try:
            here = zone(getattr(request.user, "time_zone", "UTC"))
        except InputError:
            here = zone("UTC")
        with timezone.override(here):
            response = self._next(request)
        if not request.path.startswith("/static/"):
            patch_vary_headers(response, ["Cookie"])
        return response
