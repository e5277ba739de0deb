"""Recovery times that whoever knows the club's putts has estimated."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction

from courses.models import RecoveryTime


@transaction.atomic
def store_recovery_times(times: Iterable[RecoveryTime]) -> None:
    """Put these in the place of all recovery times that the club's putts had shown before."""
    RecoveryTime.objects.all().delete()
    RecoveryTime.objects.bulk_create(times)
