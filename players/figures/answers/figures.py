"""Figures by key: their values, one of them round by round, and the shots behind it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated
from urllib.parse import urlencode
from uuid import UUID

import numpy as np
from pydantic import Field

from golfstats.calc.figures import gained
from golfstats.calc.figures.catalogue import FIXED, UnknownFigureError
from golfstats.calc.observations import FigureSpec, Observations
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import UNKNOWN, Lie, Part
from golfstats.ground.answers import OneOf, up_to, with_values
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.faults import not_found
from golfstats.ground.operations import Asker
from golfstats.sentences import Sentence
from players.figures.meanings import catalogue_meanings
from players.figures.named import every_figure, figures_of, spec_of
from players.golf.analysed import Golf
from players.golf.answers import AboutPlayer, NamedFigure, Teller, about, in_shown_unit
from players.golf.one_player import golf_of_each
from players.golf.questions import FigureKey, Keys, WindowQuery, unknown_figure
from players.people.models import Player
from players.rounds.fields import from_yards

MOST_FIGURES = 50
DASHBOARD = [spec.key for spec in gained.SPECS]
"""The figures where nobody has asked for particular ones: strokes gained in all and by part."""

KEYS = "keys of figures, with commas between; `*` stands for a distance band or the name of a club:"

FIGURE_OPTIONS = [(spec.key, spec.words) for spec in FIXED]
"""Key and name of each figure that everybody has."""


class FiguresQuery(WindowQuery):
    keys: Keys | None = Field(
        None, max_length=MOST_FIGURES, description=with_values(KEYS, catalogue_meanings())
    )


class FigureQuery(WindowQuery):
    key: FigureKey = Field(description="key of a figure")


class ShotsQuery(WindowQuery):
    figure: FigureKey = Field(description="key of a figure")
    offset: int = Field(0, ge=0, le=1_000_000)
    """So many are left out before the page."""
    page_size: int = Field(50, ge=1, le=200)
    """Results of a page."""


@dataclass(frozen=True, kw_only=True)
class PlayerFigures(AboutPlayer):
    """Figures of a player over a window."""

    figures: list[NamedFigure] = up_to(150)
    """In the order asked for."""


@dataclass(frozen=True)
class FigureOfRound:
    """A figure in one round: the mean (or median) of its observations there."""

    round: UUID
    played_on: dt.date
    course: str
    value: float
    """Mean of the observations, or their median."""
    n: int
    """How many shots or holes the value rests on."""


@dataclass(frozen=True, kw_only=True)
class FigureByRound(AboutPlayer):
    """One figure over a window, and round by round."""

    figure: NamedFigure
    """Which figure."""
    rounds: list[FigureOfRound] = up_to(20)
    """Oldest first; rounds without an observation are left out."""


@dataclass(frozen=True)
class ObservedHole:
    """A hole as it was played."""

    number: int
    """Number of the hole."""
    par: int | None
    """Par of the hole."""
    score: int
    """Strokes, penalties included."""
    putts: int | None
    """Number of putts."""


@dataclass(frozen=True)
class ObservedShot:
    """A shot as it was played."""

    id: UUID
    number: int
    """1 is the first of the hole."""
    lie: str
    distance: float
    """To the hole, before the shot."""
    distance_unit: Unit
    club: str | None
    holed: bool
    penalty_strokes: int
    finish_lie: str | None
    """Where the ball lay after it; null where it is not known."""
    finish_distance: float | None
    """To the hole, after the shot."""
    finish_unit: Unit
    """Unit of ``finish_distance``."""
    part: str
    """Part of the game that the shot belongs to."""
    strokes_gained: float | None


@dataclass(frozen=True)
class Observation:
    """A shot, hole or round behind a figure."""

    value: float
    """What it contributes to the figure."""
    round: UUID
    played_on: dt.date
    course: str
    hole: ObservedHole | None
    """The hole, where it is one or a shot of one."""
    shot: ObservedShot | None
    """The shot, where it is one."""


class CountedBy(StrEnum):
    """What a figure's sample counts."""

    SHOT = "shot"
    """Single shots."""
    HOLE = "hole"
    """Holes as a whole."""
    ROUND = "round"
    """Rounds as a whole."""


@dataclass(frozen=True, kw_only=True)
class ShotsBehind(AboutPlayer):
    """A page of the shots (or holes, or rounds) behind a figure."""

    figure: NamedFigure
    """Which figure."""
    per: Annotated[str, OneOf(CountedBy)]
    """What each result is."""
    count: int
    """How many there are on all pages: the figure's n."""
    next: str | None
    """Address (REST) of the next page."""
    previous: str | None
    """Address (REST) of the page before."""
    results: list[Observation] = up_to(50)
    """Newest round first."""


def figures(asker: Asker, players: Sequence[Player], query: FiguresQuery) -> list[PlayerFigures]:
    """The figures of these keys, or every figure there is, "too few" ones included."""
    return [
        PlayerFigures(**vars(about(player, golf)), figures=_named(golf, query.keys, tell))
        for player, golf, tell in _golf(asker, players, query)
    ]


def figures_by_key(asker: Asker, players: Sequence[Player], query: FiguresQuery) -> list[list[NamedFigure]]:
    return [_named(golf, query.keys or DASHBOARD, tell) for _, golf, tell in _golf(asker, players, query)]


def figure_by_round(asker: Asker, players: Sequence[Player], query: FigureQuery) -> list[FigureByRound]:
    return [_by_round(player, golf, query.key, tell) for player, golf, tell in _golf(asker, players, query)]


