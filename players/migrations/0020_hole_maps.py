import django.db.models.deletion
from django.db import migrations, models

import golfstats.ground.walls.owned
import golfstats.ground.walls.scope
import golfstats.ground.ids
from golfstats.ground.walls.row_security import ProtectTables


class Migration(migrations.Migration):
    dependencies = [
        ("clubs", "0005_accounts"),
        ("courses", "0006_provisional_courses"),
        ("players", "0019_rounds_in_play"),
    ]

    operations = [
        migrations.CreateModel(
            name="HoleMap",
            fields=[
                ("id", models.UUIDField(default=golfstats.ground.ids.new_id, editable=False, primary_key=True, serialize=False)),
                ("gender", models.CharField(choices=[("men", "Men"), ("women", "Women")], max_length=10)),
                ("number", models.PositiveSmallIntegerField()),
                ("document", models.JSONField()),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("club", models.ForeignKey(default=golfstats.ground.walls.scope.current_club_id, editable=False, on_delete=django.db.models.deletion.CASCADE, related_name="+", to="clubs.club")),
                ("tee_set", golfstats.ground.walls.owned.OwnedForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="hole_maps", to="courses.teeset")),
            ],
            options={
                "abstract": False,
                "base_manager_name": "objects",
                "constraints": [models.UniqueConstraint(fields=("club", "tee_set", "gender", "number"), name="hole_map_once")],
            },
        ),
        ProtectTables("holemap"),
        migrations.AddField("planhole", "rests_on", models.CharField(blank=True, db_default="", default="", max_length=64)),
        migrations.AddIndex("planhole", models.Index(fields=["club", "rests_on"], name="players_pla_club_id_0297fe_idx")),
    ]
