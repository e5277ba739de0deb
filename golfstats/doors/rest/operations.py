"""REST from declared operations: one view for each address, whose methods are the operations declared for it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, ClassVar

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.urls import URLPattern, path, reverse
from django.utils import timezone, translation
from django.utils.cache import patch_vary_headers
from knox.models import AuthToken
from rest_framework import status
from rest_framework.authentication import BaseAuthentication, SessionAuthentication
from rest_framework.exceptions import Throttled
from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from golfstats.doors.rest.fields import FIELDS, Part
from golfstats.doors.rest.http import preconditions
from golfstats.doors.rest.http.authentication import PasswordAuthentication
from golfstats.doors.rest.http.manners import farewell, links_of
from golfstats.doors.rest.http.sent import WhateverSent, sent_body
from golfstats.doors.rest.http.throttles import may_try_to_sign_in, wait
from golfstats.doors.rest.http.versions import etag
from golfstats.doors.rest.http.waiting import seconds_preferred, wait_while
from golfstats.doors.rest.paging import CursorPagination
from golfstats.doors.rest.parameters import query_of
from golfstats.doors.rest.renderers import JSONRenderer
from golfstats.doors.rest.views import ClubView
from golfstats.ground.faults import ProblemError, Refusal, not_found
from golfstats.ground.operations import (
    Asker,
    Change,
    Done,
    Download,
    Gathering,
    Listing,
    Operation,
    Query,
    Reading,
    Subject,
)
from golfstats.ground.orders import order_of
from golfstats.ground.standing import Person, Standing
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.words import dates_as, in_english
from players.people.readers import write_down_readers


def addresses(operations: Iterable[Operation]) -> list[URLPattern]:
    """The addresses of these operations below ``/api/v1/``, each with its view."""
    by_path: dict[str, dict[str, Operation]] = defaultdict(dict)
    for operation in operations:
        if operation.path:
            by_path[operation.path][operation.method] = operation
    return [
        path(
            address,
            view_of(by_method, preconditions.telling(address, by_path)).as_view(),
            name=next(iter(by_method.values())).name,
        )
        for address, by_method in by_path.items()
    ]


class AlsoWritten(DefaultContentNegotiation):
    """A reading may be written in other media types as well; the view writes those itself."""

    def select_renderer(self, request: Request, renderers: Any, format_suffix: str | None = None) -> Any:
        view = request.parser_context["view"]
        operation = view.operations.get(request.method or "")
        if isinstance(operation, Download):
            return renderers[0], renderers[0].media_type
        if isinstance(operation, Reading):
            accepted = request.headers.get("Accept", "")
            for media_type in operation.written:
                if media_type in accepted:
                    view.written_as = media_type
                    return renderers[0], renderers[0].media_type
        return super().select_renderer(request, renderers, format_suffix)


class OperationView(APIView):
    """The operations of one address. Its subclasses are made by :func:`view_of`."""

    schema = None  # doors.rest.reference.document describes operations itself
    parser_classes = [WhateverSent]
    content_negotiation_class = AlsoWritten
    operations: ClassVar[Mapping[str, Operation]] = {}
    told_by: ClassVar[preconditions.Telling | None] = None
    """The read whose tag a change may name in If-Match."""
    written_as = ""
    made: Mapping[str, Any] = {}
    """The places of what a change made or changed."""
    asker: Any
    """What the functions of operations get first: an Asker, or a Person where no club is meant."""

    def answer(self, request: Request, **places: Any) -> HttpResponseBase:
        operation = self.operations[request.method or ""]
        if isinstance(operation, Reading):
            return self.read_in_language(request, operation, places)
        if isinstance(operation, Listing):
            return self.lines(request, operation, places)
        if isinstance(operation, Gathering):
            return self.gather(request, operation, places)
        if isinstance(operation, Download):
            return self.download(request, operation, places)
        assert isinstance(operation, Change)  # noqa: S101 - the fifth and last kind
        return self.change(request, operation, places)

    def finalize_response(self, request: Any, response: Any, *args: Any, **kwargs: Any) -> Any:
        response = super().finalize_response(request, response, *args, **kwargs)
        operation = self.operations.get(request.method or "")
        if operation is not None and operation.deprecation is not None:
            links = [response.headers["Link"]] if "Link" in response.headers else []  # of a list, its pages
            for name, text in farewell(operation.deprecation, request.build_absolute_uri("/")).items():
                response.headers[name] = ", ".join([*links, text]) if name == "Link" else text
        return response

    def read_in_language(
        self, request: Request, operation: Reading, places: Mapping[str, Any]
    ) -> HttpResponseBase:
        if not operation.for_people:
            return self.read(request, operation, places)
        with translation.override(translation.get_language_from_request(request)):
            response = self.read(request, operation, places)
            response["Content-Language"] = "en" if in_english() else translation.get_language()
        patch_vary_headers(response, ["Accept-Language", "Cookie"])
        return response

    def read(self, request: Request, operation: Reading, places: Mapping[str, Any]) -> HttpResponseBase:
        rows = self.rows(operation, places)
        query = query_of(operation.parameters, request, _parameters(operation, places))
        if self.written_as:
            operation.seen(self.asker, rows)
            content = operation.written[self.written_as](self.asker, *rows, query)
            charset = "; charset=utf-8" if isinstance(content, str) else ""
            return HttpResponse(
                content, content_type=f"{self.written_as}{charset}", headers=_tag(operation, rows)
            )
        ask = getattr(operation.read, "as_sent", operation.read)  # the JSON itself, where that is kept
        answer = _only(ask(self.asker, *([rows] if rows else []), query), rows)
        if answer is None:
            raise not_found()
        operation.seen(self.asker, rows)
        return Response(answer, headers=_tag(operation, rows) | links_of(answer))

    def lines(self, request: Request, operation: Listing, places: Mapping[str, Any]) -> Response:
        above = self.rows(operation, places)
        query = query_of(
            operation.parameters,
            request,
            _parameters(operation, places),
            beside=("cursor", "page_size", FIELDS),
        )
        part = Part.of(request, operation.line)
        parent = above[0].pk if above else None
        paging = CursorPagination(operation.of.model, order_of(query, operation.order), request)
        page = paging.find(lambda wanted: operation.stretch(self.asker, parent, query, wanted))
        operation.of.seen(self.asker, page)
        return part.told(paging.get_paginated_response(part.lines(operation.of.heads(self.asker, page))))

    def gather(self, request: Request, operation: Gathering, places: Mapping[str, Any]) -> Response:
        rows = self.rows(operation, places)
        query = query_of(operation.parameters, request, _parameters(operation, places), beside=(FIELDS,))
        part = Part.of(request, operation.line)
        lines = _only(operation.gather(self.asker, *([rows] if rows else []), query), rows)
        operation.seen(self.asker, rows)
        return part.told(Response({"results": part.lines(lines)}))

    def download(
        self, request: Request, operation: Download, places: Mapping[str, Any]
    ) -> StreamingHttpResponse:
        query = query_of(operation.parameters, request, _parameters(operation, places))
        headers = {"Content-Disposition": f'attachment; filename="{operation.file_name}"'}
        pieces = operation.pieces(self.asker, query)
        return StreamingHttpResponse(pieces, content_type=operation.media_type, headers=headers)

    def change(self, request: Request, operation: Change, places: Mapping[str, Any]) -> Response:
        rows = self.rows_to_change(request, operation, places)
        query = query_of(operation.parameters, request, _parameters(operation, places))
        seen = request.headers.get("If-Match")
        stale = preconditions.stale(seen, operation, rows, self.told_by, self.asker, places)
        if stale is not None and operation.is_repeated is None:
            raise stale
        try:
            given = _given(request, operation, rows, query)
        except ProblemError as faulty:
            raise stale or faulty from None
        done = self.done(operation, rows, given, places, stale)
        self.made = done.places or places
        headers = {} if done.version is None else etag(done.version)
        if done.location:
            address = reverse(done.location, kwargs=dict(done.places))
            headers["Location"] = request.build_absolute_uri(address)
        answer = done.answer if operation.of is None else operation.of.heads(self.asker, [done.answer])[0]
        return Response(answer, status=done.status or usual_status(operation), headers=headers)

    def rows_to_change(self, request: Request, operation: Change, places: Mapping[str, Any]) -> list[Any]:
        """The row in question; none where the client may make it."""
        try:
            return self.rows(operation, places, to_change=True)
        except ProblemError as error:
            if operation.creates is None or error.because is not Refusal.NOT_FOUND:
                raise
            if "If-Match" in request.headers:  # a correction of what is not there
                raise
            return []

    def done(
        self,
        operation: Change,
        rows: list[Any],
        given: list[Any],
        places: Mapping[str, Any],
        stale: ProblemError | None,
    ) -> Done:
        """What comes of the change. ``stale``: it is meant for another version, and harmless only if repeated."""
        about, version, is_repeated = operation.about, operation.version, operation.is_repeated
        if operation.creates is not None and about is not None and not rows:
            return _as_done(operation.creates(self.asker, places[about.parameter], *given))
        if stale is None:
            return _as_done(operation.do(self.asker, *rows, *given))
        if is_repeated is None or version is None or not is_repeated(rows[0], *given):
            raise stale
        return Done(rows[0], version(rows[0]))

    def rows(self, operation: Operation, places: Mapping[str, Any], *, to_change: bool = False) -> list[Any]:
        """The row that the operation is about, alone in a list; none for an operation about the club."""
        if operation.about is None:
            return []
        row = operation.about.one(self.asker, places, to_change=to_change)
        if operation.roles:
            self.asker.needs(*operation.roles)
        return [row]


class ClubOperations(OperationView, ClubView):
    """Operations of members, in their club's scope."""

    def dispatch(self, request: HttpRequest, *args: Any, **places: Any) -> HttpResponseBase:
        response = super().dispatch(request, *args, **places)
        operation = self.operations.get(request.method or "")
        seconds = seconds_preferred(request)
        if not isinstance(operation, Reading | Change) or operation.is_pending is None or not seconds:
            return response
        if response.status_code >= status.HTTP_300_MULTIPLE_CHOICES or self.written_as:
            return response
        made = self.made or places
        waited = wait_while(self.club.id, lambda: self._is_pending(operation, made), seconds)
        if not waited or not isinstance(response, Response):
            return response
        try:
            told = self._told_again(operation, made)
        except ProblemError as gone:  # deleted meanwhile, or no longer this person's to see
            return response if isinstance(operation, Change) else self._refused(gone)
        response.content = JSONRenderer().render(told)
        response.headers["Preference-Applied"] = f"wait={seconds}"
        return response

    def _refused(self, problem: ProblemError) -> HttpResponseBase:
        refusal: Response = self.finalize_response(self.request, self.handle_exception(problem))
        refusal.render()
        return refusal

    def _is_pending(self, operation: Operation, places: Mapping[str, Any]) -> bool:
        with club_scope(self.club.id):
            return operation.is_pending is not None and operation.is_pending(places)

    def _told_again(self, operation: Reading | Change, places: Mapping[str, Any]) -> Any:
        """What the operation answers by now of the row that it was about or that it made."""
        self.asker.forget()
        with club_scope(self.club.id, snapshot=True):
            if isinstance(operation, Reading):
                assert operation.about is not None  # noqa: S101 - work goes on for a row
                row = operation.about.one(self.asker, places)
                return operation.read(self.asker, [row], Query())[0]
            subject = operation.of
            assert isinstance(subject, Subject)  # noqa: S101 - as above
            return subject.heads(self.asker, [subject.one(self.asker, places)])[0]

    def answer(self, request: Request, **places: Any) -> HttpResponseBase:
        operation = self.operations[request.method or ""]
        self.asker = Asker(self.member, request.build_absolute_uri("/"))
        if operation.about is None and operation.roles:
            self.asker.needs(*operation.roles)
        # Days in a query string are days at the club, and days in sentences are written as it writes them.
        with timezone.override(self.club.time_zone), dates_as(self.club.date_style):
            answer = super().answer(request, **places)
        write_down_readers(self.asker, "rest")
        return answer


