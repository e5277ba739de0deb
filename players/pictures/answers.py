"""Pictures of a player, as programs draw them: each a Vega-Lite specification of what the pages draw themselves.

A specification is a document in a language of its own, so it is told as such: with ``Accept`` of its media type as the
answer itself, within an answer as its text. An answer of ours with a field for each of the language's words would be
another, worse description of Vega-Lite.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar
from uuid import UUID

import orjson
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.greens.answers import known_kinds
from courses.greens.models import GreenWork
from courses.greens.operations import GREEN_WORK
from golfstats.calc.units import Unit
from golfstats.ground import inputs
from golfstats.ground.answers import value_meanings
from golfstats.ground.faults import not_found
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import counted, day_words
from golfstats.sentences import Sentence
from players.coaching.comparison import compare
from players.coaching.goals import Goal, goal_answers, visible_goals
from players.coaching.priorities import player_priorities
from players.coaching.questions import CompareQuery, PrioritiesQuery, TrendsQuery, TrialQuery
from players.coaching.reports.report import stored_levels
from players.coaching.trends import Trend, trends
from players.coaching.trials import trials
from players.conditions.answers.rounds import LastQuery, player_adjusted
from players.figures.answers.figures import FiguresQuery, figures
from players.figures.answers.long_game import approach, distances
from players.figures.answers.misses import misses
from players.figures.answers.putting import putting
from players.figures.answers.summary import summary
from players.golf.answers import RoundsInWindow
from players.golf.questions import WindowQuery
from players.handicap.answers import handicaps
from players.people.answers import Named
from players.people.models import Player
from players.pictures import plan_subjects, subjects
from players.pictures.colours import Scheme
from players.pictures.questions import PictureName, PictureQuery
from players.pictures.shapes import Mark, Series, Shape, Written
from players.pictures.vega import About, described, specification
from players.plans.answers import Plan, WholePlan, plans_read, whole_plans
from players.plans.bag import bags
from players.plans.models import RoundPlan
from players.plans.operations import PLAN
from players.plans.scatter import tee_scatters

VEGA_LITE = "application/vnd.vegalite.v5+json"
NO_PLAN = noop("No plan of this is made yet")
MOST_ROUNDS = 200
"""That what the greens took is told of."""


@dataclass(frozen=True)
class PictureLine:
    """A picture that there is of a player."""

    name: PictureName
    """What to ask for."""
    question: str
    """What it answers."""
    address: str
    """Where it is (REST)."""


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A picture, ready to be drawn."""

    title: str
    """What stands above it."""
    description: str
    """All that it shows, in words."""
    sample: str
    """The rounds that it rests on."""
    specification: str
    """Vega-Lite 5 as JSON, whole and with its data: nothing is fetched when it is drawn. The sample stands in its
    subtitle, each mark tells its figure with interval and sample as its tooltip, and `usermeta` has both apart.
    """


@dataclass(frozen=True, kw_only=True)
class Picture(Drawn):
    """A picture of a player."""

    player: Named
    name: PictureName
    """Which picture."""


@dataclass(frozen=True)
class Shown:
    """What a picture shows, and the rounds behind it."""

    shape: Shape
    sample: str


class OverAWindow(Protocol):
    @property
    def window(self) -> RoundsInWindow: ...


AnswerT = TypeVar("AnswerT", bound=OverAWindow)
Show = Callable[[Asker, Sequence[Player], PictureQuery], list[Shown]]


def pictures(_: Asker, players: Sequence[Player], __: Query) -> list[list[PictureLine]]:
    """The same for everybody; what nobody knows enough of says so when it is asked for."""
    questions = value_meanings(PictureName)
    return [[_line(player.id, name, questions[name]) for name in PictureName] for player in players]


def _line(player: UUID, name: PictureName, question: str) -> PictureLine:
    return PictureLine(name, question, f"/api/v1/players/{player}/pictures/{name}")


def picture(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Picture]:
    answers = []
    for player, shown in zip(players, SHOWS[query.name](asker, players, query), strict=True):
        told = drawn(shown, player.name, query.scheme)
        answers.append(Picture(**vars(told), player=Named(player.id, player.name), name=query.name))
    return answers


def drawn(shown: Shown, whose: str, scheme: Scheme) -> Drawn:
    about = About(whose, shown.sample, scheme)
    return Drawn(
        title=shown.shape.title,
        description=described(shown.shape, about),
        sample=shown.sample,
        specification=orjson.dumps(specification(shown.shape, about)).decode(),
    )