def shots_behind(asker: Asker, players: Sequence[Player], query: ShotsQuery) -> list[ShotsBehind]:
    return [_shots_behind(player, golf, query, tell) for player, golf, tell in _golf(asker, players, query)]


def _golf(asker: Asker, players: Sequence[Player], query: WindowQuery) -> list[tuple[Player, Golf, Teller]]:
    unit = query.shown_unit(asker)
    return [
        (player, golf, Teller(player.id, query, unit))
        for player, golf in zip(players, golf_of_each(asker, players, query), strict=True)
    ]


def _named(golf: Golf, keys: Sequence[str] | None, tell: Teller) -> list[NamedFigure]:
    try:
        figures_ = figures_of(golf, keys) if keys else every_figure(golf)
    except UnknownFigureError as error:
        raise unknown_figure(error) from None
    return [tell.named(one.spec, one.figure) for one in figures_]


def _by_round(player: Player, golf: Golf, key: str, tell: Teller) -> FigureByRound:
    try:
        spec = spec_of(golf, key)
    except UnknownFigureError as error:
        raise not_found(Sentence("No figure {key}", key=repr(key))) from error
    observed = spec.observe(golf.analysed)
    rounds, values, counts = observed.by_round
    if spec.statistic == "median":
        values = np.array([np.median(observed.value[observed.round == row]) for row in rounds])
    return FigureByRound(
        **vars(about(player, golf)),
        figure=tell.named(spec, spec.figure(observed)),
        rounds=[
            FigureOfRound(
                golf.loaded.round_ids[row],
                golf.played_on(row),
                golf.course_name(row),
                _shown(value, spec, tell.unit),
                int(n),
            )
            for row, value, n in zip(rounds, values, counts, strict=True)
        ],
    )


def _shots_behind(player: Player, golf: Golf, query: ShotsQuery, tell: Teller) -> ShotsBehind:
    try:
        spec = spec_of(golf, query.figure)
    except UnknownFigureError as error:
        raise unknown_figure(error, "/figure") from None
    observed = spec.observe(golf.analysed)
    newest_first = np.lexsort((observed.shot, observed.hole, -observed.round))
    count = len(observed)
    page = observed.select(newest_first[query.offset : query.offset + query.page_size])
    return ShotsBehind(
        **vars(about(player, golf)),
        figure=tell.named(spec, spec.figure(observed)),
        per=spec.per,
        count=count,
        next=_page(player, query, query.offset + query.page_size, count),
        previous=_page(player, query, query.offset - query.page_size, count),
        results=[_observation(golf, spec, page, row, tell.unit) for row in range(len(page))],
    )


def _page(player: Player, query: ShotsQuery, offset: int, count: int) -> str | None:
    """The address of the page from this offset on; None where it is this very one, or there is none."""
    first = max(offset, 0)
    if first == query.offset or first >= count:
        return None
    asked = query.model_dump(mode="json", by_alias=True, exclude_none=True, exclude_defaults=True)
    return f"/api/v1/players/{player.id}/shots?{urlencode(asked | {'offset': first})}"


def _observation(golf: Golf, spec: FigureSpec, observed: Observations, row: int, unit: str) -> Observation:
    round_row, hole, shot = int(observed.round[row]), int(observed.hole[row]), int(observed.shot[row])
    return Observation(
        value=_shown(observed.value[row], spec, unit),
        round=golf.loaded.round_ids[round_row],
        played_on=golf.played_on(round_row),
        course=golf.course_name(round_row),
        hole=None if hole == UNKNOWN else _hole(golf, hole),
        shot=None if shot == UNKNOWN else _shot(golf, shot, unit),
    )


def _hole(golf: Golf, row: int) -> ObservedHole:
    holes = golf.analysed.record.holes
    return ObservedHole(
        int(holes.number[row]),
        _known(int(holes.par[row])),
        int(holes.score[row]),
        _known(int(holes.putts[row])),
    )


def _shot(golf: Golf, row: int, unit: str) -> ObservedShot:
    shots = golf.analysed.record.shots
    club, lie, lie_after = int(shots.club[row]), int(shots.lie[row]), int(shots.lie_after[row])
    gain, left = float(golf.analysed.strokes_gained[row]), float(shots.distance_after[row])
    return ObservedShot(
        id=golf.loaded.shot_ids[row],
        number=int(shots.number[row]),
        lie=Lie(lie).word,
        distance=from_yards(float(shots.distance[row]), unit, on_green=lie == Lie.GREEN),
        distance_unit=_distance_unit(lie, unit),
        club=golf.loaded.clubs[club] if club != UNKNOWN else None,
        holed=bool(shots.holed[row]),
        penalty_strokes=int(shots.penalty[row]),
        finish_lie=Lie(lie_after).word if lie_after != UNKNOWN else None,
        finish_distance=None if np.isnan(left) else from_yards(left, unit, on_green=lie_after == Lie.GREEN),
        finish_unit=_distance_unit(lie_after, unit),
        part=Part(golf.analysed.part[row]).word,
        strokes_gained=None if np.isnan(gain) else round(gain, 4),
    )


def _distance_unit(lie: int, unit: str) -> Unit:
    """Metres, or yards with feet on the green."""
    if unit == DistanceUnit.METRES:
        return Unit.METRES
    return Unit.FEET if lie == Lie.GREEN else Unit.YARDS


def _shown(value: float, spec: FigureSpec, unit: str) -> float:
    return in_shown_unit(float(value), spec.unit, unit)


def _known(value: int) -> int | None:
    return None if value == UNKNOWN else value
