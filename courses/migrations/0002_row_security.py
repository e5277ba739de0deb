from django.db import migrations

from golfstats.ground.walls.row_security import ProtectTables


class Migration(migrations.Migration):
    dependencies = [("courses", "0001_initial"), ("clubs", "0002_row_security")]
    operations = [
        ProtectTables(
            "course",
            "teeset",
            "rating",
            "hole",
            "playingconditions",
            "greenwork",
            "greenworkchange",
            "greenreading",
            "event",
            "calendarfeed",
            "coursenote",
            "recoverytime",
        )
    ]
