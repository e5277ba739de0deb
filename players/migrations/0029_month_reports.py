import django.contrib.postgres.fields
import django.db.models.deletion
import golfstats.ground.walls.owned
import golfstats.ground.walls.scope
import golfstats.ground.ids
from django.db import migrations, models

from golfstats.ground.walls.row_security import ProtectTables


class Migration(migrations.Migration):

    dependencies = [
        ('clubs', '0008_sealed_keys'),
        ('players', '0028_ids_of_a_club'),
    ]

    operations = [
        migrations.CreateModel(
            name='MonthReport',
            fields=[
                ('id', models.UUIDField(default=golfstats.ground.ids.new_id, editable=False, primary_key=True, serialize=False)),
                ('month', models.DateField()),
                ('to_be_mailed', models.BooleanField(default=False)),
                ('state', models.CharField(choices=[('pending', 'Pending'), ('done', 'Done'), ('failed', 'Failed')], default='pending', max_length=10)),
                ('reason', models.CharField(blank=True, max_length=500)),
                ('asked_at', models.DateTimeField()),
                ('finished_at', models.DateTimeField(null=True)),
                ('file', models.BinaryField(null=True)),
                ('size', models.PositiveIntegerField(default=0)),
                ('tells_of', django.contrib.postgres.fields.ArrayField(base_field=models.UUIDField(), default=list, size=None)),
                ('asked_by', golfstats.ground.walls.owned.OwnedForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to='clubs.member')),
                ('club', models.ForeignKey(default=golfstats.ground.walls.scope.current_club_id, editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='clubs.club')),
                ('player', golfstats.ground.walls.owned.OwnedForeignKey(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='month_reports', to='players.player')),
                ('squad', golfstats.ground.walls.owned.OwnedForeignKey(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='players.squad')),
            ],
            options={
                'abstract': False,
                'base_manager_name': 'objects',
                'indexes': [models.Index(fields=['club', 'asked_by', '-id'], name='month_reports_of_a_member')],
            },
        ),
        ProtectTables("monthreport"),
    ]
