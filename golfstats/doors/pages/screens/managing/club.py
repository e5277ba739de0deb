"""The club at a glance: what is still missing, what waits; and its settings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django import forms as django_forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.layout.answers import CourseInFull, courses_in_full
from courses.layout.operations import COURSE
from golfstats.doors.pages.forms import Choice, Given, Number, Numbers, Words
from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.screens.chapters.base import benchmark_options
from golfstats.doors.pages.screens.managing.base import ManagerForm, OfManager
from golfstats.ground import inputs
from golfstats.ground.clock import time_zones
from golfstats.ground.clubs import invitations
from golfstats.ground.clubs.models import DateStyle, DistanceUnit, ErasedGolf, FirstWeekday
from golfstats.ground.operations import Query
from golfstats.ground.outbox import work
from golfstats.ground.webhooks.operations import DELIVERY
from golfstats.ground.words import counted
from players.club.operations import ClubSettings
from players.club.services import change_settings
from players.figures.audit import AUDIT
from players.files.operations import IMPORT
from players.people.operations import PLAYER, SQUAD
from players.rounds.answers import visible_rounds

ERASED_GOLF = (
    (ErasedGolf.GONE, noop("go")),
    (ErasedGolf.ANONYMOUS, noop("stay under no name in what the club's golf teaches")),
)
DISTANCES = (
    (DistanceUnit.YARDS, noop("yards, and feet on the green")),
    (DistanceUnit.METRES, noop("metres, on the green too")),
)
DATES = (
    (DateStyle.DAY_MONTH, noop("14 Nov 2026")),
    (DateStyle.MONTH_DAY, noop("Nov 14, 2026")),
    (DateStyle.ISO, noop("2026-11-14")),
)
WEEKS = ((FirstWeekday.MONDAY, noop("Monday")), (FirstWeekday.SUNDAY, noop("Sunday")))
ROUNDS_KEPT = noop(
    "Left out or 0: for ever. Older rounds go in the night, with their figures and for good. What a handicap of today "
    "rests on stays: everything since a year before the player's last score, and the 20 scores before that"
)


@dataclass(frozen=True)
class Step:
    """One step from an empty club to its first figures."""

    words: str
    done: bool
    address: str
    button: str


class Manage(OfManager):
    def get(self, request: HttpRequest) -> HttpResponse:
        courses = courses_in_full(self.asker, list(COURSE.visible(self.asker).order_by("name")), Query())
        steps = self._steps(courses)
        context = {
            "steps": steps,
            "founded": all(step.done for step in steps),
            "waits": self._waits(courses),
            "audit": work.found_last(AUDIT),
        }
        return self.page("manage", context)

    def _steps(self, courses: list[CourseInFull]) -> list[Step]:
        rated = any(tee.ratings and tee.holes for course in courses for tee in course.tees)
        first = courses[0].id if courses else None
        layout = self.address("course-layout", first) if first else self.address("courses-page")
        return [
            Step(
                gettext("The club's settings"),
                done=True,
                address=self.address("club-settings"),
                button=gettext("Settings"),
            ),
            Step(gettext("A course"), bool(courses), self.address("courses-page"), gettext("Add a course")),
            Step(gettext("Its holes and ratings"), rated, layout, gettext("Enter holes")),
            Step(
                gettext("People: a link for each, or a player without a sign-in"),
                PLAYER.visible(self.asker).exists(),
                self.address("members-page"),
                gettext("Invite people"),
            ),
            Step(
                gettext("A squad with its coach"),
                SQUAD.visible(self.asker).exists(),
                self.address("squads-page"),
                gettext("Make a squad"),
            ),
            Step(
                gettext("The first round"),
                visible_rounds(self.member).exists(),
                self.address("round-entry"),
                gettext("Enter a round"),
            ),
        ]

    def _waits(self, courses: list[CourseInFull]) -> list[tuple[str, str]]:
        """What somebody should see to: words and where."""
        open_matters = []
        invited = invitations.open_invitations().count()
        if invited:
            open_matters.append(
                (
                    gettext("{invitations} not accepted yet").format(
                        invitations=counted(invited, "invitation")
                    ),
                    self.address("members-page"),
                )
            )
        for course in courses:
            lacking = [tee.name for tee in course.tees if not tee.ratings or not tee.holes]
            if lacking or not course.tees:
                words = gettext("{course}: {tees} without holes or ratings").format(
                    course=course.name, tees=", ".join(lacking) or gettext("no tees")
                )
                open_matters.append((words, self.address("course-layout", course.id)))
        failed = DELIVERY.visible(self.asker).filter(given_up_at__isnull=False).count()
        if failed:
            open_matters.append(
                (
                    gettext("{messages} did not arrive").format(messages=counted(failed, "message")),
                    self.address("webhooks-page"),
                )
            )
        running = IMPORT.visible(self.asker).filter(finished_at=None).count()
        if running:
            open_matters.append(
                (
                    gettext("{imports} still running").format(imports=counted(running, "import")),
                    self.address("imports-page"),
                )
            )
        pending = visible_rounds(self.member).filter(analysis="failed").count()
        if pending:
            open_matters.append(
                (
                    gettext("{rounds} could not be analysed").format(rounds=counted(pending, "round")),
                    self.address("players-page"),
                )
            )
        return open_matters


class Settings(ManagerForm):
    title = noop("Settings of the club")
    done = noop("Settings saved; what depends on them is computed again")

    def fields(self) -> Mapping[str, django_forms.Field]:
        zones = [(zone, zone) for zone in time_zones()]
        return {
            "name": Words(gettext("Name")),
            "time_zone": Choice(gettext("Time zone"), zones),
            "distance_unit": Choice(gettext("Distances in"), translated(DISTANCES)),
            "date_style": Choice(gettext("Dates are written"), translated(DATES)),
            "first_weekday": Choice(gettext("A week begins on"), translated(WEEKS)),
            "benchmark": Choice(
                gettext("Golfers are measured against"), benchmark_options(self.club.benchmark)
            ),
            "short_game_yards": Number(
                gettext("Short game begins at, yards"), gettext("Usually 100"), required=True
            ),
            "erased_golf": Choice(
                gettext("Rounds of somebody who erases themselves"), translated(ERASED_GOLF)
            ),
            "rounds_kept_years": Number(
                gettext("Years that rounds are kept"), gettext(ROUNDS_KEPT), whole=True
            ),
            "approach_band_edges": Numbers(
                gettext("Edges of the approach bands, yards"), gettext("Left out: the usual ones")
            ),
        }

    def present(self) -> Mapping[str, object]:
        kept = {name: getattr(self.club, name) for name in self.fields()}
        return kept | {"short_game_yards": f"{self.club.short_game_yards:g}"}

    def save(self, given: Given) -> None:
        given = {"approach_band_edges": [], "rounds_kept_years": 0} | given
        body = inputs.checked(ClubSettings, given)
        change_settings(self.club, body.model_dump(mode="json", exclude_unset=True, exclude_none=True))

    def back(self) -> str:
        return self.address("manage")
