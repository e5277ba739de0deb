"""A tee set's holes are numbered 1..n and its stroke indexes are a permutation of 1..n, for each gender.

Checked once a statement, so a tee set's holes are written in one statement.
"""

from django.db import migrations

FUNCTION = """
CREATE FUNCTION courses_check_holes() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    wrong record;
BEGIN
    SELECT hole.tee_set_id INTO wrong
      FROM courses_hole AS hole
     WHERE hole.tee_set_id IN (SELECT tee_set_id FROM touched)
     GROUP BY hole.tee_set_id
    HAVING count(*) NOT IN (9, 18)
        OR max(number) <> count(*)
        OR (count(stroke_index_men) NOT IN (0, count(*)))
        OR (count(stroke_index_women) NOT IN (0, count(*)))
        OR (count(stroke_index_men) > 0 AND (count(DISTINCT stroke_index_men) <> count(*)
            OR min(stroke_index_men) <> 1 OR max(stroke_index_men) <> count(*)))
        OR (count(stroke_index_women) > 0 AND (count(DISTINCT stroke_index_women) <> count(*)
            OR min(stroke_index_women) <> 1 OR max(stroke_index_women) <> count(*)))
     LIMIT 1;
    IF FOUND THEN
        RAISE EXCEPTION 'tee set %: 9 or 18 holes numbered without a gap, stroke indexes a permutation',
            wrong.tee_set_id USING ERRCODE = 'check_violation', CONSTRAINT = 'hole_stroke_index_permutation';
    END IF;
    RETURN NULL;
END
$$;
"""

TRIGGERS = """
CREATE TRIGGER check_holes_inserted AFTER INSERT ON courses_hole REFERENCING NEW TABLE AS touched
    FOR EACH STATEMENT EXECUTE FUNCTION courses_check_holes();
CREATE TRIGGER check_holes_updated AFTER UPDATE ON courses_hole REFERENCING NEW TABLE AS touched
    FOR EACH STATEMENT EXECUTE FUNCTION courses_check_holes();
CREATE TRIGGER check_holes_deleted AFTER DELETE ON courses_hole REFERENCING OLD TABLE AS touched
    FOR EACH STATEMENT EXECUTE FUNCTION courses_check_holes();
"""


class Migration(migrations.Migration):
    dependencies = [("courses", "0002_row_security")]
    operations = [migrations.RunSQL(FUNCTION + TRIGGERS, migrations.RunSQL.noop)]
