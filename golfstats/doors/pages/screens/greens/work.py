"""Entering, correcting and taking back work on the greens, readings and events; all by forms for staff."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django import forms as django_forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.calendars import services as days
from courses.calendars.models import Event
from courses.calendars.operations import EVENT
from courses.greens import services as greens
from courses.greens.answers import known_kinds
from courses.greens.condition import recovery_by_kind
from courses.greens.models import GreenReading, GreenWork, WorkStatus
from courses.greens.operations import GREEN_READING, GREEN_WORK
from courses.layout.models import Course
from courses.layout.operations import COURSE, GREEN_STAFF
from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.form_page import Crumb, FormPage
from golfstats.doors.pages.forms import Choice, Day, Given, Moment, Number, Numbers, Tick, Words
from golfstats.doors.pages.languages import translated
from golfstats.ground import inputs
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.operations import Asker
from golfstats.ground.words import counted, dated, with_marks

CAUTION = noop(
    "Chemicals: the product's label and your local codes come before anything noted here. Keep people off "
    "treated greens for as long as the label says, and wear what it asks for."
)
GROUPS: dict[str, tuple[str, ...]] = {
    noop("Coring"): (
        "coring_medium",
        "coring_small",
        "coring_large",
        "coring_double_pass",
        "coring_spring",
        "coring_autumn",
        "venting_summer_core",
    ),
    noop("Holes and slits without cores"): (
        "solid_tine",
        "venting",
        "deep_tine",
        "slicing",
        "drill_and_fill",
        "air_injection",
        "water_injection",
        "sand_injection",
    ),
    noop("Blades and brushes"): ("verticutting_light", "verticutting_deep", "grooming", "brushing"),
    noop("Sand, seed and rolling"): (
        "topdressing_light",
        "topdressing_heavy",
        "rolling",
        "overseeding",
        "transition",
    ),
    noop("Holes, repairs, damage"): ("hole_change", "turf_repair", "turf_damage", "other"),
}
"""Kinds by what is done to the surface, the usual ones first."""
STATUSES = [
    (WorkStatus.CONFIRMED.value, noop("will be done, or was")),
    (WorkStatus.TENTATIVE.value, noop("perhaps")),
    (WorkStatus.CANCELLED.value, noop("cancelled")),
]


@dataclass(frozen=True)
class Kind:
    """A kind of work to choose: what it means, and the one forecast of how long it will be felt."""

    key: str
    words: str
    meaning: str
    forecast: str


def kinds_in_groups() -> list[tuple[str, list[Kind]]]:
    """Every known kind, once. The club's own putts tell how long it lasts where they can, else the usual."""
    own = recovery_by_kind()
    return [(gettext(group), [_kind(key, own) for key in keys]) for group, keys in GROUPS.items()]


def _kind(key: str, own: Mapping[str, float]) -> Kind:
    usual = known_kinds()[key]
    days = round(own.get(key, usual.recovery_days))
    source = gettext("by this club's putts") if key in own else gettext("as is usual")
    forecast = gettext("felt for about {days}, {source}").format(days=counted(days, "day"), source=source)
    if days == 0:
        forecast = gettext("felt for less than a day") if usual.recovery_days else gettext("not felt")
    return Kind(key, gettext(usual.words), gettext(usual.description), forecast)


def kind_choices() -> list[tuple[str, list[tuple[str, str]]]]:
    return [(group, [(one.key, one.words) for one in kinds]) for group, kinds in kinds_in_groups()]


class OfStaff(FormPage):
    """A form about a course for greenkeepers and managers."""

    course: Course

    def prepare(self, **places: Any) -> None:
        asker = Asker(self.member)
        self.course = COURSE.one(asker, {"course_id": places["course_id"]})
        asker.needs(*GREEN_STAFF)

    def back(self) -> str:
        return self.address("course-page", self.course.id)

    def crumb(self) -> Crumb:
        return Crumb(gettext("{name}: greens").format(name=self.course.name), self.back())


