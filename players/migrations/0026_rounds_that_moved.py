"""Whose a round was before it moved, so that it can be told as gone to those who saw it there."""

import django.contrib.postgres.fields
from django.db import migrations, models

NOTE_CHANGES = """
CREATE OR REPLACE FUNCTION note_round_change() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    changed players_round;
    left_behind uuid[] := '{}';
BEGIN
    IF TG_OP = 'DELETE' THEN changed := OLD; ELSE changed := NEW; END IF;
    IF TG_OP = 'UPDATE' AND OLD.player_id <> NEW.player_id THEN left_behind := ARRAY[OLD.player_id]; END IF;
    INSERT INTO players_roundchange AS known
        (id, club_id, player_id, in_transaction, gone, changed_at, earlier_players)
    VALUES (changed.id, changed.club_id, changed.player_id, pg_current_xact_id()::text::bigint, TG_OP = 'DELETE', now(),
        left_behind)
    ON CONFLICT (id) DO UPDATE SET player_id = EXCLUDED.player_id, in_transaction = EXCLUDED.in_transaction,
        gone = EXCLUDED.gone, changed_at = EXCLUDED.changed_at,
        earlier_players = array_remove(known.earlier_players, EXCLUDED.earlier_players[1]) || EXCLUDED.earlier_players;
    RETURN NULL;
END
$$;
"""


class Migration(migrations.Migration):

    dependencies = [
        ('players', '0025_updated_at'),
    ]

    operations = [
        migrations.AddField(
            model_name='roundchange',
            name='earlier_players',
            field=django.contrib.postgres.fields.ArrayField(base_field=models.UUIDField(), db_default=[], default=list, size=None),
        ),
        migrations.RunSQL(NOTE_CHANGES, migrations.RunSQL.noop),
    ]
