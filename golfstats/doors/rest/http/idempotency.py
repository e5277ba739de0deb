"""``Idempotency-Key``: a write that is sent twice is done once, and answered twice with the same words.

The answer is saved in the transaction of the write itself, so there is no moment at which one exists
without the other. A duplicate that arrives while the first still runs waits for it on a lock.
"""

from __future__ import annotations

import hashlib
from typing import Any
from urllib.parse import urlsplit

from django.urls import resolve
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.ground.answered import services as answered
from golfstats.ground.answered.models import AnsweredRequest
from golfstats.ground.clubs.models import Member
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.operations import Asker, Subject
from players.people.permissions import in_sight

HEADER = "Idempotency-Key"
REPLAYED = "Idempotency-Replayed"
"""Of an answer that was given before."""
MAX_KEY_LENGTH = 200
SHOWN_ONCE = frozenset(
    {"calendar-feeds", "invitations", "webhooks", "webhook-secret", "own-webhooks", "own-webhook-secret"}
)
"""Addresses whose answers hold a secret: it is not kept, and not shown again."""


def key_of(request: Request) -> str:
    """The key that the request names; refused if it can be none. What only reads is answered anew each time."""
    key = request.headers[HEADER]
    if not (0 < len(key) <= MAX_KEY_LENGTH and key.isascii() and key.isprintable()):
        raise ProblemError(
            "bad-idempotency-key", f"{HEADER} has 1 to {MAX_KEY_LENGTH} printable ASCII characters"
        )
    return key


def earlier_answer(request: Request, member: Member, key: str) -> AnsweredRequest | None:
    """The answer already given under this key; raises a 422 problem if the request was another one."""
    answer = answered.earlier_answer(member, key)
    if answer is not None and answer.role != member.role:
        title = f"You were {answer.role} when this {HEADER} was used, and are {member.role} now"
        raise ProblemError("role-changed", title, Refusal.NOT_ALLOWED)
    if answer is not None and _shows_once(request):
        raise ProblemError(
            "shown-once", "This was done before; what it showed is shown once", Refusal.CONFLICT
        )
    if answer is not None and answer.fingerprint != fingerprint(request):
        raise ProblemError(
            "idempotency-key-reused",
            f"This {HEADER} was used for a different request",
            Refusal.INVALID,
        )
    if answer is not None:
        _still_there(answer, member)
        _still_visible(request, member)
        _still_in_sight(answer, member)
    return answer


def _still_there(answer: AnsweredRequest, member: Member) -> None:
    """Refuse to say again where something was put that is there no more."""
    location = answer.headers.get("Location")
    if location is None:
        return
    matched = resolve(urlsplit(location).path)
    about = matched.func.cls.operations["GET"].about  # type: ignore[attr-defined]  # the view of an address
    try:
        about.one(Asker(member), matched.kwargs)
    except ProblemError:
        title = "This was done before, and what it made has been deleted since"
        raise ProblemError("gone", title, Refusal.GONE) from None


def _still_visible(request: Request, member: Member) -> None:
    """Refuse to tell again of a row that the member may no longer see: they look after another squad by now."""
    subject = _subject(request)
    if subject is not None and request.resolver_match is not None:
        subject.one(Asker(member), request.resolver_match.kwargs)


def _still_in_sight(answer: AnsweredRequest, member: Member) -> None:
    """Refuse to tell again what may tell of players whom the member may no longer see."""
    if answer.sight and not in_sight(member).issuperset(answer.sight):
        title = "This was done before, and may have told of players whom you may no longer see"
        raise ProblemError("gone", title, Refusal.GONE)


def _subject(request: Request) -> Subject[Any] | None:
    """What a correction is about; of other changes the row may have gone by them."""
    if request.method not in {"PUT", "PATCH"}:
        return None
    about: Subject[Any] | None = request.parser_context["view"].operations[request.method].about
    return about


def remember(request: Request, member: Member, key: str, response: Response) -> None:
    """Keep a successful answer for a while. Refusals are not kept: the request may be put right and sent again."""
    written = response.rendered_content if not response.is_rendered else response.content
    headers = ("Location", "ETag", "Content-Type")
    answered.keep_answer(
        member,
        key,
        fingerprint(request),
        response.status_code,
        headers={name: response[name] for name in headers if response.has_header(name)},
        body=b"" if _shows_once(request) else written,
        sight=[] if response.has_header("Location") or _subject(request) else sorted(in_sight(member)),
    )


def _shows_once(request: Request) -> bool:
    matched = request.resolver_match
    return matched is not None and matched.url_name in SHOWN_ONCE


def fingerprint(request: Request) -> str:
    digest = hashlib.sha256()
    for part in (str(request.method), request.get_full_path(), str(request.content_type)):
        digest.update(part.encode() + b"\n")
    digest.update(request._request.body)
    return digest.hexdigest()
