"""A reading says which version of its round it is of, so that a corrected round is read anew."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("players", "0034_handicap_fingerprint"),
    ]

    operations = [
        migrations.AddField(
            model_name="planafterwards",
            name="round_version",
            field=models.IntegerField(db_default=0, default=0),
        ),
    ]
