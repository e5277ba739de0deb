"""When each round was last written or deleted, for clients that keep rounds of their own."""

import django.db.models.deletion
import golfstats.ground.walls.scope
import golfstats.ground.ids
from django.db import migrations, models

from golfstats.ground.walls.row_security import ProtectTables

NOTE_CHANGES = """
CREATE FUNCTION note_round_change() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    changed players_round;
BEGIN
    IF TG_OP = 'DELETE' THEN changed := OLD; ELSE changed := NEW; END IF;
    INSERT INTO players_roundchange AS known (id, club_id, player_id, in_transaction, gone, changed_at)
    VALUES (changed.id, changed.club_id, changed.player_id, pg_current_xact_id()::text::bigint, TG_OP = 'DELETE', now())
    ON CONFLICT (id) DO UPDATE SET player_id = EXCLUDED.player_id, in_transaction = EXCLUDED.in_transaction,
        gone = EXCLUDED.gone, changed_at = EXCLUDED.changed_at;
    RETURN NULL;
END
$$;
CREATE TRIGGER note_round_change AFTER INSERT OR UPDATE OR DELETE ON players_round
    FOR EACH ROW EXECUTE FUNCTION note_round_change();
-- The owner is bound by the policies as well, and a migration has no club in scope.
ALTER TABLE players_round NO FORCE ROW LEVEL SECURITY;
INSERT INTO players_roundchange (id, club_id, player_id, in_transaction, gone, changed_at)
    SELECT id, club_id, player_id, pg_current_xact_id()::text::bigint, false, now() FROM players_round;
ALTER TABLE players_round FORCE ROW LEVEL SECURITY;
"""


class Migration(migrations.Migration):
    dependencies = [("players", "0017_erased_players")]

    operations = [
        migrations.AddField(
            model_name="round",
            name="sent",
            field=models.CharField(blank=True, db_default="", default="", max_length=64),
        ),
        migrations.CreateModel(
            name="RoundChange",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=golfstats.ground.ids.new_id, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("player_id", models.UUIDField()),
                ("in_transaction", models.BigIntegerField()),
                ("gone", models.BooleanField(default=False)),
                ("changed_at", models.DateTimeField()),
                (
                    "club",
                    models.ForeignKey(
                        default=golfstats.ground.walls.scope.current_club_id,
                        editable=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="clubs.club",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "base_manager_name": "objects",
                "indexes": [models.Index(fields=["club", "in_transaction", "id"], name="players_rou_club_id_1be5e4_idx")],
            },
        ),
        migrations.RunSQL(NOTE_CHANGES, "DROP TRIGGER note_round_change ON players_round; DROP FUNCTION note_round_change;"),
        ProtectTables("RoundChange"),
    ]
