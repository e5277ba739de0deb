"""The shots of a hole are numbered 1, 2, 3 … without a gap, and only the last may be holed.

Checked once a statement, so the shots of a hole are written (and replaced) in one statement.
"""

from django.db import migrations

FUNCTION = """
CREATE FUNCTION players_check_shots() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    wrong record;
BEGIN
    SELECT shot.played_hole_id INTO wrong
      FROM players_shot AS shot
     WHERE shot.played_hole_id IN (SELECT played_hole_id FROM touched)
     GROUP BY shot.played_hole_id
    HAVING max(number) <> count(*) OR min(number) FILTER (WHERE holed) < max(number)
     LIMIT 1;
    IF FOUND THEN
        RAISE EXCEPTION 'hole %: shots are numbered without a gap and only the last is holed',
            wrong.played_hole_id USING ERRCODE = 'check_violation', CONSTRAINT = 'shots_in_order';
    END IF;
    RETURN NULL;
END
$$;
"""

TRIGGERS = """
CREATE TRIGGER check_shots_inserted AFTER INSERT ON players_shot REFERENCING NEW TABLE AS touched
    FOR EACH STATEMENT EXECUTE FUNCTION players_check_shots();
CREATE TRIGGER check_shots_updated AFTER UPDATE ON players_shot REFERENCING NEW TABLE AS touched
    FOR EACH STATEMENT EXECUTE FUNCTION players_check_shots();
CREATE TRIGGER check_shots_deleted AFTER DELETE ON players_shot REFERENCING OLD TABLE AS touched
    FOR EACH STATEMENT EXECUTE FUNCTION players_check_shots();
"""


class Migration(migrations.Migration):
    dependencies = [("players", "0002_row_security")]
    operations = [migrations.RunSQL(FUNCTION + TRIGGERS, migrations.RunSQL.noop)]
