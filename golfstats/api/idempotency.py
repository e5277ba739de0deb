"""``Idempotency-Key``: a write that is sent twice is done once, and answered twice with the same words.

The answer is saved in the transaction of the write itself, so there is no moment at which one exists
without the other. A duplicate that arrives while the first still runs waits for it on a lock.
"""

from __future__ import annotations

import hashlib

from django.db import connection
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.models import AnsweredRequest
from golfstats.api.problems import ProblemError
from golfstats.clubs.models import Member

HEADER = "Idempotency-Key"
MAX_KEY_LENGTH = 200


def key_of(request: Request) -> str | None:
    """The request's key; ``None`` for a read or without the header."""
    if request.method in {"GET", "HEAD", "OPTIONS"}:
        return None
    key = request.headers.get(HEADER)
    if key is not None and not (0 < len(key) <= MAX_KEY_LENGTH and key.isascii() and key.isprintable()):
        raise ProblemError(
            "bad-idempotency-key", f"{HEADER} has 1 to {MAX_KEY_LENGTH} printable ASCII characters"
        )
    return key


def earlier_answer(request: Request, member: Member, key: str) -> AnsweredRequest | None:
    """The answer already given under this key; raises a 422 problem if the request was another one."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(hashtextextended(%s, 0))", [f"{member.id}:{key}"])
    answer = AnsweredRequest.objects.filter(member=member, key=key).first()
    if answer is not None and answer.fingerprint != fingerprint(request):
        raise ProblemError(
            "idempotency-key-reused",
            f"This {HEADER} was used for a different request",
            status.HTTP_422_UNPROCESSABLE_ENTITY,
        )
    return answer


def remember(request: Request, member: Member, key: str, response: Response) -> None:
    """Keep a successful answer. Refusals are not kept: the request may be put right and sent again."""
    AnsweredRequest.objects.create(
        member=member,
        key=key,
        fingerprint=fingerprint(request),
        status=response.status_code,
        body=response.rendered_content if not response.is_rendered else response.content,
        headers={
            name: response[name] for name in ("Location", "ETag", "Content-Type") if response.has_header(name)
        },
    )


def fingerprint(request: Request) -> str:
    digest = hashlib.sha256()
    for part in (str(request.method), request.get_full_path(), str(request.content_type)):
        digest.update(part.encode() + b"\n")
    digest.update(request._request.body)
    return digest.hexdigest()
