"""A club with one of everything that the API can name, and the members who ask for it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from django.db import models

from courses.calendars import services as feeds
from courses.calendars.models import CalendarFeed, Event
from courses.greens import services as greens
from courses.greens.models import GreenReading, GreenWork
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course, PlayingConditions, TeeSet
from golfstats.ground.clubs import accounts, invitations
from golfstats.ground.clubs.models import AccessToken, Club, Invitation, Member, Role, Scope
from golfstats.ground.events import Happening
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Delivery, Destination
from players.coaching.models import Goal, PracticeNote
from players.conditions import analysis
from players.files.models import Import
from players.handicap import recompute
from players.handicap.models import CommitteeAction
from players.months.models import MonthReport
from players.people.models import Consent, GolfRead, Player, Squad
from players.plans.models import PlanAfterwards, RoundPlan
from players.record import services
from players.rounds import in_play
from players.rounds import services as posting
from players.rounds.input import RoundBegun, RoundInput
from players.rounds.models import BagWord, Round, RoundInPlay
from tests import factories, rows

FIRST_DAY = dt.date(2026, 3, 1)


@dataclass
class World:
    """A club. ``rows`` holds for each model the row that a path or a body names."""

    club: Club
    members: dict[Role, Member]
    text: str
    private: str
    rows: dict[type[models.Model], models.Model] = field(default_factory=dict)
    secret: str = ""
    """Of the calendar."""
    invitation: str = ""
    """Token of an open one."""
    mate_id: str = ""
    """Of another player in the player's squad."""
    spare_ids: tuple[str, str] = ("", "")
    """Of a provisional course on which no round was played, and of its tee."""
    own_webhook: str = ""
    """The player's own address for messages."""
    own_delivery: str = ""
    """A message to it."""
    days: int = 0
    """How many days of golf and green work there are."""

    def id(self, model: type[models.Model]) -> str:
        return str(self.rows[model].pk)

    def member_id(self, role: Role) -> str:
        return str(self.members[role].pk)

    def model_of(self, text: str) -> type[models.Model] | None:
        """The model of the row with this id, if it is one of this club's that requests name."""
        if any(str(member.pk) == text for member in self.members.values()):
            return Member
        own = {self.own_webhook: Destination, self.own_delivery: Delivery}
        if text in own:
            return own[text]
        return next((model for model, row in self.rows.items() if str(row.pk) == text), None)


def make_world(slug: str, text: str, *, private: str = "", days: int = 1) -> World:
    """A club of whose texts each begins with ``text``, or with ``private`` if not every member may read it.

    Its player has a round on each of so many days.
    """
    world = World(factories.make_club(slug), {}, text, private or text)
    with club_scope(world.club.id):
        world.club.name = f"{text} club"
        world.club.save()
        world.members = {role: factories.make_member(role, f"{text}-{role}-{slug}") for role in Role}
        _lay_out(world)
        _people(world)
        _hand_out(world)
        add_days(world, days)
    return world


def fill_tables(world: World, text: str) -> None:
    """A row with the text in every table there is, so that nothing new is forgotten."""
    world.rows = {**rows.fill(world.club, text), **world.rows}


def _lay_out(world: World) -> None:
    course = factories.make_course(f"{world.text} course")
    world.rows |= {Course: course, TeeSet: factories.make_tee_set(course, f"{world.text} tee")}
    spare = factories.make_course(f"{world.text} spare course")
    Course.objects.filter(id=spare.id).update(provisional=True)
    world.spare_ids = str(spare.pk), str(factories.make_tee_set(spare, f"{world.text} spare tee").pk)


def _people(world: World) -> None:
    player = factories.make_player(f"{world.private} player", world.members[Role.PLAYER])
    squad = factories.make_squad(f"{world.private} squad", world.members[Role.COACH], player)
    spare = factories.make_member(Role.PLAYER, f"{world.text}-spare-{world.club.slug}")
    member = world.members[Role.PLAYER]
    services.keep_file(services.ask_for_export(member).id, world.private.encode(), player.id)
    word = BagWord.objects.create(player=player, word=f"{world.private[:12]}-club", kept_as="7-iron")
    world.rows |= {Player: player, Squad: squad, Member: spare, BagWord: word}


def _hand_out(world: World) -> None:
    """What staff make once: a calendar address and a destination for messages."""
    manager, course = world.members[Role.MANAGER], world.rows[Course]
    assert isinstance(course, Course)
    issued = invitations.invite(manager, world.text, Role.PLAYER)
    world.rows[Invitation], world.invitation = issued.row, issued.secret
    world.rows[AccessToken], _ = accounts.make_token(manager.user, world.text, Scope.READ, 1)
    world.rows[CalendarFeed], world.secret = feeds.open_feed(manager, course)
    world.rows[Destination] = Destination.objects.create(
        url=f"https://example.org/{world.private}",
        secret=world.private,
        happenings=[Happening.ROUND_ANALYSED],
    )
    own = Destination.objects.create(
        url=f"https://example.org/own/{world.private}",
        secret=world.private,
        happenings=[Happening.GOAL_SET],
        owner=world.members[Role.PLAYER],
    )
    sent = Delivery.objects.create(
        destination=own, happening=Happening.GOAL_SET, body={"text": world.private}
    )
    world.own_webhook, world.own_delivery = str(own.id), str(sent.id)


