from django.db import migrations

from golfstats.calc.clubs import one_name


def keep_under_one_name(apps, schema_editor):
    """The shots of every club's players: what was stored as it was written gets the one name of the club."""
    with schema_editor.connection.cursor() as cursor:
        # The owner is bound by the policies as well, and a migration has no club in scope.
        cursor.execute("ALTER TABLE players_shot NO FORCE ROW LEVEL SECURITY")
        cursor.execute("SELECT DISTINCT club_used FROM players_shot WHERE club_used <> ''")
        for (written,) in cursor.fetchall():
            if one_name(written) != written:
                names = [one_name(written)[:20], written]
                cursor.execute("UPDATE players_shot SET club_used = %s WHERE club_used = %s", names)
        cursor.execute("ALTER TABLE players_shot FORCE ROW LEVEL SECURITY")


class Migration(migrations.Migration):

    dependencies = [
        ('players', '0010_round_warnings'),
    ]

    operations = [migrations.RunPython(keep_under_one_name, migrations.RunPython.noop)]
