"""Players side by side, a player against their earlier self, and a squad's leader tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations
from uuid import UUID

import numpy as np
from django.utils.translation import gettext

from golfstats.calc.coaching.comparison import allowing_for_form, compare_figures, leader_table
from golfstats.calc.coaching.words import likely_better
from golfstats.calc.figure import Figure as Estimate
from golfstats.calc.observations import FigureSpec, Observations
from golfstats.calc.record import Record
from golfstats.calc.strokes.selection import UnknownBenchmarkError
from golfstats.ground.answers import up_to
from golfstats.ground.faults import not_found
from golfstats.ground.operations import Asker
from golfstats.ground.words import day_words, spoken
from golfstats.sentences import Sentence
from players.coaching.greens import count_greens
from players.coaching.history import Observed, histories, known_spec, observed
from players.coaching.questions import CompareQuery, EarlierSelfQuery, LeadersQuery
from players.coaching.trends import month_words
from players.golf.analysed import Golf, golf_of
from players.golf.answers import Chance, Figure, FigureName, chance, figure, figure_name, figure_of
from players.golf.questions import WindowQuery, unknown_benchmark
from players.people import permissions
from players.people.answers import Named
from players.people.models import Player, Squad


@dataclass(frozen=True)
class Pair:
    """Two players (or two periods of one) on a figure."""

    first: str
    """The first by name."""
    second: str
    """The second by name."""
    difference: Figure
    """The first less the second, with form that lasts allowed for. An interval that holds zero means: cannot be
    told apart.
    """
    chance_first_better: Chance | None
    """Chance that the first is better."""
    words: str


@dataclass(frozen=True, kw_only=True)
class ComparedFigure(FigureName):
    """A figure of several players."""

    values: list[Figure] = up_to(8)
    """In the order of the players."""
    pairs: list[Pair] = up_to(28)
    """Each two of the players."""


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Players side by side."""

    players: list[Named] = up_to(8)
    """In the order in which they were asked for."""
    benchmark: str
    """Key of the golfer whom they are compared with."""
    figures: list[ComparedFigure] = up_to(5)
    """Each for all of the players."""


@dataclass(frozen=True, kw_only=True)
class FigureSinceDay(FigureName):
    """A figure before a day and from it on."""

    before: Figure
    """From the rounds before the day."""
    since: Figure
    """From the rounds of the day and after it."""
    comparison: Pair
    """The two periods against each other."""
    greens: str
    """What disturbed greens have to do with it, which are allowed for; empty where they have nothing."""


@dataclass(frozen=True, kw_only=True)
class EarlierSelf:
    """A player from a day on against themselves before it."""

    player: Named
    day: date
    """First day of the later rounds."""
    figures: list[FigureSinceDay] = up_to(5)
    """Each before and since."""


@dataclass(frozen=True)
class Standing:
    """A player's place in a leader table."""

    rank: int | None
    """Null with too few observations."""
    tied: bool
    """The rounds cannot tell them from another of this rank."""
    player: Named
    figure: Figure
    """Their figure."""


@dataclass(frozen=True, kw_only=True)
class SquadLeaders:
    """A squad by one figure, best first."""

    squad: Named
    figure: FigureName
    """Which figure."""
    standings: list[Standing] = up_to(30)
    """Each player of the squad."""


def compare(asker: Asker, query: CompareQuery) -> Comparison:
    """In the order asked for; refused if one of the players is none for this member."""
    visible = permissions.visible_players(asker.member)
    by_id = {player.id: player for player in visible.filter(id__in=query.players)}
    if len(by_id) < len(query.players):
        raise not_found(Sentence("No such players"))
    players = [by_id[one] for one in query.players]
    asker.looks_at("analysis", by_id)
    golf, unit = _golf(asker, query.players, query), query.shown_unit(asker)
    return Comparison(
        players=[Named(player.id, player.name) for player in players],
        benchmark=golf.benchmark.key,
        figures=[_compared(golf, players, key, unit) for key in query.figures],
    )


def _compared(golf: Golf, players: Sequence[Player], key: str, unit: str) -> ComparedFigure:
    spec = known_spec(golf, key)
    figures, judged = _figures(golf, spec, [player.id for player in players])
    return ComparedFigure(
        **vars(figure_name(spec, unit)),
        values=[figure_of(spec, one, unit) for one in figures],
        pairs=[
            pair(spec, (players[a].name, judged[a]), (players[b].name, judged[b]), unit)
            for a, b in combinations(range(len(players)), 2)
        ],
    )


