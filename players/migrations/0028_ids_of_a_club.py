"""Ids of rounds are each club's own: clients choose them, and none may learn by it which ids another club has."""

from django.db import migrations

OWN_IDS = """
ALTER TABLE players_round DROP CONSTRAINT players_round_pkey, ADD PRIMARY KEY (club_id, id);
ALTER TABLE players_roundchange DROP CONSTRAINT players_roundchange_pkey, ADD PRIMARY KEY (club_id, id);
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
    ON CONFLICT (club_id, id) DO UPDATE SET player_id = EXCLUDED.player_id, in_transaction = EXCLUDED.in_transaction,
        gone = EXCLUDED.gone, changed_at = EXCLUDED.changed_at,
        earlier_players = array_remove(known.earlier_players, EXCLUDED.earlier_players[1]) || EXCLUDED.earlier_players;
    RETURN NULL;
END
$$;
"""


class Migration(migrations.Migration):

    dependencies = [
        ('players', '0027_wind_of_a_plan'),
    ]

    operations = [
        migrations.RunSQL(OWN_IDS, migrations.RunSQL.noop),
    ]
