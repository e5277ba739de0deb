"""When rows were last written, for lists that are asked what is new."""

import django.db.models.functions.datetime
import django.utils.timezone
from django.db import migrations, models

from golfstats.ground.walls.dated import KeepUpdated


class Migration(migrations.Migration):

    dependencies = [
        ('courses', '0006_provisional_courses'),
    ]

    operations = [
        migrations.AddField(
            model_name='course',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='event',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='greenreading',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='greenwork',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='playingconditions',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        KeepUpdated("Course", "PlayingConditions", "GreenWork", "GreenReading", "Event"),
    ]