def pair(spec: FigureSpec, first: tuple[str, Estimate], second: tuple[str, Estimate], unit: str) -> Pair:
    """Two named figures of separate samples, each allowing for form that lasts."""
    compared = compare_figures(first[1], second[1], spec.better)
    better = compared.chance_first_better
    words = gettext("too few")
    if better is not None:
        words = gettext("{first}: {better}").format(
            first=first[0], better=spoken(likely_better(better, second[0]))
        )
    difference = figure(compared.difference, unit=unit, signed=True)
    return Pair(first[0], second[0], difference, chance(better), words)


def earlier_selves(asker: Asker, players: Sequence[Player], query: EarlierSelfQuery) -> list[EarlierSelf]:
    """Each player's rounds from the day on against those before it."""
    unit = query.shown_unit(asker)
    return [
        EarlierSelf(
            player=Named(player.id, player.name),
            day=query.day,
            figures=[
                _against_earlier(observed(golf, player.id, key), query.day, asker.today, unit)
                for key in query.figures
            ],
        )
        for player, golf in zip(players, histories(asker, players, query.benchmark, query.since), strict=True)
    ]


def _against_earlier(figure: Observed, day: date, today: date, unit: str) -> FigureSinceDay:
    spec, record = figure.spec, figure.golf.analysed.record
    later = record.rounds.day[figure.observations.round] >= day.toordinal()
    earlier, lately = (figure.observations.select(rows) for rows in (~later, later))
    before, since = figure.figure(earlier), figure.figure(lately)
    names = (
        gettext("since {day}").format(day=day_words(day)),
        gettext("before {day} ({month})").format(day=day_words(day), month=month_words(day, today)),
    )
    judged = _judged(since, lately, record), _judged(before, earlier, record)
    return FigureSinceDay(
        **vars(figure_name(spec, unit)),
        before=figure_of(spec, before, unit),
        since=figure_of(spec, since, unit),
        comparison=pair(spec, (names[0], judged[0]), (names[1], judged[1]), unit),
        greens=count_greens(figure).words,
    )


def squad_leaders(asker: Asker, squads: Sequence[Squad], query: LeadersQuery) -> list[SquadLeaders]:
    """The players of each squad by one figure, best first, with the ties that the sample leaves."""
    unit = query.shown_unit(asker)
    places = permissions.visible_players(asker.member).filter(squad_places__squad__in=squads)
    rows = list(places.order_by("name", "id").values_list("squad_places__squad_id", "id", "name").distinct())
    golf = _golf(asker, dict.fromkeys(row[1] for row in rows), query)
    return [
        _leaders(golf, squad, [Named(*row[1:]) for row in rows if row[0] == squad.id], query.key, unit)
        for squad in squads
    ]


def _leaders(golf: Golf, squad: Squad, players: list[Named], key: str, unit: str) -> SquadLeaders:
    spec = known_spec(golf, key, "/key")
    figures, judged = _figures(golf, spec, [player.id for player in players])
    return SquadLeaders(
        squad=Named(squad.id, squad.name),
        figure=figure_name(spec, unit),
        standings=[
            Standing(one.rank, one.tied, players[one.player], figure_of(spec, figures[one.player], unit))
            for one in leader_table(judged, spec.better)
        ],
    )


def _golf(asker: Asker, players: Iterable[UUID], query: WindowQuery) -> Golf:
    """The golf of all of them together in the window asked for."""
    try:
        return golf_of(players, asker.club, query.benchmark, query.window())
    except UnknownBenchmarkError as error:
        raise unknown_benchmark(error) from None


def _figures(golf: Golf, spec: FigureSpec, players: Sequence[UUID]) -> tuple[list[Estimate], list[Estimate]]:
    """Each player's figure as it was, and as evidence of how good they are."""
    everybodys = spec.observe(golf.analysed)
    observations = [golf.observations_of(everybodys, [player]) for player in players]
    figures = [spec.figure(one) for one in observations]
    pairs = zip(figures, observations, strict=True)
    return figures, [_judged(*pair, golf.analysed.record) for pair in pairs]


def _judged(difference: Estimate, observations: Observations, record: Record) -> Estimate:
    rounds, value, _ = observations.by_round
    return allowing_for_form(difference, value[np.argsort(record.rounds.day[rounds], kind="stable")])
