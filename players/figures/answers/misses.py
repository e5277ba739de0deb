"""Missed greens and fairways beside those of the benchmark golfer and of the player's squads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from uuid import UUID

import numpy as np
from django.db.models import QuerySet
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc import figure as calc
from golfstats.calc.figures.misses import Target, specs
from golfstats.calc.observations import AnalysedRecord, FigureSpec
from golfstats.calc.record import Record
from golfstats.calc.simulate.course import calibration_course
from golfstats.calc.simulate.golfer import ANCHORS, golfer_of_handicap
from golfstats.calc.simulate.rounds import play
from golfstats.calc.simulate.schedule import simple_schedule
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.handicap_golfer import handicap_words
from golfstats.calc.strokes.parts import parts_of_shots
from golfstats.calc.strokes.reference_course import Gender
from golfstats.ground.answers import up_to
from golfstats.ground.operations import Asker
from golfstats.ground.statements import Statement
from golfstats.ground.walls.scope import current_club_id
from golfstats.ground.words import with_marks
from players.golf.analysed import Golf, golf_of
from players.golf.answers import AboutPlayer, Figure, NamedFigure, Teller, about
from players.golf.benchmarks import gender_of, handicap_of
from players.golf.one_player import golf_of_each
from players.golf.questions import WindowQuery
from players.golf.windows import USUAL_ROUNDS, RoundWindow
from players.golf.words import strokes_words
from players.people.models import Player, SquadPlayer
from players.people.permissions import ANY_PLAYER, unprotected_players

SIMULATED_ROUNDS = 200
MINIMUM_SQUAD = 3
"""A squad's figures rest on at least so many others, so that nobody's own can be told from them."""


@dataclass(frozen=True)
class MissFigure(NamedFigure):
    """A figure of misses beside those of others; differences are the player's less the other's."""

    benchmark_golfer: Figure
    """The same figure of the benchmark golfer."""
    versus_benchmark_golfer: Figure
    """The player's less the benchmark golfer's: below zero the player loses less."""
    squad: Figure | None
    """Null with too few others in the player's squads."""
    versus_squad: Figure | None
    """The player's less the squad's; null with too few others."""


@dataclass(frozen=True, kw_only=True)
class MissesOfTarget:
    """How often a target is missed, which way, and what a miss costs: strokes lost."""

    words: str
    figures: list[MissFigure] = up_to(18)
    """The parts of the cost by finish add up to the cost with the shot after."""


@dataclass(frozen=True)
class PlayerMisses(AboutPlayer):
    """A player's missed greens and fairways."""

    benchmark_golfer: str
    """Who the benchmark golfer is, and how far to trust them: they are simulated."""
    squad: str
    """Whom the squad's figures are of."""
    green: MissesOfTarget
    """Greens missed with the shot that should have found them."""
    fairway: MissesOfTarget
    """Fairways missed from the tee."""


@dataclass(frozen=True)
class _Others:
    """Whom one player is compared with."""

    simulated: AnalysedRecord
    squad: AnalysedRecord | None


def misses(asker: Asker, players: Sequence[Player], query: WindowQuery) -> list[PlayerMisses]:
    """Two bulk reads: the players' golf, and that of all their squad mates."""
    unit, mates = query.shown_unit(asker), squad_mates(players)
    golf = golf_of_each(asker, players, query)
    everybody = set().union(*mates.values())
    of_mates = golf_of(everybody, asker.club, query.benchmark, _mates_window(query.window()))
    return [
        _misses(player, own, of_mates, mates[player.id], Teller(player.id, query, unit), asker)
        for player, own in zip(players, golf, strict=True)
    ]


def _places_beside(players: Sequence[UUID]) -> QuerySet[SquadPlayer, tuple[UUID, UUID]]:
    """Each of the players, and who is in a squad with them."""
    places = SquadPlayer.objects.filter(
        squad__squad_players__player__in=players, player__in=unprotected_players().values("id")
    )
    return places.values_list("squad__squad_players__player_id", "player_id")


BESIDE_ONE = Statement(
    lambda: _places_beside([ANY_PLAYER]),
    standing_for=lambda: {ANY_PLAYER: "player", current_club_id(): "club"},
)
"""Nearly always of one, and asked each time that an answer may be told again: so it is written once."""


def squad_mates(players: Sequence[Player]) -> dict[UUID, set[UUID]]:
    """The other players of the squads that each player is in."""
    mates: dict[UUID, set[UUID]] = {player.id: set() for player in players}
    if len(mates) == 1:
        (one,) = mates
        beside = BESIDE_ONE.found(player=one, club=current_club_id())
        mates[one] = {mate for _, mate in beside} - {one}
        return mates
    for player, mate in _places_beside(list(mates)):
        if player != mate:
            mates[player].add(mate)
    return mates


def _mates_window(window: RoundWindow) -> RoundWindow:
    """The same window, but of nobody more than the usual number of last rounds: a squad is many players."""
    return window if window.last is None else RoundWindow(min(window.last, USUAL_ROUNDS))