class _Work(OfStaff):
    template = "green_work"
    caution = CAUTION

    def fields(self) -> Mapping[str, django_forms.Field]:
        greens_of_course = [(str(n), str(n)) for n in range(1, self.course.hole_count + 1)]
        return {
            "kind": Choice(gettext("What is done"), kind_choices()),
            "starts_on": Day(gettext("First day")),
            "ends_on": Day(gettext("Last day"), gettext("Left out: the same day"), required=False),
            "holes": django_forms.MultipleChoiceField(
                label=gettext("Greens"),
                choices=greens_of_course,
                required=False,
                widget=django_forms.CheckboxSelectMultiple,
                help_text=gettext("None chosen: all greens"),
                error_messages={
                    "invalid_choice": gettext("{name} has {hole_count} greens.").format(
                        name=self.course.name, hole_count=self.course.hole_count
                    )
                },
            ),
            "temporary_greens": Tick(gettext("Temporary greens are in play")),
            "tine_diameter_mm": Number(gettext("Tine diameter, mm")),
            "spacing_along_mm": Number(gettext("Spacing along, mm")),
            "spacing_across_mm": Number(gettext("Spacing across, mm")),
            "severity": Number(
                gettext("Disturbance just after"),
                gettext("0 (none) to 1 (just cored), if you know better than the usual"),
            ),
            "status": Choice(gettext("State"), translated(STATUSES), required=False),
            "note": Words(gettext("Note"), gettext("Depth, machine, weather"), lines=3, required=False),
        }

    def extra(self) -> dict[str, object]:
        chosen = self.request.POST.get("kind") or self.present().get("kind", "")
        groups = kinds_in_groups()
        unfolded = next(
            (name for name, kinds in groups if chosen in {one.key for one in kinds}), groups[0][0]
        )
        return {"groups": groups, "unfolded": unfolded, "course": self.course, "folded": FOLDED}


FOLDED = ("tine_diameter_mm", "spacing_along_mm", "spacing_across_mm", "severity", "status", "note")
"""What few need to say, beneath the button."""


class NewWork(_Work):
    title = noop("Flag green work")
    done = noop("Green work saved. Players see it before they tee off.")

    def present(self) -> Mapping[str, Any]:
        return {"starts_on": self.today.isoformat(), "status": WorkStatus.CONFIRMED.value}

    def save(self, given: Given) -> None:
        greens.add_work(self.member, self.course, inputs.checked(greens.GreenWorkBody, given))


class EditWork(_Work):
    title = noop("Correct green work")
    done = noop("Green work corrected; notes and adjusted figures of the rounds in question follow")
    row: GreenWork

    def prepare(self, **places: Any) -> None:
        super().prepare(**places)
        self.row = GREEN_WORK.one(Asker(self.member), places, to_change=True)

    def present(self) -> Mapping[str, Any]:
        return greens.as_fields(self.row) | {"holes": [str(hole) for hole in self.row.holes]}

    def save(self, given: Given) -> None:
        greens.change_work(self.member, self.row, inputs.checked(greens.GreenWorkBody, given))


class OfCourse(ClubPage):
    def course(self, course_id: UUID) -> Course:
        return COURSE.one(self.asker, {"course_id": course_id})

    @property
    def staff(self) -> bool:
        return self.member.role in GREEN_STAFF


class DeleteWork(OfCourse):
    """Asks first; the history of the work stays."""

    def _row(self, course_id: UUID, work_id: UUID) -> GreenWork:
        row = GREEN_WORK.one(self.asker, {"course_id": course_id, "work_id": work_id}, to_change=True)
        self.asker.needs(*GREEN_STAFF)
        return row

    def get(self, request: HttpRequest, course_id: UUID, work_id: UUID) -> HttpResponse:
        row = self._row(course_id, work_id)
        context = {
            "question": gettext("Take back {words} of {starts_on}?").format(
                words=gettext(known_kinds()[row.kind].words),
                starts_on=dated(row.starts_on, "j F Y"),
            ),
            "consequence": gettext(
                "Notes and adjusted figures of the rounds after it are written again. "
                "The history keeps what was entered."
            ),
            "button": gettext("Take it back"),
            "back": self.address("course-page", course_id),
        }
        return self.page("confirm", context)

    def post(self, request: HttpRequest, course_id: UUID, work_id: UUID) -> HttpResponse:
        greens.delete_work(self.member, self._row(course_id, work_id))
        messages.success(request, gettext("Green work taken back"))
        return redirect(self.address("course-page", course_id))


