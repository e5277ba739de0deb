"""When rows were last written, for lists that are asked what is new."""

import django.db.models.functions.datetime
import django.utils.timezone
from django.db import migrations, models

from golfstats.ground.walls.dated import KeepUpdated, Touches


class Migration(migrations.Migration):

    dependencies = [
        ('players', '0024_next_round_forecasts'),
    ]

    operations = [
        migrations.AddField(
            model_name='committeeaction',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='goal',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='player',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='practicenote',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='round',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='roundinplay',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='roundplan',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        migrations.AddField(
            model_name='squad',
            name='updated_at',
            field=models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), default=django.utils.timezone.now, editable=False),
        ),
        KeepUpdated("Player", "Squad", "Round", "RoundInPlay", "RoundPlan", "Goal", "PracticeNote", "CommitteeAction"),
        Touches("SquadPlayer", "squad"),
        Touches("SquadCoach", "squad"),
    ]
