"""Rounds from files: a dry run, an import in the background, and how far it is."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from pydantic import Field, Json
from rest_framework import status
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api import bodies
from golfstats.api.paging import PAGE_PARAMETERS, CursorPagination, page_example
from golfstats.api.problems import Fault, ProblemError, invalid, not_found
from golfstats.clubs.models import DistanceUnit
from players.api import coach_examples as examples
from players.api.coach_view import Body, CoachView
from players.api.notes import PageQuery
from players.api.query_string import NoQuery
from players.coaching import imports
from players.coaching.import_files import Layout
from players.models import Import, ImportKind

FILE_LIMIT = 5 * 1024 * 1024
FAULTS_SHOWN = imports.FAULTS_KEPT


class ImportForm(Body):
    """The fields of the form beside ``file``."""

    kind: ImportKind
    columns: Json[dict[str, str]] = Field(
        default_factory=dict,
        description="JSON: the file's name for each of our columns; for columns of every hole with {n}, "
        'as in {"player": "Name", "score": "Hole {n}"}.',
    )
    constants: Json[dict[str, str]] = Field(
        default_factory=dict,
        description='JSON: what the file does not hold, as in {"course": "Larkmoor Old", "tee": "White"}.',
    )
    unit: DistanceUnit | None = Field(default=None, description="Without it, the club's unit.")
    dry_run: bool = False


_TEXT = {"type": "string"}
FORM: dict[str, Any] = {
    "type": "object",
    "required": ["file", "kind"],
    "properties": {
        "file": {"type": "string", "format": "binary"},
        "kind": _TEXT | {"enum": ImportKind.values},
        "columns": _TEXT | {"description": ImportForm.model_fields["columns"].description},
        "constants": _TEXT | {"description": ImportForm.model_fields["constants"].description},
        "unit": _TEXT | {"enum": DistanceUnit.values, "description": "Without it, the club's unit."},
        "dry_run": {"type": "boolean", "default": False},
    },
}


class ImportList(CoachView):
    parser_classes = [MultiPartParser]

    @extend_schema(
        operation_id="list_imports",
        summary="Your imports, newest first; a manager sees everybody's",
        parameters=PAGE_PARAMETERS,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample(
                "A page",
                value=page_example(examples.IMPORT),
                response_only=True,
            )
        ],
    )
    def get(self, request: Request) -> Response:
        self.query(PageQuery, request)
        return self.page(request, CursorPagination, imports.visible_imports(self.member), import_json)

    @extend_schema(
        operation_id="import_rounds",
        summary="Import rounds from a CSV file of hole scores or of shots",
        description=(
            "RFC 4180, UTF-8, at most 5 MB, with a header; the columns are those of the exports unless `columns` "
            "names others. With `dry_run` the file is only looked at. Every fault has its line and column. "
            "A worker saves all rounds or none; rounds that are there already are left out, so the same "
            "file twice adds nothing."
        ),
        request={"multipart/form-data": FORM},
        responses={200: OpenApiTypes.OBJECT, 202: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample(
                "Looked at",
                value={"rounds": 1000, "new": 998, "already_there": 2, "faults": []},
                response_only=True,
                status_codes=["200"],
            ),
            OpenApiExample("Begun", value=examples.IMPORT, response_only=True, status_codes=["202"]),
        ],
    )
    def post(self, request: Request) -> Response:
        self.query(NoQuery, request)
        # Reading the body first keeps it for the fingerprint of an Idempotency-Key.
        bodies.raw_body(request, FILE_LIMIT)
        uploaded = request.FILES.get("file")
        if uploaded is None:
            raise invalid([Fault("/file", "missing", "send the CSV file as the field file")])
        form = bodies.checked(ImportForm, request._request.POST.dict())
        text = bodies.decoded(uploaded.read())
        if "\x00" in text:
            raise ProblemError("not-text", "The file is not text")
        layout = Layout(form.kind, form.columns, form.constants)
        unit = form.unit or DistanceUnit(self.club.distance_unit)
        if form.dry_run:
            return Response(findings_json(imports.look_at(self.member, text, layout, unit)))
        started = imports.start(self.member, text, layout, unit)
        return Response(import_json(started), status.HTTP_202_ACCEPTED)


class ImportDetail(CoachView):
    @extend_schema(
        operation_id="read_import",
        summary="How far an import is, and every fault it has found",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("On its way", value=examples.IMPORT, response_only=True)],
    )
    def get(self, request: Request, import_id: UUID) -> Response:
        self.query(NoQuery, request)
        found = imports.visible_imports(self.member).filter(id=import_id).first()
        if found is None:
            raise not_found("No import")
        return Response(import_json(found))


def findings_json(findings: imports.Findings) -> dict[str, Any]:
    return {
        "rounds": findings.rounds,
        "new": len(findings.new),
        "already_there": findings.already_there,
        "faults": [fault.as_dict() for fault in findings.faults[:FAULTS_SHOWN]],
    }


def import_json(found: Import) -> dict[str, Any]:
    return {
        "id": found.id,
        "kind": found.kind,
        "state": found.state,
        "rounds": found.rounds,
        "checked": found.checked,
        "added": found.added,
        "already_there": found.already_there,
        "faults": found.faults,
        "reason": found.reason,
        "started_at": found.started_at,
        "finished_at": found.finished_at,
    }
