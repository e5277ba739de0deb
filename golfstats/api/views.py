"""The base of every endpoint: who asks, in which club, in one transaction."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from typing import Any, TypeVar

from django.db import transaction
from django.db.models import Model, QuerySet
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from golfstats.api import idempotency
from golfstats.api.paging import CursorPagination
from golfstats.api.problems import ProblemError
from golfstats.clubs.membership import ClubNotChosenError, NoSuchClubError, member_of
from golfstats.clubs.models import Club, Member
from golfstats.clubs.scope import club_scope

CLUB_HEADER = "Club"
RowT = TypeVar("RowT", bound=Model)


class ClubView(APIView):
    """An endpoint of one club.

    The club is named by the header ``Club`` (its slug); a person of one club may leave it out. From
    authentication to the rendered answer everything runs in that club's scope, which is one
    transaction; any answer from 400 up rolls it back. Handlers find ``self.member`` and ``self.club``.
    """

    member: Member
    club: Club
    _scope: ExitStack
    _in_scope: bool
    _answer: HttpResponse | None
    _idempotency_key: str | None

    def setup(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        super().setup(request, *args, **kwargs)
        self._in_scope = False
        self._answer = None
        self._idempotency_key = None

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
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

    def perform_authentication(self, request: Request) -> None:
        # Read once and kept: checking the token of a session's POST parses the body, and handlers want its bytes.
        _ = request._request.body
        super().perform_authentication(request)
        if not request.user.is_authenticated:
            return
        self.member = _member(request)
        self.club = self.member.club
        self._scope.enter_context(club_scope(self.club.id))
        self._in_scope = True

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        key = idempotency.key_of(request)
        if key is None:
            return
        answer = idempotency.earlier_answer(request, self.member, key)
        if answer is not None:
            self._answer = HttpResponse(bytes(answer.body), status=answer.status, headers=answer.headers)
            raise AlreadyAnsweredError
        self._idempotency_key = key

    def handle_exception(self, exc: Exception) -> Response:
        if isinstance(exc, AlreadyAnsweredError):
            return Response(status=status.HTTP_200_OK)  # dispatch sends the stored answer instead
        return super().handle_exception(exc)

    def page(
        self,
        request: Request,
        pages: type[CursorPagination],
        rows: QuerySet[RowT],
        line: Callable[[RowT], dict[str, Any]],
    ) -> Response:
        """The page asked for, each row as ``line`` writes it."""
        paging = pages()
        page = paging.paginate_queryset(rows, request, view=self)
        return paging.get_paginated_response([line(row) for row in page])


class AlreadyAnsweredError(Exception):
    """Cuts a repeated request short before its handler runs."""


def user_id_of(request: Request) -> int:
    """Key of the person who asks; call it only once he is authenticated."""
    assert request.user.pk is not None  # noqa: S101 - IsAuthenticated came first
    return int(request.user.pk)


def _member(request: Request) -> Member:
    slug = request.headers.get(CLUB_HEADER)
    try:
        return member_of(user_id_of(request), slug)
    except NoSuchClubError:
        raise ProblemError("no-such-club", "No such club among yours", status.HTTP_404_NOT_FOUND) from None
    except ClubNotChosenError as error:
        raise ProblemError(
            "club-not-chosen",
            f"You belong to several clubs: name one in the header {CLUB_HEADER}",
            extra={"clubs": error.slugs},
        ) from None
