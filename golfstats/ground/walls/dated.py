"""Rows that tell when they were last written, for clients that ask for what is new."""

from __future__ import annotations

from django.db import models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import ProjectState
from django.db.models.functions import Now
from django.utils import timezone

from golfstats.ground.walls.owned import ClubOwned
from golfstats.ground.walls.row_security import OfModels, OfOneField

RESTORING = "golfstats.restoring"
"""A setting of the transaction in which a backup is restored: then rows keep what they say."""

KEEP = f"""
CREATE OR REPLACE FUNCTION keep_updated_at() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF COALESCE(current_setting('{RESTORING}', true), '') <> 'yes' THEN
        NEW.updated_at := clock_timestamp();
    END IF;
    RETURN NEW;
END
$$
"""
TOUCH = """
CREATE OR REPLACE FUNCTION touch_{child}() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF COALESCE(current_setting('{setting}', true), '') = 'yes' THEN RETURN NULL; END IF;
    IF TG_OP <> 'INSERT' THEN
        UPDATE "{parent}" SET updated_at = clock_timestamp() WHERE id = OLD."{key}";
    END IF;
    IF TG_OP <> 'DELETE' THEN
        UPDATE "{parent}" SET updated_at = clock_timestamp() WHERE id = NEW."{key}";
    END IF;
    RETURN NULL;
END
$$
"""


class Dated(ClubOwned):
    """A row whose last writing the database itself notes, so that no way of writing is forgotten.

    Whatever a program puts there is overwritten by the trigger of ``KeepUpdated``, which the table's migration names.
    """

    updated_at = models.DateTimeField(default=timezone.now, db_default=Now(), editable=False)

    class Meta(ClubOwned.Meta):
        abstract = True


class KeepUpdated(OfModels):
    """The trigger that keeps ``updated_at``, and an index by club for those who ask since when."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        schema_editor.execute(KEEP)
        for name in self.model_names:
            table = to_state.apps.get_model(app_label, name)._meta.db_table
            schema_editor.execute(
                f'CREATE TRIGGER keep_updated_at BEFORE INSERT OR UPDATE ON "{table}" '
                "FOR EACH ROW EXECUTE FUNCTION keep_updated_at()"
            )
            schema_editor.execute(f'CREATE INDEX "{table}_updated" ON "{table}" (club_id, updated_at)')

    def describe(self) -> str:
        return f"Keep when rows of {', '.join(self.model_names)} were last written"


class Touches(OfOneField):
    """Writing a row of this table counts as writing the one that its key names, as it is told with that one."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        model = to_state.apps.get_model(app_label, self.model_name)
        field = model._meta.get_field(self.field_name)
        assert isinstance(field, models.ForeignKey)  # noqa: S101 - migrations name no other field
        child = model._meta.db_table
        parent = field.related_model._meta.db_table
        schema_editor.execute(TOUCH.format(child=child, parent=parent, key=field.column, setting=RESTORING))
        schema_editor.execute(
            f'CREATE TRIGGER touch_{child} AFTER INSERT OR UPDATE OR DELETE ON "{child}" '
            f"FOR EACH ROW EXECUTE FUNCTION touch_{child}()"
        )
