"""Everything the owner creates later may be read and written by the application role."""

from django.conf import settings
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def grant(apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    role = schema_editor.quote_name(settings.DATABASES["default"]["USER"])
    for statement in (
        f"GRANT SELECT ON ALL TABLES IN SCHEMA public TO {role}",
        f"ALTER DEFAULT PRIVILEGES IN SCHEMA public GRANT SELECT, INSERT, UPDATE, DELETE ON TABLES TO {role}",
        f"ALTER DEFAULT PRIVILEGES IN SCHEMA public GRANT USAGE, SELECT ON SEQUENCES TO {role}",
    ):
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    initial = True
    run_before = [("contenttypes", "0001_initial")]
    dependencies = []
    operations = [migrations.RunPython(grant, migrations.RunPython.noop)]
