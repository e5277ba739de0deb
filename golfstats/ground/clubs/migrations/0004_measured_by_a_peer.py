from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('clubs', '0003_counted'),
    ]

    operations = [
        migrations.AlterField(
            model_name='club',
            name='benchmark',
            field=models.CharField(default='peer', max_length=40),
        ),
    ]
