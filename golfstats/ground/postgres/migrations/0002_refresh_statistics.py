"""A function by which the application role may have the owner's tables analysed.

Only a table's owner may ANALYZE it. Without fresh statistics after a bulk of posts the planner expects
one row of everything, and a join of ten thousand holes becomes a nested loop that takes minutes.
"""

from django.conf import settings
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

FUNCTION = """
CREATE FUNCTION refresh_statistics() RETURNS void
LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp AS $$
DECLARE
    name text;
BEGIN
    FOR name IN SELECT tablename FROM pg_tables WHERE schemaname = 'public' AND tableowner = current_user LOOP
        EXECUTE format('ANALYZE public.%I', name);
    END LOOP;
END
$$
"""


def make(apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    role = schema_editor.quote_name(settings.DATABASES["default"]["USER"])
    schema_editor.execute(FUNCTION, params=None)
    schema_editor.execute("REVOKE ALL ON FUNCTION refresh_statistics() FROM PUBLIC")
    schema_editor.execute(f"GRANT EXECUTE ON FUNCTION refresh_statistics() TO {role}")


class Migration(migrations.Migration):
    dependencies = [("postgres", "0001_grants")]
    operations = [migrations.RunPython(make, migrations.RunPython.noop)]
