"""What a coach may ask and change: trends, comparisons, priorities, trials, goals, notes, attention."""

from __future__ import annotations

from dataclasses import replace

from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Asker, Change, Gathering, Listing, Operation, Query, Reading, Subject
from golfstats.ground.resources import reading_of
from players.coaching import comparison, goals, models, notes, priorities, trends, trials
from players.coaching import questions as asked
from players.coaching.announcing import GOAL_ENDED, GOAL_SET, NOTE_DELETED, NOTE_WRITTEN
from players.coaching.history import histories
from players.coaching.reports import attention, ledger, next_round, report, week
from players.people.models import Player
from players.people.operations import PLAYER, SQUAD
from players.people.remembered import Remembered

ONE_PLAYER = replace(PLAYER, root="")
"""Where GraphQL asks by id alone: replays of a whole squad would take a minute."""
COACHES = (Role.COACH, Role.MANAGER)

GOAL = Subject(
    word="goal",
    parameter="goal_id",
    root="goal",
    model=models.Goal,
    visible=lambda asker: goals.visible_goals(asker.member),
    head=goals.Goal,
    heads=goals.goal_answers,
    whose=lambda row: row.player_id,
    tells="analysis",
)
NOTE = Subject(
    word="note",
    parameter="note_id",
    model=models.PracticeNote,
    visible=lambda asker: notes.visible_notes(asker.member),
    head=notes.PracticeNote,
    heads=notes.note_answers,
    whose=lambda row: row.player_id,
    tells="analysis",
)


def _set_goal(asker: Asker, player: Player, given: asked.GoalBody) -> models.Goal:
    (golf,) = histories(asker, [player])
    return goals.set_goal(asker.member, player, golf, given, asker.today)


def _close_goal(asker: Asker, goal: models.Goal) -> models.Goal:
    (golf,) = histories(asker, [goal.player])
    return goals.close_goal(goal, golf, asker.today)


def _write_note(asker: Asker, player: Player, given: asked.NoteBody) -> models.PracticeNote:
    (golf,) = histories(asker, [player])
    return notes.write_note(asker.member, player, golf, given, asker.today)


def _delete_note(asker: Asker, note: models.PracticeNote) -> None:
    notes.delete_note(asker.member, note)


def _dismiss(asker: Asker, given: asked.DismissalBody) -> attention.Dismissal:
    player = PLAYER.one(asker, {PLAYER.parameter: given.player})
    return attention.dismiss(asker.member, player, given.item)


def _take_up_again(asker: Asker, given: asked.DismissalBody) -> None:
    player = PLAYER.one(asker, {PLAYER.parameter: given.player})
    attention.take_up_again(asker.member, player, given.item)


TRENDS = Remembered("trends", trends.trends, trends.PlayersTrends, daily=True)
"""What pages show as well."""

