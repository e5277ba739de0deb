from django.db import migrations, models
from django.db.models import Q

import golfstats.ground.walls.owned
from golfstats.ground.walls.row_security import AddOwnedKey


class Migration(migrations.Migration):
    dependencies = [("clubs", "0003_counted"), ("courses", "0005_hole_shapes")]

    operations = [
        migrations.AddField(
            "course", "provisional", models.BooleanField(default=False, db_default=False)
        ),
        migrations.AddField(
            "course",
            "made_by",
            golfstats.ground.walls.owned.OwnedForeignKey(
                "clubs.member", blank=True, null=True, on_delete=models.deletion.SET_NULL, related_name="+"
            ),
        ),
        AddOwnedKey("course", "made_by"),
        migrations.RemoveConstraint("course", "course_name_once"),
        migrations.AddConstraint(
            "course",
            models.UniqueConstraint(
                fields=["club", "name"], condition=Q(provisional=False), name="course_name_once"
            ),
        ),
        migrations.AddConstraint(
            "course",
            models.UniqueConstraint(
                fields=["club", "made_by", "name"],
                condition=Q(provisional=True),
                name="provisional_name_once_a_maker",
            ),
        ),
    ]