def as_vega_lite(asker: Asker, player: Player, query: PictureQuery) -> str:
    """The specification alone."""
    (one,) = picture(asker, [player], query)
    return one.specification


def _in_a_window(
    ask: Callable[[Asker, Sequence[Player], WindowQuery], list[AnswerT]], shape: Callable[[AnswerT], Shape]
) -> Show:
    """Of an answer about the rounds of the window that the picture is asked for."""

    def show(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
        window = WindowQuery.model_validate(query.given())
        return [Shown(shape(one), one.window.words) for one in ask(asker, players, window)]

    return show


def _short_game(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    asked = FiguresQuery.model_validate(query.given() | {"keys": list(subjects.SHORT_GAME)})
    return [Shown(subjects.saves(one), one.window.words) for one in figures(asker, players, asked)]


def _greens_or_me(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    asked = LastQuery() if query.last is None else LastQuery(last=min(query.last, MOST_ROUNDS))
    return [
        Shown(
            subjects.without_the_greens(one),
            gettext("The last {rounds}").format(rounds=counted(one.window.rounds, "round")),
        )
        for one in player_adjusted(asker, players, asked)
    ]


def _trend(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    asked = TrendsQuery(benchmark=query.benchmark, unit=query.unit, keys=[query.figure], last=query.last)
    marks = work_marks(asker)
    series = [subjects.over_time(one.trends[0]) for one in trends(asker, players, asked)]
    return [_over_time(replace(one, marks=_within(one, marks)), "round") for one in series]


def work_marks(asker: Asker) -> list[Mark]:
    """Work on any of the club's greens, for the axis of time."""
    rows: Sequence[GreenWork] = list(GREEN_WORK.visible(asker).filter(status="confirmed"))
    words = gettext("{work} of the greens")
    return [Mark(row.starts_on, words.format(work=gettext(known_kinds()[row.kind].words))) for row in rows]


def _within(series: Series, marks: Sequence[Mark]) -> list[Mark]:
    """Those between its first and last day: the axis ends there."""
    if not series.points:
        return []
    first, last = series.points[0].day, series.points[-1].day
    return [one for one in marks if first <= one.day <= last]


def _index(asker: Asker, players: Sequence[Player], _: PictureQuery) -> list[Shown]:
    return [_over_time(subjects.index(one), "score") for one in handicaps(asker, players, Query())]


def _over_time(series: Series, of: str) -> Shown:
    if not series.points:
        return Shown(series, gettext("None yet"))
    first, last = series.points[0].day, series.points[-1].day
    between = gettext("{sample}, {first} to {last}")
    sample = counted(len(series.points), of)
    return Shown(series, between.format(sample=sample, first=day_words(first), last=day_words(last)))


def _priorities(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    asked = PrioritiesQuery(benchmark=query.benchmark, unit=query.unit)
    return [
        Shown(subjects.worth_working_on(one), counted(one.rounds, "round"))
        for one in player_priorities(asker, players, asked)
    ]


def _level(asker: Asker, players: Sequence[Player], _: PictureQuery) -> list[Shown]:
    return [_level_of(one) for one in stored_levels(asker, players, Query())]


def _level_of(level: Trend | None) -> Shown:
    if level is None:
        empty = Series(
            title=gettext("Strokes gained a round"), points=[], unit=Unit.STROKES, written=Written.GAINED
        )
        return _over_time(empty, "round")
    return _over_time(replace(subjects.over_time(level), title=gettext("Strokes gained a round")), "round")


def _goal(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    rows = visible_goals(asker.member).filter(player__in=players)
    if query.goal is not None:
        rows = rows.filter(id=query.goal)
        if not rows.exists():
            raise not_found(Sentence("No goal"))
    newest = {goal.player_id: goal for goal in reversed(rows)}
    goals = {one.player.id: one for one in goal_answers(asker, list(newest.values()))}
    return [_towards(goals[player.id]) if player.id in goals else _no_goal() for player in players]


def _towards(goal: Goal) -> Shown:
    words = f"{goal.progress.now.words}; {goal.progress.words}"
    return Shown(
        subjects.towards(goal),
        gettext("Until {day}: {words}").format(day=day_words(goal.due_on), words=words),
    )


def _no_goal() -> Shown:
    return Shown(
        Series(title=gettext("Goal"), points=[], unit=Unit.STROKES, written=Written.PLAIN),
        gettext("No goal yet"),
    )


def _trial(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    asked = query.model_dump(include={"tag", "a", "b", "outcome", "club", "benchmark", "unit"})
    given = {name: value for name, value in asked.items() if value not in (None, "")}
    trial = inputs.checked(TrialQuery, given)
    return [Shown(subjects.trial(one), one.words) for one in trials(asker, players, trial)]


def _compare(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    shown = []
    for player in players:
        asked = query.given() | {"players": [player.id, *query.others], "keys": [query.figure]}
        comparison = compare(asker, inputs.checked(CompareQuery, asked))
        shown.append(Shown(subjects.compared(comparison), gettext("Each by their own rounds")))
    return shown


def _bag(asker: Asker, players: Sequence[Player], _: PictureQuery) -> list[Shown]:
    return [Shown(plan_subjects.bag(one), one.rests_on) for one in bags(asker, players, Query())]


def _plans(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[RoundPlan | None]:
    """The plan asked for, or each player's newest."""
    rows = PLAN.visible(asker).filter(player__in=players).order_by("-id")
    if query.plan is None:
        return [rows.filter(player=player).first() for player in players]
    plan = rows.filter(id=query.plan).first()
    if plan is None:
        raise not_found(Sentence("No plan"))
    return [plan if plan.player_id == player.id else None for player in players]


def _whole(asker: Asker, plan: RoundPlan | None) -> WholePlan | None:
    return None if plan is None else whole_plans(asker, [plan], Query())[0]


def _plan_words(plan: Plan) -> str:
    return gettext("{course}, {tee} tees, {day}").format(
        course=plan.course, tee=plan.tee, day=day_words(plan.planned_for)
    )


def _plan_scores(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    shown = []
    for plan in _plans(asker, players, query):
        whole = _whole(asker, plan)
        if whole is None or whole.round is None:
            shown.append(Shown(plan_subjects.no_scores(), gettext(NO_PLAN)))
        else:
            shown.append(Shown(plan_subjects.scores(whole.round), _plan_words(whole)))
    return shown


def _plan_clubs(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    shown = []
    for plan in _plans(asker, players, query):
        whole = _whole(asker, plan)
        holes = [] if whole is None else [one for one in whole.by_hole if query.hole in (None, one.number)]
        if whole is None or not holes:
            shown.append(Shown(plan_subjects.clubs_from_tee(query.hole or 1, []), gettext(NO_PLAN)))
        else:
            hole = holes[0]
            shown.append(Shown(plan_subjects.clubs_from_tee(hole.number, hole.choices), _plan_words(whole)))
    return shown


def _plan_misses(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    shown = []
    for player, plan in zip(players, _plans(asker, players, query), strict=True):
        whole = _whole(asker, plan)
        holes = [] if whole is None else [one for one in whole.by_hole if query.hole in (None, one.number)]
        if whole is None or not holes:
            shown.append(Shown(plan_subjects.no_scatter(query.hole or 1), gettext(NO_PLAN)))
        else:
            (scatter,) = tee_scatters(asker, player, holes[:1])
            shown.append(Shown(plan_subjects.scatter(scatter), _plan_words(whole)))
    return shown


def _plan_parts(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    shown = []
    for plan in _plans(asker, players, query):
        read = None if plan is None else plans_read(asker, [plan], Query())[0]
        shots = [] if read is None else read.shots
        sample = counted(len(shots), "shot") if shots else gettext("No round was read beside a plan yet")
        shown.append(Shown(plan_subjects.parts_by_hole(shots), sample))
    return shown


SHOWS: Mapping[PictureName, Show] = {
    PictureName.PARTS: _in_a_window(summary, subjects.parts),
    PictureName.CLUBS: _in_a_window(distances, subjects.clubs),
    PictureName.APPROACH: _in_a_window(approach, subjects.approaches),
    PictureName.SHORT_GAME: _short_game,
    PictureName.PUTTS_HOLED: _in_a_window(putting, subjects.make_curve),
    PictureName.PUTTS_MISSED: _in_a_window(putting, subjects.low_side),
    PictureName.MISSED_GREENS: _in_a_window(misses, subjects.missed_greens),
    PictureName.MISSED_FAIRWAYS: _in_a_window(misses, subjects.missed_fairways),
    PictureName.GREENS_OR_ME: _greens_or_me,
    PictureName.TREND: _trend,
    PictureName.PRIORITIES: _priorities,
    PictureName.INDEX: _index,
    PictureName.LEVEL: _level,
    PictureName.GOAL: _goal,
    PictureName.TRIAL: _trial,
    PictureName.COMPARE: _compare,
    PictureName.BAG: _bag,
    PictureName.PLAN_SCORES: _plan_scores,
    PictureName.PLAN_CLUBS: _plan_clubs,
    PictureName.PLAN_MISSES: _plan_misses,
    PictureName.PLAN_PARTS: _plan_parts,
}
