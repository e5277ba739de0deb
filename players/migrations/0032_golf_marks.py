"""A mark of each player's golf, so that answers which rest on it need not look at every round to know that they hold."""

from importlib import import_module

import golfstats.ground.ids
import golfstats.ground.walls.scope
import django.db.models.deletion
from django.db import migrations, models

from golfstats.ground.walls.row_security import ProtectTables

ROUNDS = "SELECT DISTINCT club_id, player_id FROM changed"
MOVED = "SELECT club_id, player_id FROM changed UNION SELECT club_id, player_id FROM was"
BESIDE_ROUNDS = """
    SELECT DISTINCT round.club_id, round.player_id FROM changed
    JOIN players_round AS round ON round.club_id = changed.club_id AND round.id = changed.round_id
"""


def _function(name: str, players: str) -> str:
    # Skipping what is locked: whoever holds a mark replaces it as well, and nobody waits for them.
    return f"""
        CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$
        BEGIN
            WITH golf AS ({players}),
            outdated AS (
                DELETE FROM players_golfmark WHERE id IN (
                    SELECT mark.id FROM players_golfmark AS mark JOIN golf USING (club_id, player_id)
                    FOR UPDATE OF mark SKIP LOCKED
                )
            )
            INSERT INTO players_golfmark (id, club_id, player_id) SELECT gen_random_uuid(), club_id, player_id FROM golf;
            RETURN NULL;
        END
        $$;
    """


def _trigger(table: str, event: str, function: str) -> str:
    rows = {
        "INSERT": "NEW TABLE AS changed",
        "UPDATE": "OLD TABLE AS was NEW TABLE AS changed",
        "DELETE": "OLD TABLE AS changed",
    }
    return f"""
        CREATE TRIGGER mark_golf_{event.lower()} AFTER {event} ON {table} REFERENCING {rows[event]}
        FOR EACH STATEMENT EXECUTE FUNCTION {function}();
    """


MARKS = "".join(
    [
        _function("mark_golf_of_rounds", ROUNDS),
        _function("mark_golf_of_moved_rounds", MOVED),
        _function("mark_golf_beside_rounds", BESIDE_ROUNDS),
        _trigger("players_round", "INSERT", "mark_golf_of_rounds"),
        _trigger("players_round", "UPDATE", "mark_golf_of_moved_rounds"),
        _trigger("players_round", "DELETE", "mark_golf_of_rounds"),
        *(
            _trigger(table, event, "mark_golf_beside_rounds")
            for table in ("players_roundfigures", "players_roundnote")
            for event in ("INSERT", "UPDATE", "DELETE")
        ),
    ]
)
NO_MARKS = "".join(
    f"DROP FUNCTION {name}() CASCADE;"
    for name in ("mark_golf_of_rounds", "mark_golf_of_moved_rounds", "mark_golf_beside_rounds")
)


BEFORE = import_module("players.migrations.0031_golf_stamps")
OF_PLAYER = f"""{BEFORE.OF_PLAYER} || ' ' ||
    {BEFORE._marks("players_golfmark", "one.club_id = club AND one.player_id = player.id")}"""
STAMPS = f"""
CREATE OR REPLACE FUNCTION golf_stamps(club uuid, players uuid[], greens boolean)
RETURNS TABLE (player_id uuid, stamp text) LANGUAGE plpgsql STABLE ROWS 1 SET plan_cache_mode = force_generic_plan AS $$
DECLARE
    of_club text := {BEFORE.OF_CLUB};
BEGIN
    IF greens THEN of_club := of_club || ' ' || {BEFORE.OF_GREENS}; END IF;
    RETURN QUERY SELECT player.id, of_club || ' ' || {OF_PLAYER} FROM unnest(players) AS player (id);
END
$$
"""


class Migration(migrations.Migration):
    dependencies = [("players", "0031_golf_stamps")]

    operations = [
        migrations.CreateModel(
            name="GolfMark",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=golfstats.ground.ids.new_id, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("player_id", models.UUIDField()),
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
                "indexes": [models.Index(fields=["club", "player_id"], name="golf_mark_of_player")],
            },
        ),
        migrations.RunSQL(MARKS, NO_MARKS),
        ProtectTables("GolfMark"),
        migrations.RunSQL(STAMPS, BEFORE.STAMPS),
    ]
