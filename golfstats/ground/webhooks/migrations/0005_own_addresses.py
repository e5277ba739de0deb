import django.contrib.postgres.fields
import django.db.models.deletion
from django.db import migrations, models

import golfstats.ground.walls.owned
from golfstats.ground.walls.row_security import AddOwnedKey


class Migration(migrations.Migration):
    dependencies = [
        ("clubs", "0008_sealed_keys"),
        ("webhooks", "0004_secrets_in_turn"),
    ]

    operations = [
        migrations.AddField(
            model_name="destination",
            name="owner",
            field=golfstats.ground.walls.owned.OwnedForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="+",
                to="clubs.member",
            ),
        ),
        AddOwnedKey("destination", "owner"),
        migrations.AlterField(
            model_name="delivery",
            name="happening",
            field=models.CharField(max_length=30),
        ),
        migrations.AlterField(
            model_name="destination",
            name="happenings",
            field=django.contrib.postgres.fields.ArrayField(
                base_field=models.CharField(max_length=30), size=None
            ),
        ),
    ]
