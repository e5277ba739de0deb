"""The check of a hole's shots reads only the touched holes, by their keys.

With ``IN (SELECT …)`` the planner, which knows nothing of the transition table, joined the whole table of
shots: a round cost ten times as much in a table ten times as large. An array is looked up in the index.
"""

from django.db import migrations

FUNCTION = """
CREATE OR REPLACE FUNCTION players_check_shots() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    wrong record;
    holes uuid[] := ARRAY(SELECT DISTINCT played_hole_id FROM touched);
BEGIN
    SELECT shot.played_hole_id INTO wrong
      FROM players_shot AS shot
     WHERE shot.played_hole_id = ANY(holes)
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


class Migration(migrations.Migration):
    dependencies = [("players", "0006_plans_afterwards")]
    operations = [migrations.RunSQL(FUNCTION, migrations.RunSQL.noop)]
