"""The application role can have the tables analysed, although they are not its own."""

from django.db import connection

from golfstats.ground.clubs.models import Club
from golfstats.ground.postgres.statistics import refresh_statistics


def analysed(table: str) -> float:
    with connection.cursor() as cursor:
        cursor.execute("SELECT reltuples FROM pg_class WHERE relname = %s", [table])
        return float(cursor.fetchone()[0])


def test_the_planner_knows_the_rows_after_a_refresh(club: Club) -> None:
    refresh_statistics()
    assert analysed("clubs_club") == 2  # the fixtures' two clubs, one of them in scope
