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

from courses.greens.answers import known_kinds
from courses.greens.models import GreenWork
from courses.greens.operations import GREEN_WORK
from golfstats.ground.answers import value_meanings
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import counted, day_words
from players.coaching.priorities import player_priorities
from players.coaching.questions import PrioritiesQuery, TrendsQuery
from players.coaching.trends import trends
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
from players.pictures import subjects
from players.pictures.questions import PictureName, PictureQuery
from players.pictures.shapes import Mark, Series, Shape
from players.pictures.vega import About, described, specification

VEGA_LITE = "application/vnd.vegalite.v5+json"
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


@dataclass(frozen=True)
class Picture:
    """A picture, ready to be drawn."""

    player: Named
    name: PictureName
    """Which picture."""
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
        about = About(player.name, shown.sample, query.scheme)
        text = orjson.dumps(specification(shown.shape, about)).decode()
        answers.append(
            Picture(
                Named(player.id, player.name),
                query.name,
                shown.shape.title,
                described(shown.shape, about),
                shown.sample,
                text,
            )
        )
    return answers


def as_vega_lite(asker: Asker, player: Player, query: PictureQuery) -> str:
    """The specification alone."""
    (drawn,) = picture(asker, [player], query)
    return drawn.specification


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
        Shown(subjects.without_the_greens(one), f"The last {counted(one.window.rounds, 'round')}")
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
        return Shown(series, f"No {of} yet")
    first, last = series.points[0].day, series.points[-1].day
    return Shown(series, f"{counted(len(series.points), of)}, {day_words(first)} to {day_words(last)}")


def _priorities(asker: Asker, players: Sequence[Player], query: PictureQuery) -> list[Shown]:
    asked = PrioritiesQuery(benchmark=query.benchmark, unit=query.unit)
    return [
        Shown(subjects.worth_working_on(one), counted(one.rounds, "round"))
        for one in player_priorities(asker, players, asked)
    ]


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
}
