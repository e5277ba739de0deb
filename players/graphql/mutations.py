"""What may be changed through GraphQL: the services of REST, with the same bodies, checks and problems."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID

import strawberry
from strawberry.scalars import JSON

from golfstats.api import bodies
from golfstats.api.problems import Fault, ProblemError, invalid, not_found
from golfstats.clubs.models import Role
from golfstats.graphql.context import Info
from golfstats.graphql.inputs import given_fields
from golfstats.graphql.rows import Row, row_of
from players import models, permissions, posting
from players.api.attention import DismissalBody
from players.api.goals import GoalBody, goal_json, per_metre
from players.api.notes import NoteBody, note_json
from players.api.rounds import round_from_notation
from players.coaching import goals, notes
from players.coaching.attention import dismiss
from players.coaching.goals import NewGoal
from players.coaching.history import history_of, today_at
from players.coaching.notes import NewNote
from players.graphql.coaching import Goal, PracticeNote
from players.graphql.rounds import Round, round_row_line
from players.queries import of_rounds
from players.round_input import RoundInput


@strawberry.input
class GoalWindowInput:
    rounds: int | None = strawberry.UNSET
    days: int | None = strawberry.UNSET


@strawberry.input
class GoalInput:
    figure: str
    target: float = strawberry.field(description="In the figure's unit; lengths in the club's.")
    due_on: dt.date
    window: GoalWindowInput | None = strawberry.UNSET
    note: str | None = strawberry.UNSET


@strawberry.input
class NoteInput:
    practised_on: dt.date
    text: str
    figure: str | None = strawberry.UNSET


@strawberry.type
class Dismissal:
    player: UUID
    item: str
    dismissed_at: dt.datetime


@strawberry.type
class PlayerMutation:
    @strawberry.mutation(
        graphql_type=Round,
        description=(
            "Post a round: `round` is the JSON body of POST /api/v1/rounds, `notation` the compact notation. "
            "One of the two."
        ),
    )
    @staticmethod
    def post_round(info: Info, round: JSON | None = None, notation: str | None = None) -> Any:
        posted = posting.post_round(info.context.member, _given_round(round, notation))
        return _round_again(info, posted.id)

    @strawberry.mutation(
        graphql_type=Round,
        description=(
            "Put a corrected round in the place of one, as `round` or in the `notation`; it is analysed again. "
            "With `version`, only if it is still the one you read."
        ),
    )
    @staticmethod
    def edit_round(
        info: Info,
        id: UUID,
        round: JSON | None = None,
        notation: str | None = None,
        version: int | None = None,
    ) -> Any:
        changed = _round_to_change(info, id, version)
        posting.replace_round(info.context.member, changed, _given_round(round, notation))
        return _round_again(info, id)

    @strawberry.mutation(
        description=(
            "Delete a round; gives its id. What rested on it is computed again. "
            "With `version`, only if it is still the one you read."
        )
    )
    @staticmethod
    def delete_round(info: Info, id: UUID, version: int | None = None) -> UUID:
        posting.delete_round(_round_to_change(info, id, version))
        return id

    @strawberry.mutation(graphql_type=Round, description="Ask for a round's analysis once more.")
    @staticmethod
    def analyse_round_again(info: Info, id: UUID) -> Any:
        posting.analyse_again(_round_to_change(info, id))
        return _round_again(info, id)

    @strawberry.mutation(graphql_type=Goal, description="Set a player a goal.")
    @staticmethod
    def set_goal(info: Info, player: UUID, goal: GoalInput) -> Any:
        member, club = info.context.member, info.context.club
        body = bodies.checked(GoalBody, given_fields(goal))
        found, today = _player(info, player), today_at(club)
        golf = history_of([player], club)
        wanted = NewGoal(
            figure=body.figure,
            target=goals.in_stored_unit(golf, body.figure, body.target, per_metre(club.distance_unit)),
            due_on=body.due_on,
            window_rounds=body.window.rounds,
            window_days=body.window.days,
            note=body.note,
        )
        saved = goals.set_goal(member, found, golf, wanted, today)
        return row_of(saved, lambda goal: goal_json(goals.standing(golf, goal, today), club.distance_unit))

    @strawberry.mutation(graphql_type=Goal, description="Close a goal; its history stays.")
    @staticmethod
    def close_goal(info: Info, id: UUID) -> Any:
        club = info.context.club
        today = today_at(club)
        goal = goals.visible_goals(info.context.member).filter(id=id).first()
        if goal is None:
            raise not_found("No goal")
        golf = history_of([goal.player_id], club)
        closed = goals.close_goal(goal, golf, today)
        return row_of(closed, lambda goal: goal_json(goals.standing(golf, goal, today), club.distance_unit))

    @strawberry.mutation(
        graphql_type=PracticeNote, description="Note what was practised; player and coaches see it."
    )
    @staticmethod
    def write_note(info: Info, player: UUID, note: NoteInput) -> Any:
        club = info.context.club
        body = bodies.checked(NoteBody, given_fields(note))
        found, today = _player(info, player), today_at(club)
        if body.practised_on > today:
            raise invalid([Fault("/practised_on", "in_the_future", f"today is {today}")])
        golf = history_of([player], club)
        new = NewNote(body.practised_on, body.text, body.figure)
        saved = notes.write_note(info.context.member, found, golf, new)
        (told,) = notes.with_figures(golf, [saved])
        return row_of(saved, lambda _: note_json(told, club.distance_unit))

    @strawberry.mutation(description="Take back a note that you wrote; gives its id.")
    @staticmethod
    def delete_note(info: Info, id: UUID) -> UUID:
        note = notes.visible_notes(info.context.member).filter(id=id).first()
        if note is None:
            raise not_found("No note")
        if not notes.delete_note(info.context.member, note):
            raise ProblemError("not-allowed", "Only its writer may delete a note", 403)
        return id

    @strawberry.mutation(description="Put an attention item aside for yourself, until its cause begins anew.")
    @staticmethod
    def dismiss_attention(info: Info, player: UUID, item: str) -> Dismissal:
        permissions.require_role(info.context.member, Role.COACH, Role.MANAGER)
        body = bodies.checked(DismissalBody, {"player": player, "item": item})
        put_aside = dismiss(info.context.member, _player(info, body.player), body.item)
        return Dismissal(player=player, item=put_aside.item, dismissed_at=put_aside.dismissed_at)


def _given_round(body: Any, notation: str | None) -> RoundInput:
    if (body is None) == (notation is None):
        raise invalid([Fault("", "one_of_two", "give either round or notation")])
    return bodies.checked(RoundInput, body) if notation is None else round_from_notation(notation)


def _round_to_change(info: Info, round_id: UUID, version: int | None = None) -> models.Round:
    """The round, locked, if this person may change it and it is the version he has seen."""
    players = permissions.postable_players(info.context.member)
    found = models.Round.objects.select_for_update(of=("self",)).filter(id=round_id, player__in=players)
    row = found.first()
    if row is None:
        raise not_found("No round")
    if version is not None and version != row.version:
        raise ProblemError("changed-meanwhile", "The round was changed since you read it", 412)
    return row


def _round_again(info: Info, round_id: UUID) -> Row:
    found = of_rounds.rounds_with_holes(info.context.member).get(id=round_id)
    return row_of(found, round_row_line)


def _player(info: Info, player_id: UUID) -> models.Player:
    found = permissions.visible_players(info.context.member).filter(id=player_id).first()
    if found is None:
        raise not_found("No player")
    return found
