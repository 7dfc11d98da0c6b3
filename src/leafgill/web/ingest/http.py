"""`POST /in/NAME/`: a sensor's readings over HTTP, with the sensor's own token.

No session, no cookie: the token is the only right, so that no form on another page can send as
somebody. Answered with 200 only when the readings are on the disk.
"""

from __future__ import annotations

import json
import math
import re

from django.http import HttpRequest, HttpResponse
from django.http.request import RawPostDataException, UnreadablePostError

from leafgill.errors import InputError
from leafgill.web.clock import now as clock_now
from leafgill.web.ingest import counter
from leafgill.web.ingest.body import LARGEST, read_body
from leafgill.web.ingest.failing import StoreError, UnsureError
from leafgill.web.ingest.parcel import Parcel, Taken, packed
from leafgill.web.ingest.rates import Rates
from leafgill.web.ingest.tokens import DOORS, Door
from leafgill.web.middleware import Next, address_of

# A sensor that sends more often than this is out of hand; what it has to catch up on it can send
# many at once.
SENSOR_BURST, SENSOR_PER_S = 120, 20
# Wrong tokens from one address.
WRONG_BURST, WRONG_PER_S = 30, 0.5
_WITHIN_S = 20.0
_TRY_AGAIN_S = 15

_of_sensor = Rates(SENSOR_BURST, SENSOR_PER_S)
_of_wrong = Rates(WRONG_BURST, WRONG_PER_S)
_ADDRESS = re.compile(r"/in/([a-z0-9]{1,16})/?", re.ASCII)


class Readings:
    """Answers what sensors send, before anything is looked up that only people need."""

    def __init__(self, get_response: Next) -> None:
        self._next = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, or hand a page's request on."""
        found = _ADDRESS.fullmatch(request.path_info)
        return self._next(request) if found is None else take_in(request, found[1])


def take_in(request: HttpRequest, slug: str) -> HttpResponse:
    """Take readings in."""
    if request.method != "POST":
        answer = _told(405, "readings are sent by POST")
        answer["Allow"] = "POST"
        return answer
    try:
        door = DOORS.open(slug, _token(request))
    except StoreError as wrong:
        return _later(503, str(wrong), _TRY_AGAIN_S)
    if door is None:
        # right ones from the same address go on: a house's sensors may all come by one
        wait_s = _of_wrong.wait_s(address_of(request))
        if wait_s:
            return _later(429, "too many wrong tokens from here", wait_s)
        answer = _told(401, "there is no such sensor, or the token is not its own")
        answer["WWW-Authenticate"] = 'Bearer realm="readings"'
        return answer
    wait_s = _of_sensor.wait_s(slug)
    if wait_s:
        return _later(429, f"more than {SENSOR_PER_S} a second; send many at once", wait_s)
    return _take(request, door)


def _token(request: HttpRequest) -> str:
    scheme, _, token = request.META.get("HTTP_AUTHORIZATION", "").partition(" ")
    return token.strip() if scheme.lower() == "bearer" else ""


def _take(request: HttpRequest, door: Door) -> HttpResponse:
    length = request.META.get("CONTENT_LENGTH") or "0"
    if not length.isdigit() or int(length) > LARGEST:
        return _told(413, f"more than {LARGEST} bytes at once; send it in parts")
    try:
        data = request.body
    except (UnreadablePostError, RawPostDataException, OSError):
        return _told(400, "the readings did not come in whole")
    now = clock_now()
    content_type = request.META.get("CONTENT_TYPE", "").lower()
    unread = ""
    try:
        sent = read_body(data, content_type, door.sender.kind, door.timezone, now)
        parcel = packed(door.sender, sent.times_s, sent.values, refused=sent.refused, why=sent.why)
    except InputError as wrong:
        unread = str(wrong)
        parcel = packed(door.sender, [], [], refused=1, why=[unread])
    try:
        taken = counter.COUNTER.hand_over(parcel, _WITHIN_S)
    except UnsureError as wrong:
        return _later(503, f"{wrong}; whether it is kept is not known, send it again", _TRY_AGAIN_S)
    except StoreError as wrong:
        return _later(503, f"{wrong}; nothing was taken, send it again", _TRY_AGAIN_S)
    return _answer(parcel, taken, unread)


def _answer(parcel: Parcel, taken: Taken, unread: str) -> HttpResponse:
    if unread:
        return _told(400, unread)
    if not parcel.times_s.size or taken.refused > parcel.refused:
        return _told(422, "; ".join(taken.why) or "there is no reading in it")
    counts = {name: getattr(taken, name) for name in _COUNTS}
    return _json(200, {**counts, "why": list(taken.why)})


_COUNTS = ("new", "same", "changed", "clashing", "doubted", "refused")


def _told(status: int, words: str) -> HttpResponse:
    return _json(status, {"error": words})


def _json(status: int, content: dict[str, object]) -> HttpResponse:
    data = json.dumps(content).encode()
    answer = HttpResponse(data, content_type="application/json", status=status)
    # or it would come in chunks, which small senders cannot read
    answer["Content-Length"] = str(len(data))
    return answer


def _later(status: int, words: str, wait_s: float) -> HttpResponse:
    answer = _told(status, words)
    answer["Retry-After"] = str(max(1, math.ceil(wait_s)))
    return answer