OPERATIONS: list[Operation] = [
    Reading(
        name="player-trends",
        id="read_player_trends",
        path="players/<uuid:player_id>/trends",
        field="trends",
        cost=100,
        about=PLAYER,
        summary="Figures over time: the level by round and now with its 90% band, and whether it changed",
        answer=trends.PlayersTrends,
        query=asked.TrendsQuery,
        read=TRENDS,
    ),
    Reading(
        name="player-earlier-self",
        id="compare_with_earlier_self",
        path="players/<uuid:player_id>/earlier-self",
        field="earlier_self",
        cost=100,
        about=PLAYER,
        summary="A player from a day on against themselves before it",
        answer=comparison.EarlierSelf,
        query=asked.EarlierSelfQuery,
        read=Remembered("earlier_selves", comparison.earlier_selves, comparison.EarlierSelf, daily=True),
    ),
    Reading(
        name="compare",
        id="compare_players",
        path="compare",
        field="compare",
        cost=300,
        summary="Players side by side on any figures, with how likely one is better than another",
        answer=comparison.Comparison,
        query=asked.CompareQuery,
        read=comparison.compare,
    ),
    Reading(
        name="squad-week",
        id="read_squad_week",
        path="squads/<uuid:squad_id>/week",
        field="week",
        about=SQUAD,
        roles=COACHES,
        summary="A squad since last week: last rounds, levels with the greens taken out, and who needs a word",
        description="The levels are those that the worker stored after each player's last round.",
        answer=week.SquadWeek,
        read=week.squad_weeks,
    ),
    Reading(
        name="squad-leaders",
        id="read_squad_leaders",
        path="squads/<uuid:squad_id>/leaders",
        field="leaders",
        cost=3000,
        about=SQUAD,
        summary="A squad by one figure, best first; players whom the rounds cannot tell apart share a rank",
        answer=comparison.SquadLeaders,
        query=asked.LeadersQuery,
        read=comparison.squad_leaders,
    ),
    Reading(
        name="player-priorities",
        id="read_player_priorities",
        path="players/<uuid:player_id>/priorities",
        field="player_priorities",
        cost=10000,
        about=ONE_PLAYER,
        summary="Strokes a round to gain by part and distance band, ranked by what is both large and certain",
        description=(
            "Ranked by the strokes a round that are three-in-four certain. For the first few, the effect of "
            "closing `share` of the gap on the score and on the handicap index comes from replaying the "
            "player's own rounds with a fixed seed; the same request gives the same answer."
        ),
        answer=priorities.Priorities,
        query=asked.PrioritiesQuery,
        read=priorities.player_priorities,
    ),
    Reading(
        name="player-stored-priorities",
        id="read_stored_priorities",
        path="",
        field="priorities",
        about=PLAYER,
        summary="What to work on, as the worker stored it after the last round; null until then",
        answer=priorities.Priorities,
        query=Query,
        read=report.kept_priorities,
    ),
    Reading(
        name="player-next-round",
        id="read_next_round",
        path="players/<uuid:player_id>/next-round",
        field="next_round",
        about=PLAYER,
        summary="The score to expect of the next round on the coming Saturday, and the chance of beating the usual one",
        description=(
            "As the worker stored it after the last round: from all rounds with form and course allowed for, on the "
            "courses that the player usually plays. How often such forecasts held stands under `forecasts`."
        ),
        answer=next_round.NextRound,
        read=report.next_rounds,
    ),
    Reading(
        name="player-trials",
        id="run_player_trial",
        path="players/<uuid:player_id>/trials",
        field="trial",
        cost=1000,
        about=PLAYER,
        summary="Is A better than B? Adjusted for wind, temperature, lie, distance, course and date",
        description=(
            "A trial that cannot tell says so, and how many more shots would be needed. One may look after every "
            "round: the test stays valid, at 5%. Clubs are compared on the same holes. Tags that were used in "
            "different stretches of time are not compared, as form and season cannot be told from them."
        ),
        answer=trials.Trial,
        query=asked.TrialQuery,
        read=trials.trials,
    ),
    Listing(
        name="player-goals",
        id="list_player_goals",
        path="players/<uuid:player_id>/goals",
        field="goals",
        cost=60,
        about=PLAYER,
        parent="player_id",
        summary="A player's goals, newest first, each with how it stands and the chance of meeting it",
        rows=lambda _: goals.all_goals(),  # below a player whom the asker sees
        of=GOAL,
        order=("-id",),
        kept=True,
        query=asked.GoalsQuery,
    ),
    Change(
        name="player-goals",
        id="set_player_goal",
        path="players/<uuid:player_id>/goals",
        field="set_goal",
        verb="POST",
        about=PLAYER,
        of=GOAL,
        summary="Set a goal: a figure, a target, a window and a date",
        body=asked.GoalBody,
        sends=(GOAL_SET,),
        do=_set_goal,
    ),
    reading_of(
        GOAL,
        name="goal",
        id="read_goal",
        path="goals/<uuid:goal_id>",
        summary="A goal, how it stands, and its history",
    ),
    Change(
        name="close-goal",
        id="close_goal",
        path="goals/<uuid:goal_id>/close",
        field="close_goal",
        verb="POST",
        status=200,
        about=GOAL,
        of=GOAL,
        summary="Close a goal; its history stays",
        sends=(GOAL_ENDED,),
        do=_close_goal,
    ),
    Listing(
        name="player-notes",
        id="list_player_notes",
        path="players/<uuid:player_id>/notes",
        field="notes",
        cost=100,
        about=PLAYER,
        parent="player_id",
        summary="Practice notes on a player, the latest practice first, each with its figure before and after",
        rows=lambda _: notes.all_notes(),
        of=NOTE,
        order=("-practised_on", "-id"),
        kept=True,
    ),
    Change(
        name="player-notes",
        id="write_player_note",
        path="players/<uuid:player_id>/notes",
        field="write_note",
        verb="POST",
        about=PLAYER,
        of=NOTE,
        summary="Note what was practised; both the player and their coaches see it",
        body=asked.NoteBody,
        sends=(NOTE_WRITTEN,),
        do=_write_note,
    ),
    Change(
        name="note",
        id="delete_note",
        path="notes/<uuid:note_id>",
        field="delete_note",
        verb="DELETE",
        about=NOTE,
        summary="Take back a note you wrote",
        sends=(NOTE_DELETED,),
        do=_delete_note,
    ),
    Reading(
        name="forecasts",
        id="read_forecast_record",
        path="forecasts",
        field="forecasts",
        cost=500,
        summary="What became of the chances that this club was told: how often 90% was right",
        description=(
            "The worker keeps every chance when it states it in a player's report, once a day, and judges it when the "
            "rounds have come. `curve` compares the mean chance stated with the share that came true; ranges with "
            'fewer than ten statements say "too few".'
        ),
        answer=ledger.ForecastRecord,
        query=Query,
        read=ledger.forecast_record,
    ),
    Gathering(
        name="attention",
        id="list_attention",
        path="attention",
        field="attention",
        roles=COACHES,
        summary="What to look at in your squads: each item with its reason and figure, in a stable order",
        line=attention.AttentionItem,
        query=asked.AttentionQuery,
        gather=attention.attention,
        key=lambda item: f"{item.player.id} {item.item}",
    ),
    Gathering(
        name="player-attention",
        id="list_attention_to_player",
        path="",
        field="attention",
        about=PLAYER,
        summary="What to look at, for coaches and managers of the player's squads",
        line=attention.AttentionItem,
        query=asked.AttentionQuery,
        gather=attention.attention_to,
        longest=10,
    ),
    Change(
        name="attention-dismissals",
        id="dismiss_attention_item",
        path="attention/dismissals",
        field="dismiss_attention",
        verb="POST",
        roles=COACHES,
        summary="Put an item aside, for yourself, until its cause begins anew",
        body=asked.DismissalBody,
        gives=attention.Dismissal,
        do=_dismiss,
    ),
    Change(
        name="attention-dismissals-undone",
        id="take_up_attention_item",
        path="attention/dismissals/undone",
        field="take_up_attention",
        verb="POST",
        roles=COACHES,
        summary="Undo having put an item aside: it is on your list again while its cause lasts",
        body=asked.DismissalBody,
        do=_take_up_again,
    ),
]
