"""Migration operation that makes the database itself keep clubs apart."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

from golfstats.ground.walls.owned import OwnedForeignKey
from golfstats.ground.walls.scope import CLUB_SETTING, USER_SETTING

# After a transaction the setting is '' and not NULL, hence NULLIF.
CLUB_IN_SCOPE = f"NULLIF(current_setting('{CLUB_SETTING}', true), '')::uuid"
USER_IN_SCOPE = f"NULLIF(current_setting('{USER_SETTING}', true), '')::bigint"


class OfTheDatabase(Operation):
    """Changes the database and no model; what it made goes with its tables and columns."""

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """The models do not change, only the database."""

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        """Dropping a table or a column drops its policies and constraints."""


class OfModels(OfTheDatabase):
    """Of the tables of these models."""

    def __init__(self, *model_names: str) -> None:
        self.model_names = model_names

    def deconstruct(self) -> tuple[str, list[Any], dict[str, object]]:
        return type(self).__name__, list(self.model_names), {}


class OfOneField(OfTheDatabase):
    """Of one field of a model."""

    def __init__(self, model_name: str, field_name: str) -> None:
        self.model_name = model_name
        self.field_name = field_name

    def deconstruct(self) -> tuple[str, list[Any], dict[str, object]]:
        return type(self).__name__, [self.model_name, self.field_name], {}


class ProtectTables(OfModels):
    """Row-level security and composite keys for club-owned tables, right after they were created.

    For each model: the policy ``club_id = club in scope``, forced on the owner too; a unique key
    (club_id, id); and for every :class:`OwnedForeignKey` a constraint on (club_id, key).
    Name a model once; for a key added to a protected table later use ``AddOwnedKey``.
    """

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        models = [to_state.apps.get_model(app_label, name) for name in self.model_names]
        for model in models:
            table = model._meta.db_table
            protect(schema_editor, table)
            schema_editor.execute(
                f'ALTER TABLE "{table}" ADD CONSTRAINT "{table}_club_id" UNIQUE (club_id, id)'
            )
        for model in models:
            for field in model._meta.local_fields:
                if isinstance(field, OwnedForeignKey):
                    add_owned_key(schema_editor, model, field)

    def describe(self) -> str:
        return f"Protect {', '.join(self.model_names)} by row-level security"


class AddOwnedKey(OfOneField):
    """The composite constraint for an :class:`OwnedForeignKey` added to an existing table."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        model = to_state.apps.get_model(app_label, self.model_name)
        field = model._meta.get_field(self.field_name)
        assert isinstance(field, OwnedForeignKey)  # noqa: S101 - migrations name no other field
        add_owned_key(schema_editor, model, field)


def protect(
    schema_editor: BaseDatabaseSchemaEditor, table: str, rule: str = f"club_id = {CLUB_IN_SCOPE}"
) -> None:
    """Force row-level security on a table with one policy for every command."""
    schema_editor.execute(f'ALTER TABLE "{table}" ENABLE ROW LEVEL SECURITY')
    schema_editor.execute(f'ALTER TABLE "{table}" FORCE ROW LEVEL SECURITY')
    schema_editor.execute(f'CREATE POLICY club_only ON "{table}" USING ({rule}) WITH CHECK ({rule})')


def add_owned_key(
    schema_editor: BaseDatabaseSchemaEditor, model: type[models.Model], field: models.ForeignKey[Any, Any]
) -> None:
    table = model._meta.db_table
    target = field.related_model._meta.db_table
    column = field.column
    if field.remote_field.on_delete is models.SET_NULL:
        action = f'ON DELETE SET NULL ("{column}")'
    elif field.remote_field.on_delete is models.CASCADE:
        action = "ON DELETE CASCADE"
    else:
        action = ""
    schema_editor.execute(
        f'ALTER TABLE "{table}" ADD CONSTRAINT "{table}_{column}_in_club" '
        f'FOREIGN KEY (club_id, "{column}") REFERENCES "{target}" (club_id, id) {action} '
        "DEFERRABLE INITIALLY DEFERRED"
    )
