"""HTML forms for what the API takes as JSON: the same checks, every fault beside its field."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import QueryDict

from golfstats.api.problems import Fault, ProblemError


@dataclass(frozen=True)
class Field:
    """One entry of a form. ``kind`` is an HTML input type, or select, textarea, checkbox, numbers."""

    name: str
    label: str
    kind: str = "text"
    hint: str = ""
    options: Sequence[tuple[str, str]] = ()
    required: bool = False
    step: str = ""


@dataclass(frozen=True)
class BoundField:
    field: Field
    value: Any
    faults: list[str]


def given(post: QueryDict, fields: Iterable[Field]) -> dict[str, Any]:
    """What was filled in; an empty entry counts as not given."""
    found: dict[str, Any] = {}
    for field in fields:
        text = str(post.get(field.name, "")).strip()
        if field.kind == "checkbox":
            found[field.name] = text != ""
        elif text and field.kind == "numbers":
            found[field.name] = text.replace(",", " ").split()
        elif text:
            found[field.name] = text
    return found


def bound(
    fields: Iterable[Field], values: Mapping[str, Any], problem: ProblemError | None = None
) -> list[BoundField]:
    """Fields with their values and what is wrong with each."""
    faults = problem.faults if problem else ()
    return [
        BoundField(field, _text(values.get(field.name, "")), _faults_of(field.name, faults))
        for field in fields
    ]


def elsewhere(fields: Iterable[Field], problem: ProblemError | None) -> list[str]:
    """What is wrong with the form as a whole."""
    if problem is None:
        return []
    names = {field.name for field in fields}
    rest = [fault.detail for fault in problem.faults if _field_of(fault) not in names]
    return rest or ([] if problem.faults else [problem.detail or problem.title])


def _faults_of(name: str, faults: Iterable[Fault]) -> list[str]:
    return [fault.detail for fault in faults if _field_of(fault) == name]


def _field_of(fault: Fault) -> str:
    return fault.pointer.removeprefix("/").split("/")[0]


def _text(value: Any) -> Any:
    if isinstance(value, list | tuple):
        return " ".join(str(one) for one in value)
    return "" if value is None else value
