"""Every night, by Celery's beat: see ``manage.py purge`` for installations without it."""

from django.utils import timezone

from golfstats.celery import app
from golfstats.ground.clubs.purging import purge as forget


@app.task(name="golfstats.purge")
def purge() -> None:
    forget(timezone.now())