class PersonOperations(OperationView):
    """Operations for which no club is meant, and some of which come before there is a sign-in."""

    @property
    def operation(self) -> Operation | None:
        """None where the address has none for the method."""
        return self.operations.get(self.request.method or "")

    @property
    def any_scope(self) -> bool:
        return self.operation is not None and self.operation.any_token

    def get_authenticators(self) -> list[BaseAuthentication]:
        if self.operation is not None and self.operation.standing is Standing.ANYBODY:
            return []
        if self.operation is not None and self.operation.standing is Standing.SIGNING_IN:
            return [PasswordAuthentication(), SessionAuthentication()]
        return super().get_authenticators()

    def get_permissions(self) -> Sequence[Any]:
        if self.operation is not None and self.operation.standing is Standing.ANYBODY:
            return [AllowAny()]
        return super().get_permissions()

    def perform_authentication(self, request: Request) -> None:
        _ = request._request.body  # checking the token of a session's POST parses the body
        guessable = self.operation is not None and self.operation.guessable
        if guessable and not may_try_to_sign_in(request._request):
            raise Throttled(wait(60))
        super().perform_authentication(request)

    def answer(self, request: Request, **places: Any) -> HttpResponseBase:
        token = request.auth if isinstance(request.auth, AuthToken) else None
        self.asker = Person(request.user.pk or 0, request.build_absolute_uri("/"), token)
        return super().answer(request, **places)


