"""Where the wind of a plan's day blows from."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('players', '0026_rounds_that_moved'),
    ]

    operations = [
        migrations.AddField(
            model_name='roundplan',
            name='wind_from',
            field=models.FloatField(blank=True, null=True),
        ),
    ]
