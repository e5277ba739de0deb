"""Clubs and members are seen in their club's scope, and by the person whose memberships they are."""

from django.db import migrations

from golfstats.ground.walls.row_security import CLUB_IN_SCOPE, USER_IN_SCOPE, ProtectTables

CLUB_POLICIES = f"""
ALTER TABLE clubs_club ENABLE ROW LEVEL SECURITY;
ALTER TABLE clubs_club FORCE ROW LEVEL SECURITY;
CREATE POLICY club_only ON clubs_club USING (id = {CLUB_IN_SCOPE}) WITH CHECK (id = {CLUB_IN_SCOPE});
CREATE POLICY own_memberships ON clubs_member FOR SELECT USING (user_id = {USER_IN_SCOPE});
CREATE POLICY own_clubs ON clubs_club FOR SELECT
    USING (id IN (SELECT club_id FROM clubs_member WHERE user_id = {USER_IN_SCOPE}));
"""


class Migration(migrations.Migration):
    dependencies = [("clubs", "0001_initial"), ("postgres", "0001_grants")]
    operations = [ProtectTables("member"), migrations.RunSQL(CLUB_POLICIES, migrations.RunSQL.noop)]
