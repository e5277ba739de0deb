from django.db import migrations

from golfstats.ground.walls.row_security import ProtectTables


class Migration(migrations.Migration):
    dependencies = [("api", "0001_initial"), ("clubs", "0002_row_security")]
    operations = [ProtectTables("answeredrequest")]
