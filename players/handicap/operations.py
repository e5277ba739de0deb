"""What may be asked of handicaps, and what a handicap committee decides."""

from __future__ import annotations

from django.db.models import QuerySet

from courses.layout.operations import COURSE_ALONE
from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Asker, Change, Listing, Operation, Reading, Subject
from golfstats.ground.resources import reading_of
from players.handicap import answers, decisions, on_tees, services
from players.handicap.announcing import COMMITTEE_DECIDED, COMMITTEE_WITHDREW, INDEX_CHANGED
from players.handicap.models import CommitteeAction, HandicapLine
from players.people import permissions
from players.people.models import Player
from players.people.operations import PLAYER
from players.people.remembered import Remembered

MANAGERS = (Role.MANAGER,)


def _scores(asker: Asker) -> QuerySet[HandicapLine]:
    return HandicapLine.objects.filter(player__in=permissions.visible_players(asker.member))


def _actions(asker: Asker) -> QuerySet[CommitteeAction]:
    visible = CommitteeAction.objects.filter(player__in=permissions.visible_players(asker.member))
    return visible.select_related("decided_by", "withdrawn_by")


SCORE = Subject(
    word="score",
    parameter="round_id",
    column="round_id",
    above={"player_id": "player_id"},
    model=HandicapLine,
    visible=_scores,
    head=answers.ExplainedScore,
    heads=answers.explained_scores,
    whose=lambda line: line.player_id,
    tells="analysis",
)
ACTION = Subject(
    word="decision",
    parameter="action_id",
    above={"player_id": "player_id"},
    model=CommitteeAction,
    visible=_actions,
    head=decisions.CommitteeAction,
    heads=decisions.committee_actions,
    whose=lambda line: line.player_id,
    tells="analysis",
)


def _decide(asker: Asker, player: Player, new: services.NewAction) -> CommitteeAction:
    return services.decide(player, asker.member, new)


def _withdraw(asker: Asker, action: CommitteeAction) -> CommitteeAction:
    return services.withdraw(action, asker.member)


OPERATIONS: list[Operation] = [
    Reading(
        name="player-handicap",
        id="read_handicap",
        path="players/<uuid:player_id>/handicap",
        summary="Unofficial index, low index, trend and the whole record of a player",
        about=PLAYER,
        answer=answers.HandicapRecord,
        read=Remembered("handicap_record", answers.handicap_records, answers.HandicapRecord),
    ),
    Reading(
        name="handicap",
        id="read_present_handicap",
        path="",
        field="handicap",
        summary="Unofficial index, low index and trend",
        about=PLAYER,
        answer=answers.Handicap,
        read=answers.handicaps,
    ),
    Listing(
        name="handicap-record",
        id="list_handicap_record",
        path="",
        field="handicap_record",
        summary="Scores on the record, newest first, each with the rule behind each number",
        about=PLAYER,
        parent="player_id",
        rows=_scores,
        of=SCORE,
        order=("-sequence", "-id"),
    ),
    reading_of(
        SCORE,
        name="handicap-of-round",
        id="explain_handicap",
        path="players/<uuid:player_id>/handicap/<uuid:round_id>",
        summary="One score line by line: which rule made which (unofficial) number",
    ),
    Reading(
        name="handicap-targets",
        id="handicap_targets",
        path="players/<uuid:player_id>/handicap/targets",
        field="handicap_targets",
        cost=1000,
        summary="What would I need to shoot: adjusted gross scores and the (unofficial) index each would give",
        about=PLAYER,
        query=on_tees.TargetsQuery,
        answer=on_tees.HandicapTargets,
        read=on_tees.targets,
    ),
    Reading(
        name="course-handicaps",
        id="handicaps_on_course",
        path="courses/<uuid:course_id>/handicaps",
        field="handicaps_on_course",
        summary="Course and playing handicap (unofficial) of a player on each tee and in each format",
        about=COURSE_ALONE,
        query=on_tees.OnCourseQuery,
        answer=on_tees.HandicapsOnCourse,
        read=on_tees.on_courses,
    ),
    Listing(
        name="committee-actions",
        id="list_committee_actions",
        path="players/<uuid:player_id>/committee-actions",
        field="committee_actions",
        summary="The committee's decisions on a player, latest first, with who, when and why",
        about=PLAYER,
        parent="player_id",
        rows=_actions,
        of=ACTION,
        order=("-decided_at", "-id"),
    ),
    Change(
        name="committee-actions",
        id="decide_committee_action",
        path="players/<uuid:player_id>/committee-actions",
        field="decide_committee_action",
        summary="A decision of the handicap committee; the record is computed again (managers)",
        verb="POST",
        roles=MANAGERS,
        about=PLAYER,
        body=services.NewAction,
        sends=(COMMITTEE_DECIDED,),
        sends_later=(INDEX_CHANGED,),
        do=_decide,
        of=ACTION,
    ),
    Change(
        name="committee-action",
        id="withdraw_committee_action",
        path="players/<uuid:player_id>/committee-actions/<uuid:action_id>",
        field="withdraw_committee_action",
        summary="Take a decision back; it stays in the log (managers)",
        verb="DELETE",
        roles=MANAGERS,
        about=ACTION,
        sends=(COMMITTEE_WITHDREW,),
        sends_later=(INDEX_CHANGED,),
        do=_withdraw,
        of=ACTION,
    ),
]
