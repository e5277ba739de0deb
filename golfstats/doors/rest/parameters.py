"""The query string as the model that an operation declares."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_origin

from pydantic import ValidationError
from rest_framework.request import Request

from golfstats.ground import inputs
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.operations import Query
from golfstats.sentences import Sentence

BAD_QUERY = "The query string is not valid"


def query_of(
    model: type[Query], request: Request, places: Mapping[str, object], beside: tuple[str, ...] = ()
) -> Query:
    """The query string as its model, with the parts of the address that are parameters; refused with every fault."""
    repeatable = {
        info.alias or name for name, info in model.model_fields.items() if _is_list(info.annotation)
    }
    given: dict[str, object] = {
        name: request.query_params.getlist(name) if name in repeatable else value
        for name, value in request.query_params.items()
        if name not in (*beside, "format")
    }
    if any(inputs.NUL in str(text) for pair in {**given, **places}.items() for text in pair):
        raise invalid([Fault("", "not_text", Sentence("text has no NUL character"))], BAD_QUERY)
    known = {info.alias or name for name, info in model.model_fields.items()} - places.keys() | {*beside}
    try:
        checked = model.model_validate({**given, **places})
    except ValidationError as error:
        raise invalid(_query_faults(error, given, known), BAD_QUERY) from None
    if given.keys() & places.keys():
        raise invalid(
            [_unknown(f"/{name}", known) for name in sorted(given.keys() & places.keys())], BAD_QUERY
        )
    return checked


def _is_list(annotation: Any) -> bool:
    return get_origin(annotation) is list


def _query_faults(error: ValidationError, given: Mapping[str, object], known: set[str]) -> list[Fault]:
    """As for a body, but a parameter that does not exist is answered with those that do."""
    return [
        _unknown(fault.pointer, known) if fault.code == "extra_forbidden" else fault
        for fault in inputs.faults_of(error, dict(given))
    ]


def _unknown(pointer: str, known: set[str]) -> Fault:
    return Fault(
        pointer, "unknown_parameter", Sentence("known are: {known}", known=", ".join(sorted(known)) or "—")
    )
