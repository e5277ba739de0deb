"""Measurements of greens."""

from __future__ import annotations

from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from courses.inputs import GreenReadingBody
from courses.models import Course, GreenReading
from courses.services.greens import refuse_unknown_greens
from golfstats.api.problems import Fault, invalid
from golfstats.clubs.models import Member


@transaction.atomic
def save_reading(
    member: Member, course: Course, reading: GreenReading, given: GreenReadingBody
) -> GreenReading:
    """Enter or correct a reading; raises a 422 problem for one from the future or an unknown green."""
    if given.measured_at > timezone.now() + timedelta(minutes=5):
        raise invalid([Fault("/measured_at", "in_the_future", "a reading has been taken")])
    refuse_unknown_greens(course, [given.hole] if given.hole else [], "/hole")
    for name, value in given.model_dump().items():
        setattr(reading, name, value)
    reading.course, reading.entered_by = course, member
    reading.save()
    return reading
