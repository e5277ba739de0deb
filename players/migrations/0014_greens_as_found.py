from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("players", "0013_healing_forecasts")]

    operations = [
        migrations.AddField(
            "round", "greens_found", models.CharField(blank=True, db_default="", default="", max_length=200)
        ),
    ]
