"""The base of every endpoint: who asks, in which club, in one transaction."""

from __future__ import annotations

from contextlib import ExitStack
from typing import Any

from django.db import DatabaseError, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from rest_framework import status
from rest_framework.permissions import SAFE_METHODS
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from golfstats.doors.rest.http import idempotency
from golfstats.ground import logs
from golfstats.ground.clubs.membership import ClubNotChosenError, NoSuchClubError, member_of
from golfstats.ground.clubs.models import Club, Member
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.postgres.trouble import tried_again
from golfstats.ground.walls.scope import club_scope

CLUB_HEADER = "Club"


class ClubView(APIView):
    """An endpoint of one club.

    The club is named by the header ``Club`` (its slug); a person of one club may leave it out. From
    authentication to the rendered answer everything runs in that club's scope, which is one
    transaction; any answer from 400 up rolls it back. Handlers find ``self.member`` and ``self.club``.
    What only reads sees the club as of one moment. A request that failed because of what another did at the
    same moment is done again from the start.
    """

    member: Member
    club: Club
    _scope: ExitStack
    _in_scope: bool
    _answer: HttpResponse | None
    _idempotency_key: str | None

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        return tried_again(lambda: self._dispatch_once(request, *args, **kwargs))

    def _dispatch_once(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        self._begin()
        with ExitStack() as self._scope:
            response = super().dispatch(request, *args, **kwargs)
            if self._answer is not None:
                return self._answer
            if response.status_code >= status.HTTP_400_BAD_REQUEST:
                if self._in_scope:
                    transaction.set_rollback(True)
                return response
            if isinstance(response, Response):
                response.render()
                if self._idempotency_key is not None:
                    idempotency.remember(self.request, self.member, self._idempotency_key, response)
            return response

    def _begin(self) -> None:
        """As if nothing had happened: a request may be done again."""
        self._in_scope = False
        self._answer = None
        self._idempotency_key = None

    def perform_authentication(self, request: Request) -> None:
        # Read once and kept: checking the token of a session's POST parses the body, and handlers want its bytes.
        _ = request._request.body
        super().perform_authentication(request)
        # Counted before the scope is entered: what is counted stays counted when the request is rolled back.
        super().check_throttles(request)
        if not request.user.is_authenticated:
            return
        self.member = _member(request)
        self.club = self.member.club
        logs.club.set(str(self.club.id))  # until the request has its line, also when it fails
        self.admit()
        self._scope.enter_context(club_scope(self.club.id, snapshot=self.only_reads(request)))
        self._in_scope = True

    def admit(self) -> None:
        """Refuse before the scope is entered, where something speaks against any request of the club's."""

    def only_reads(self, request: Request) -> bool:
        return request.method in SAFE_METHODS

    def check_throttles(self, request: Request) -> None:
        """Done with the authentication."""

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        if idempotency.HEADER not in request.headers or self.only_reads(request):
            return
        key = idempotency.key_of(request)
        answer = idempotency.earlier_answer(request, self.member, key)
        if answer is not None:
            headers = answer.headers | {idempotency.REPLAYED: "true"}
            self._answer = HttpResponse(bytes(answer.body), status=answer.status, headers=headers)
            raise AlreadyAnsweredError
        self._idempotency_key = key

    def handle_exception(self, exc: Exception) -> Response:
        if isinstance(exc, AlreadyAnsweredError):
            return Response(status=status.HTTP_200_OK)  # dispatch sends the stored answer instead
        if isinstance(exc, DatabaseError):
            raise exc
        return super().handle_exception(exc)


class AlreadyAnsweredError(Exception):
    """Cuts a repeated request short before its handler runs."""


def _member(request: Request) -> Member:
    slug = request.headers.get(CLUB_HEADER)
    try:
        return member_of(request.user.pk or 0, slug)
    except NoSuchClubError:
        raise ProblemError("no-such-club", "No such club among yours", Refusal.NOT_FOUND) from None
    except ClubNotChosenError as error:
        raise ProblemError(
            "club-not-chosen",
            f"You belong to several clubs: name one in the header {CLUB_HEADER}",
            extra={"clubs": error.slugs},
        ) from None