class NewReading(OfStaff):
    title = noop("Enter a green reading")
    done = noop("Reading saved")

    def fields(self) -> Mapping[str, django_forms.Field]:
        rolls = gettext("Stimpmeter, feet: three balls with spaces between, or their mean")
        return {
            "measured_at": Moment(gettext("Day and time")),
            "hole": Number(gettext("Green"), gettext("Left out: the practice green"), whole=True),
            "roll_one_way_ft": Numbers(gettext("Rolled one way"), rolls),
            "roll_other_way_ft": Numbers(gettext("Rolled back"), rolls),
            "firmness_g": Number(gettext("Firmness, g")),
            "moisture_pct": Number(gettext("Moisture, %")),
            "mowing_height_mm": Number(gettext("Mowing height, mm")),
            "bobble_score": Number(
                gettext("Smoothness by eye"), gettext("1 (rough) to 5 (smooth)"), whole=True
            ),
            "note": Words(gettext("Note"), lines=3, required=False),
        }

    def present(self) -> Mapping[str, Any]:
        return {"measured_at": self._now().strftime("%Y-%m-%dT%H:%M")}

    def save(self, given: Given) -> None:
        if "measured_at" in given:
            given["measured_at"] = self._with_zone(given["measured_at"])
        body = inputs.checked(greens.GreenReadingBody, given)
        greens.save_reading(self.member, self.course, GreenReading(), body)

    def _now(self) -> datetime:
        return datetime.now(ZoneInfo(self.club.time_zone))

    def _with_zone(self, text: str) -> str:
        """The form gives the club's local time without saying so."""
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            raise invalid([Fault("/measured_at", "not_a_time", gettext("Enter a day and a time."))]) from None
        return (moment if moment.tzinfo else moment.replace(tzinfo=ZoneInfo(self.club.time_zone))).isoformat()


class QuickReading(OfCourse):
    """A speed by one tap: of a green chosen before, the same both ways, now."""

    def post(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course = self.course(course_id)
        self.asker.needs(*GREEN_STAFF)
        speed = request.POST.get("speed", "")
        now = datetime.now(ZoneInfo(self.club.time_zone)).isoformat()
        asked = {
            "measured_at": now,
            "hole": request.POST.get("hole") or None,
            "roll_one_way_ft": [speed],
            "roll_other_way_ft": [speed],
        }
        body = inputs.checked(greens.GreenReadingBody, asked)
        greens.save_reading(self.member, course, GreenReading(), body)
        where = gettext("green {hole}").format(hole=body.hole) if body.hole else gettext("the practice green")
        messages.success(
            request,
            gettext("{roll_one_way_ft} ft noted for {where}. A slip? Remove it below.").format(
                roll_one_way_ft=with_marks(f"{body.roll_one_way_ft[0]:g}"), where=where
            ),
        )
        return redirect(self.address("course-page", course_id) + "#readings")


class DeleteReading(OfCourse):
    def post(self, request: HttpRequest, course_id: UUID, reading_id: UUID) -> HttpResponse:
        row = GREEN_READING.one(
            self.asker, {"course_id": course_id, "reading_id": reading_id}, to_change=True
        )
        self.asker.needs(*GREEN_STAFF)
        greens.delete_reading(row)
        messages.success(request, gettext("Reading removed"))
        return redirect(self.address("course-page", course_id) + "#readings")


class NewEvent(OfStaff):
    title = noop("Enter an event")
    done = noop("Event saved")

    def fields(self) -> Mapping[str, django_forms.Field]:
        return {
            "name": Words(gettext("Name")),
            "starts_on": Day(gettext("First day")),
            "ends_on": Day(gettext("Last day"), gettext("Left out: the same day"), required=False),
            "competition": Tick(gettext("A competition")),
        }

    def present(self) -> Mapping[str, Any]:
        return {"competition": True}

    def save(self, given: Given) -> None:
        days.save_event(self.course, Event(), inputs.checked(days.EventBody, given))


class DeleteEvent(OfCourse):
    def post(self, request: HttpRequest, course_id: UUID, event_id: UUID) -> HttpResponse:
        row = EVENT.one(self.asker, {"course_id": course_id, "event_id": event_id}, to_change=True)
        self.asker.needs(*GREEN_STAFF)
        days.delete_event(row)
        messages.success(request, gettext("{name} removed").format(name=row.name))
        return redirect(self.address("course-page", course_id) + "#events")


def speeds_about(last: float | None) -> Sequence[str]:
    """Speeds to tap, about the last one measured; 9 ft where there is none."""
    middle = round((last or 9.0) * 2) / 2
    return [f"{middle + step / 2:g}" for step in range(-3, 4)]
