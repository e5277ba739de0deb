from django.db import migrations

from golfstats.ground.walls.row_security import ProtectTables


class Migration(migrations.Migration):
    dependencies = [("players", "0001_initial"), ("courses", "0003_stroke_index_permutation")]
    operations = [
        ProtectTables(
            "player",
            "squad",
            "squadplayer",
            "squadcoach",
            "round",
            "playedhole",
            "shot",
            "shotfigures",
            "roundfigures",
            "roundnote",
            "playerreport",
            "clubbenchmark",
            "conditioneffect",
            "committeeaction",
            "handicapline",
            "playerhandicap",
            "goal",
            "practicenote",
            "attentiondismissal",
            "import",
        )
    ]
