"""A row in every table of a club, whatever tables there are: for tests that must not forget a new one."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

from django.apps import apps
from django.contrib.auth import get_user_model
from django.db import models

from courses.layout.models import Hole
from golfstats.ground.clubs.models import Club
from golfstats.ground.walls.owned import ClubOwned
from golfstats.ground.walls.scope import club_scope

Rows = dict[type[models.Model], models.Model]

# What a check constraint wants where any value of the type would not do.
PLAUSIBLE = {
    "course_rating": Decimal("71.2"),
    "slope_rating": 125,
    "par": 72,
    "hole_count": 18,
    "score": 4,
    "url": "https://example.org/hook",
}

# By type of the field; an array, which is not here, may be empty.
EXAMPLES: list[tuple[type[models.Field[Any, Any]], Any]] = [
    (models.DateTimeField, dt.datetime(2026, 5, 1, 9, tzinfo=dt.UTC)),
    (models.DateField, dt.date(2026, 5, 1)),
    (models.IntegerField, 1),
    (models.FloatField, 1.0),
    (models.DecimalField, Decimal(1)),
    (models.BinaryField, b"{}"),
    (models.UUIDField, uuid.UUID(int=1)),
    (models.JSONField, {}),
]


def owned_models() -> list[type[ClubOwned]]:
    """Every model of a club's rows, in the order of their tables' names."""
    found = [model for model in apps.get_models() if issubclass(model, ClubOwned)]
    return sorted(found, key=lambda model: model._meta.db_table)


def fill(club: Club, sentinel: str = "sentinel") -> Rows:
    """Make a row of every owned model in the club; every free text in it is ``sentinel``."""
    rows: Rows = {}
    with club_scope(club.id):
        for model in owned_models():
            _make(model, sentinel, rows)
    return rows


def _make(model: type[models.Model], sentinel: str, rows: Rows) -> models.Model:
    if model in rows:
        return rows[model]
    if model is get_user_model():
        rows[model] = model._default_manager.create(username=f"{sentinel}-{uuid.uuid4()}")
        return rows[model]
    values = {
        field.name: _value(field, sentinel, rows)
        for field in model._meta.local_concrete_fields
        if field.name not in ("id", "club") and not getattr(field, "auto_now_add", False)
    }
    if model is Hole:
        # The database takes no fewer than nine holes of a tee set, and all of them at once.
        rows[model] = Hole.objects.bulk_create(Hole(**values | {"number": n}) for n in range(1, 10))[0]
    else:
        rows[model] = model._default_manager.create(**values)
    return rows[model]


def _value(field: models.Field[Any, Any], sentinel: str, rows: Rows) -> Any:
    if field.name in PLAUSIBLE:
        return PLAUSIBLE[field.name]
    if isinstance(field, models.ForeignKey):
        # Keys that may be empty are filled as well, so that each of them can be attacked.
        return _make(field.related_model, sentinel, rows)
    if field.choices:
        return field.choices[0][0]
    if isinstance(field, models.CharField | models.TextField):
        return sentinel[: field.max_length]
    if field.has_default() or field.null:
        return field.get_default()
    return next((example for kind, example in EXAMPLES if isinstance(field, kind)), [])
