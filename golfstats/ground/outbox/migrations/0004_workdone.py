from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("outbox", "0003_found")]

    operations = [
        migrations.CreateModel(
            name="WorkDone",
            fields=[
                ("kind", models.CharField(max_length=40, primary_key=True, serialize=False)),
                ("attempts", models.PositiveBigIntegerField(default=0)),
                ("seconds", models.FloatField(default=0.0)),
            ],
        ),
    ]
