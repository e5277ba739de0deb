"""What remembered answers rest on, in a function: PostgreSQL plans it once a connection and not once a request."""

from django.db import migrations

FEW = 4
"""Players whose rows are looked up round by round. Of more it takes less to join their rounds with all figures."""


def _mark(row: str) -> str:
    return f"hashtidextended({row}.ctid, {row}.xmin::text::bigint)"


def _sum(marks: str) -> str:
    """So many rows, in these versions, in whatever order."""
    return f"count({marks}) || ':' || COALESCE(sum({marks}), 0)"


def _marks(table: str, of: str) -> str:
    return f"(SELECT {_sum(_mark('one'))} FROM {table} AS one WHERE {of})"


def _marks_by_round(table: str) -> str:
    """Of rows beside the rounds of a player, each found by its key."""
    of_round = f"(SELECT {_mark('one')} FROM {table} AS one WHERE one.club_id = club AND one.round_id = round.id)"
    return (
        f"(SELECT {_sum('beside')} FROM (SELECT {of_round} AS beside "
        "FROM players_round AS round WHERE round.club_id = club AND round.player_id = player.id) AS found)"
    )


def _joined(*marks: str) -> str:
    return " || ' ' || ".join(marks)


OF_CLUB = _joined(
    _marks("clubs_club", "one.id = club"),
    *(
        _marks(table, "one.club_id = club")
        for table in (
            "players_clubbenchmark",
            "courses_course",
            "courses_teeset",
            "courses_rating",
            "courses_hole",
            "courses_playingconditions",
        )
    ),
)
OF_GREENS = _joined(
    *(
        _marks(table, "one.club_id = club")
        for table in ("players_conditioneffect", "courses_greenwork", "courses_recoverytime")
    )
)
OF_PLAYER = _joined(
    _marks("players_player", "one.club_id = club AND one.id = player.id"),
    *(
        _marks(table, "one.club_id = club AND one.player_id = player.id")
        for table in ("players_playerhandicap", "players_bagword", "players_goal", "players_committeeaction")
    ),
)
ROUNDS = _joined(
    _marks("players_round", "one.club_id = club AND one.player_id = player.id"),
    _marks_by_round("players_roundfigures"),
)
ROUNDS_OF_MANY = f"""(
    SELECT round.player_id, {_joined(_sum(_mark('round')), _sum(_mark('figures')))} AS marks
    FROM players_round AS round LEFT JOIN players_roundfigures AS figures
        ON figures.club_id = round.club_id AND figures.round_id = round.id
    WHERE round.club_id = club AND round.player_id = ANY(players) GROUP BY round.player_id
)"""

STAMPS = f"""
CREATE OR REPLACE FUNCTION golf_stamps(club uuid, players uuid[], greens boolean)
RETURNS TABLE (player_id uuid, stamp text) LANGUAGE plpgsql STABLE ROWS 1 SET plan_cache_mode = force_generic_plan AS $$
DECLARE
    of_club text := {OF_CLUB};
BEGIN
    IF greens THEN
        of_club := of_club || ' ' || {OF_GREENS};
        RETURN QUERY SELECT player.id, {_joined('of_club', OF_PLAYER, ROUNDS, _marks_by_round("players_roundnote"))}
            FROM unnest(players) AS player (id);
    ELSIF cardinality(players) <= {FEW} THEN
        RETURN QUERY SELECT player.id, {_joined('of_club', OF_PLAYER, ROUNDS)} FROM unnest(players) AS player (id);
    ELSE
        RETURN QUERY SELECT player.id, {_joined('of_club', OF_PLAYER, "COALESCE(golf.marks, '0:0 0:0')")}
            FROM unnest(players) AS player (id) LEFT JOIN {ROUNDS_OF_MANY} AS golf ON golf.player_id = player.id;
    END IF;
END
$$
"""


class Migration(migrations.Migration):
    dependencies = [("players", "0030_notes_in_parts"), ("courses", "0007_updated_at"), ("clubs", "0008_sealed_keys")]

    operations = [migrations.RunSQL(STAMPS, "DROP FUNCTION golf_stamps(uuid, uuid[], boolean)")]