def add_days(world: World, days: int) -> None:
    """On each day a round, green work and whatever else a club's life consists of, and one more player."""
    for day in range(world.days, world.days + days):
        _add_day(world, FIRST_DAY + dt.timedelta(days=day))
    world.days += days
    recompute.recompute(world.rows[Player].pk)


def _start(world: World, day: dt.date) -> RoundInPlay:
    """A practice round of nine holes that were sent, and that is not finished."""
    names = {"player": world.id(Player), "course": world.id(Course), "tee": world.id(TeeSet)}
    about = {"section": "front", "format": "practice", "played_on": day, "note": world.private}
    play = in_play.start(world.members[Role.COACH], RoundBegun.model_validate(names | about))
    play.played = [
        {"sequence": n, "hole": {"number": n, "score": 5, "putts": 2}, "score": 5, "putts": 2}
        for n in range(1, 10)
    ]
    play.save()
    return play


def _add_day(world: World, day: dt.date) -> None:
    text, private = world.text, world.private
    course, player = world.rows[Course], world.rows[Player]
    assert isinstance(course, Course)
    assert isinstance(player, Player)
    coach, manager = world.members[Role.COACH], world.members[Role.MANAGER]
    place = {"course": str(course.id), "tee": world.id(TeeSet), "note": private}
    body = factories.round_body(player, played_on=day.isoformat()) | place
    round_ = posting.post_round(world.members[Role.PLAYER], RoundInput.model_validate(body))
    analysis.analyse_rounds([round_.id])
    mate = factories.make_player(f"{private} reserve {day}")
    world.rows[Squad].squad_players.create(player=mate)
    world.mate_id = world.mate_id or str(mate.pk)
    factories.make_squad(f"{private} squad {day}", coach, player)
    work = greens.add_work(manager, course, GreenWorkBody(kind="solid_tine", starts_on=day, note=text))
    delivery = Delivery.objects.create(
        destination=world.rows[Destination], happening=Happening.ROUND_ANALYSED, body={"text": private}
    )
    play = _start(world, day)
    made: dict[type[models.Model], models.Model] = {
        Consent: Consent.objects.create(
            player=player,
            given_by=private,
            given_at=dt.datetime.combine(day, dt.time(9), dt.UTC),
            recorded_by=manager,
        ),
        GolfRead: GolfRead.objects.create(
            player=player,
            reader=coach,
            reader_name=private,
            reader_role=coach.role,
            what="shots",
            door="rest",
            read_on=day,
            first_at=dt.datetime.combine(day, dt.time(9), dt.UTC),
        ),
        Round: round_,
        RoundInPlay: play,
        GreenWork: work,
        Delivery: delivery,
        GreenReading: GreenReading.objects.create(
            course=course, measured_at=dt.datetime.combine(day, dt.time(9), dt.UTC), firmness_g=90, note=text
        ),
        Event: Event.objects.create(course=course, name=text, starts_on=day, ends_on=day),
        PlayingConditions: PlayingConditions.objects.create(
            course=course, played_on=day, pcc=1, origin=text, entered_by=manager
        ),
        Goal: Goal.objects.create(
            player=player,
            figure="gained.total",
            target=1.0,
            due_on=dt.date(2099, 1, 1),
            set_by=coach,
            note=private,
        ),
        PracticeNote: PracticeNote.objects.create(
            player=player, practised_on=day, text=private, written_by=manager, figure="gained.putting"
        ),
        CommitteeAction: CommitteeAction.objects.create(
            player=player, kind="override_cap", effective_on=day, reason=private, decided_by=manager
        ),
        Import: Import.objects.create(kind="scores", file=private, unit="yards", started_by=manager),
        MonthReport: MonthReport.objects.create(
            asked_by=world.members[Role.PLAYER],
            player=player,
            month=day.replace(day=1),
            state="done",
            file=private.encode(),
            tells_of=[player.id],
            asked_at=dt.datetime.combine(day, dt.time(9), dt.UTC),
        ),
        RoundPlan: RoundPlan.objects.create(
            player=player,
            tee_set=world.rows[TeeSet],
            planned_for=day,
            greens_found=private,
            state="done",
            holes=18,
        ),
    }
    PlanAfterwards.objects.create(plan=made[RoundPlan], round=round_, reason=private)
    for model, row in made.items():
        world.rows.setdefault(model, row)
