"""What is shown when a page cannot be."""

from __future__ import annotations

import sys
from typing import Any

from django.db import DatabaseError, InternalError, OperationalError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from leafgill.web.ingest.failing import words_of


def missing(request: HttpRequest, exception: Any = None) -> HttpResponse:
    """No such page, or not for whoever asks."""
    return _page(request, 404, "There is no such page", "It was never here, or it is not yours.")


def denied(request: HttpRequest, exception: Any = None) -> HttpResponse:
    """Somebody who may read would write."""
    return _page(
        request,
        403,
        "You may read this tank, not write to it",
        "Nothing was changed. An owner of the tank can let you write.",
    )


def bad_request(request: HttpRequest, exception: Any = None) -> HttpResponse:
    """The request itself makes no sense."""
    return _page(request, 400, "That could not be understood", "Nothing was changed.")


def forgery(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form without its mark, or one that was open for too long."""
    del reason
    return _page(
        request,
        403,
        "This form was too old",
        "Nothing was changed. Go back, load the page again and send it once more.",
    )


def failed(request: HttpRequest) -> HttpResponse:
    """Something unforeseen, or the store cannot be used."""
    # the server calls this while it handles what went wrong
    wrong = sys.exc_info()[1]
    if isinstance(wrong, OperationalError | InternalError):
        return _no_store(request, wrong)
    return _page(
        request, 500, "Something went wrong here", "Nothing is lost. The log says what it was."
    )


def _no_store(request: HttpRequest, wrong: Exception) -> HttpResponse:
    """Say what keeps the database from being used; also when it cannot even be read."""
    why = words_of(wrong)
    words = f"{why[0].upper()}{why[1:]}. Nothing was changed. Try again when that is mended."
    try:
        response = _page(request, 503, "That could not be done now", words)
    except DatabaseError:
        response = HttpResponse(words, status=503, content_type="text/plain; charset=utf-8")
    response["Retry-After"] = "60"
    return response


def _page(request: HttpRequest, status: int, title: str, words: str) -> HttpResponse:
    context = {"title": title, "words": words}
    return render(request, "web/errors/error.html", context, status=status)