def view_of(
    operations: Mapping[str, Operation], told_by: preconditions.Telling | None
) -> type[OperationView]:
    """The view of one address, whose operations are members' or need no club, all of them."""
    of_members = {one.standing is Standing.MEMBER for one in operations.values()}
    base = ClubOperations if of_members == {True} else PersonOperations
    assert len(of_members) == 1, f"{operations} differ in whether a club is meant"  # noqa: S101 - shown when it starts
    handlers = {method.lower(): base.answer for method in operations}
    return type("OperationsOfAddress", (base,), {"operations": operations, "told_by": told_by, **handlers})


def usual_status(operation: Change) -> int:
    if operation.status:
        return operation.status
    if operation.answer is None:
        return status.HTTP_204_NO_CONTENT
    return status.HTTP_201_CREATED if operation.verb == "POST" else status.HTTP_200_OK


def _given(request: Request, operation: Change, rows: list[Any], query: Query) -> list[Any]:
    """What the operation gets beside the asker and the row: the body and a query of its own."""
    has_body = operation.body is not None or bool(operation.accepts)
    given = [sent_body(request, operation, rows)] if has_body else []
    return given if operation.query is Query else [*given, query]


def _as_done(done: Any) -> Done:
    return done if isinstance(done, Done) else Done(done)


def _only(answers: Any, rows: list[Any]) -> Any:
    """The answer for the only row, or the answer where there are no rows in question."""
    if not rows:
        return answers
    (answer,) = answers
    return answer


def _tag(operation: Reading, rows: list[Any]) -> dict[str, str]:
    return {} if operation.version is None else etag(operation.version(rows[0]))


def _parameters(operation: Operation, places: Mapping[str, Any]) -> dict[str, Any]:
    """The parts of the address that do not name the row that the operation is about."""
    subject = operation.about
    taken = set() if subject is None else {subject.parameter, *subject.above}
    return {name: value for name, value in places.items() if name not in taken}