def _misses(
    player: Player, golf: Golf, of_mates: Golf, mates: set[UUID], tell: Teller, asker: Asker
) -> PlayerMisses:
    rounds = of_mates.rounds_of(mates)
    played = len(np.unique(of_mates.analysed.record.rounds.player[rounds]))
    golfer = simulated_handicap(golf.benchmark.key)
    record = _simulated(golfer, gender_of(golf.benchmark.key))
    shots = record.shots
    others = _Others(
        AnalysedRecord(
            record,
            strokes_gained(record, golf.benchmark.on_any_course),
            parts_of_shots(shots.lie, shots.distance, shots.par, asker.club.short_game_yards),
        ),
        of_mates.analysed.of_rounds(rounds) if played >= MINIMUM_SQUAD else None,
    )
    return PlayerMisses(
        **vars(about(player, golf)),
        benchmark_golfer=_golfer_words(golf.benchmark.key, golfer),
        squad=_squad_words(played, golf.window),
        green=_of_target("green", golf, others, tell),
        fairway=_of_target("fairway", golf, others, tell),
    )


def _of_target(target: Target, golf: Golf, others: _Others, tell: Teller) -> MissesOfTarget:
    figures = [_compared(golf, spec, others, tell) for spec in specs(target)]
    handicap = simulated_handicap(golf.benchmark.key)
    return MissesOfTarget(words=_cost_words(target, figures, handicap), figures=figures)


def _compared(golf: Golf, spec: FigureSpec, others: _Others, tell: Teller) -> MissFigure:
    own = spec.figure(spec.observe(golf.analysed))
    theirs = spec.figure(spec.observe(others.simulated))
    squad = spec.figure(spec.observe(others.squad)) if others.squad else None
    return MissFigure(
        **vars(tell.named(spec, own)),
        benchmark_golfer=tell.plain(theirs, spec.per),
        versus_benchmark_golfer=_difference(own, theirs, spec, tell),
        squad=tell.plain(squad, spec.per) if squad else None,
        versus_squad=_difference(own, squad, spec, tell) if squad else None,
    )


def _difference(own: calc.Figure, theirs: calc.Figure, spec: FigureSpec, tell: Teller) -> Figure:
    words = gettext("too few on one side to compare")
    return tell.plain(calc.difference_figure(own, theirs), spec.per, signed=True, too_few=words)


def _squad_words(players: int, window: RoundWindow) -> str:
    if players < MINIMUM_SQUAD:
        few = gettext("Fewer than {least} others of the player's squads have played: no comparison.")
        return few.format(least=MINIMUM_SQUAD)
    words = gettext("{players} others of the player's squads")
    if window.last:
        words = gettext("{players} others of the player's squads, at most {rounds} rounds of each")
    return words.format(players=players, rounds=USUAL_ROUNDS)


def _cost_words(target: Target, figures: Sequence[MissFigure], handicap: float) -> str:
    by_key = {one.key: one for one in figures}
    rate, cost = by_key[f"misses.{target}.rate"], by_key[f"misses.{target}.cost"]
    if cost.value is None or rate.value is None:
        return gettext(_TOO_FEW[target])
    other = cost.benchmark_golfer.value
    words = gettext(_COSTS[target])
    if other is not None:
        words = gettext(_COSTS_AND_OTHER[target])
    return words.format(
        missed=rate.words,
        cost=cost.words,
        other="" if other is None else strokes_words(other, signed=False),
        handicap=with_marks(handicap_words(handicap)),
    )


_TOO_FEW: Mapping[Target, str] = {
    "green": noop("Too few missed greens with every shot recorded to say what one costs."),
    "fairway": noop("Too few missed fairways with every shot recorded to say what one costs."),
}
_COSTS: Mapping[Target, str] = {
    "green": noop("Greens missed: {missed}. A miss costs {cost}."),
    "fairway": noop("Fairways missed: {missed}. A miss costs {cost}."),
}
_COSTS_AND_OTHER: Mapping[Target, str] = {
    "green": noop(
        "Greens missed: {missed}. A miss costs {cost}; a simulated golfer of handicap {handicap} loses {other}."
    ),
    "fairway": noop(
        "Fairways missed: {missed}. A miss costs {cost}; a simulated golfer of handicap {handicap} loses {other}."
    ),
}


def simulated_handicap(benchmark_key: str) -> float:
    """Handicap of the simulated golfer who stands for a benchmark: the nearest that the simulator knows."""
    handicap = handicap_of(benchmark_key)
    return float(np.clip(ANCHORS[0] if handicap is None else handicap, ANCHORS[0], ANCHORS[-1]))


def _golfer_words(benchmark_key: str, simulated: float) -> str:
    handicap = handicap_of(benchmark_key)
    words = gettext(
        "A simulated golfer of handicap {handicap} over {rounds} rounds of an invented par-72 course; the simulator's "
        "spreads are assumptions, so read the comparison as a rough one."
    ).format(handicap=with_marks(handicap_words(simulated)), rounds=SIMULATED_ROUNDS)
    if handicap is None:
        best = gettext("It is the best golfer that the simulator knows; a touring professional misses less.")
        return f"{words} {best}"
    nearest = gettext("It is the nearest one that the simulator knows.")
    return words if handicap == simulated else f"{words} {nearest}"


@lru_cache(maxsize=64)
def _simulated(handicap: float, gender: Gender) -> Record:
    """Rounds of the typical golfer of a handicap and gender; always the same ones."""
    golfer = golfer_of_handicap(handicap, gender=gender)
    schedule = simple_schedule(SIMULATED_ROUNDS)
    return play([golfer], [calibration_course(gender)], schedule, np.random.default_rng(18))
