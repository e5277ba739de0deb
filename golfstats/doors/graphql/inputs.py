from __future__ import annotations

import dataclasses
import datetime as dt
from typing import Any

import strawberry


def given_fields(given: Any) -> dict[str, object]:
    """The fields that a client has filled in of an input, as the JSON body of REST would carry them."""
    values = {field.name: getattr(given, field.name) for field in dataclasses.fields(given)}
    return {name: _plain(value) for name, value in values.items() if value is not strawberry.UNSET}


def _plain(value: Any) -> object:
    if dataclasses.is_dataclass(value):
        return given_fields(value)
    if isinstance(value, list):
        return [_plain(one) for one in value]
    if isinstance(value, dt.date):
        return value.isoformat()
    return value
