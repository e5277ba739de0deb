"""What the API tells of courses. Lengths of holes in the club's unit; stimpmeter distances in feet as everywhere."""

from __future__ import annotations

from typing import Any

from courses.lengths import from_yards
from courses.models import (
    CalendarFeed,
    Course,
    CourseNote,
    Event,
    GreenReading,
    GreenWork,
    GreenWorkChange,
    Hole,
    PlayingConditions,
    Rating,
    TeeSet,
)
from courses.queries.condition import CourseDay, work_of
from courses.queries.greens import speed_of
from courses.services.greens import as_fields
from golfstats.calc.greens.work_types import work_types
from golfstats.clubs.models import Club, Member


def course_line(course: Course) -> dict[str, Any]:
    return {
        "id": course.id,
        "name": course.name,
        "hole_count": course.hole_count,
        "grass": course.grass,
        "season": course.season,
    }


def course_in_full(course: Course, club: Club) -> dict[str, Any]:
    tees = [tee_set_in_full(tee, club) for tee in course.tee_sets.all()]
    return course_line(course) | {"unit": club.distance_unit, "tees": tees}


def tee_set_in_full(tee: TeeSet, club: Club) -> dict[str, Any]:
    holes = list(tee.holes.all())
    length = sum(hole.length for hole in holes)
    return {
        "id": tee.id,
        "name": tee.name,
        "length": from_yards(length, club.distance_unit) if holes else None,
        "unit": club.distance_unit,
        "holes": [_hole_line(hole, club) for hole in holes],
        "ratings": [_rating_line(rating) for rating in tee.ratings.all()],
    }


def _hole_line(hole: Hole, club: Club) -> dict[str, Any]:
    return {
        "number": hole.number,
        "length": from_yards(hole.length, club.distance_unit),
        "par_men": hole.par_men,
        "par_women": hole.par_women,
        "stroke_index_men": hole.stroke_index_men,
        "stroke_index_women": hole.stroke_index_women,
    }


def _rating_line(rating: Rating) -> dict[str, Any]:
    return {
        "gender": rating.gender,
        "section": rating.section,
        "course_rating": float(rating.course_rating),
        "slope_rating": rating.slope_rating,
        "par": rating.par,
    }


def playing_conditions_line(row: PlayingConditions) -> dict[str, Any]:
    return {
        "id": row.id,
        "played_on": row.played_on,
        "part_of_day": row.part_of_day,
        "pcc": row.pcc,
        "origin": row.origin,
        "entered_by": _who(row.entered_by),
        "entered_at": row.entered_at,
    }


def event_line(row: Event) -> dict[str, Any]:
    names = ("id", "name", "starts_on", "ends_on", "competition")
    return {name: getattr(row, name) for name in names}


def green_work_line(row: GreenWork) -> dict[str, Any]:
    return (
        {"id": row.id}
        | as_fields(row)
        | {
            "words": work_types()[row.kind].words,
            "disturbance_at_once": round(work_of(row).strength, 2),
            "usual_recovery_days": work_types()[row.kind].recovery_days,
            "uid": row.uid,
            "sequence": row.sequence,
            "entered_by": _who(row.entered_by),
            "changed_at": row.changed_at,
        }
    )


def change_line(row: GreenWorkChange) -> dict[str, Any]:
    return {
        "changed_at": row.changed_at,
        "changed_by": _who(row.changed_by),
        "action": row.action,
        "before": row.before,
        "after": row.after,
    }


def reading_line(row: GreenReading) -> dict[str, Any]:
    speed = speed_of(row)
    names = (
        "id",
        "hole",
        "measured_at",
        "roll_one_way_ft",
        "roll_other_way_ft",
        "firmness_g",
        "moisture_pct",
        "mowing_height_mm",
        "bobble_score",
        "note",
    )
    return {name: getattr(row, name) for name in names} | {
        "speed_ft": None if speed is None else round(speed.speed_ft, 2),
        "doubtful": bool(speed and speed.doubtful),
        "doubts": list(speed.doubts) if speed else [],
        "entered_by": _who(row.entered_by),
    }


def feed_line(row: CalendarFeed) -> dict[str, Any]:
    return {
        "id": row.id,
        "created_by": _who(row.created_by),
        "created_at": row.created_at,
        "revoked_at": row.revoked_at,
    }


def condition_line(state: CourseDay) -> dict[str, Any]:
    return {
        "day": state.day,
        "disturbance": round(state.mean, 3),
        "greens": [
            {"hole": hole, "disturbance": round(value, 3), "temporary": hole in state.temporary}
            for hole, value in state.by_green.items()
        ],
        "work": [
            {
                "id": row.id,
                "kind": row.kind,
                "words": work_types()[row.kind].words,
                "days_since": max((state.day - row.ends_on).days, 0),
                "holes": row.holes,
                "status": row.status,
            }
            for row in state.felt
        ],
    }


def note_line(row: CourseNote) -> dict[str, Any]:
    names = ("day", "text", "figures", "written_at")
    return {name: getattr(row, name) for name in names}


def _who(member: Member | None) -> str | None:
    return None if member is None else member.name
