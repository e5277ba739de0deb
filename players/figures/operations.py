"""What may be asked of a player's figures, and of a squad's."""

from __future__ import annotations

from golfstats.ground.operations import Gathering, Operation, Reading
from players.figures.answers import figures, long_game, misses, putting, rounds, squads, stored, summary
from players.golf import answers as golf
from players.golf.questions import BenchmarkQuery, WindowQuery
from players.people.operations import PLAYER, PLAYER_ALONE, SQUAD_ALONE
from players.people.remembered import Remembered
from players.rounds.operations import ROUND, ROUND_ALONE

SUMMARY = Remembered("summary", summary.summary, summary.PlayerSummary)
FIGURES = Remembered("figures", figures.figures, figures.PlayerFigures)
APPROACH = Remembered("approach", long_game.approach, long_game.PlayerApproach)
PUTTING = Remembered("putting", putting.putting, putting.Putting)
MISSES = Remembered("misses", misses.misses, misses.PlayerMisses, beside=misses.squad_mates)
DISTANCES = Remembered("distances", long_game.distances, long_game.PlayerDistances)
SHOTS_BEHIND = Remembered(
    "shots_behind",
    figures.shots_behind,
    figures.ShotsBehind,
    linked=True,
    begins=lambda query: query.offset == 0,  # who leafs on would have all other answers forgotten
)
"""What pages show as well: an answer is worked out once, whichever door asked first."""

OPERATIONS: list[Operation] = [
    Reading(
        name="benchmarks",
        id="list_benchmarks",
        path="benchmarks",
        field="benchmarks",
        answer=golf.BenchmarkChoices,
        read=golf.benchmarks,
        summary="The golfers one can be compared with, in plain words and with where their numbers come from",
    ),
    Reading(
        name="player-summary",
        id="read_player_summary",
        path="players/<uuid:player_id>/summary",
        field="summary",
        cost=300,
        about=PLAYER,
        query=WindowQuery,
        answer=summary.PlayerSummary,
        read=SUMMARY,
        summary="A player over a window: strokes gained a round by part, scoring, and one line a round",
    ),
    Reading(
        name="player-figures",
        id="list_player_figures",
        path="players/<uuid:player_id>/figures",
        about=PLAYER,
        query=figures.FiguresQuery,
        answer=figures.PlayerFigures,
        read=FIGURES,
        summary="Every figure of a player over a window, or those of `keys`",
    ),
    Gathering(
        name="player-figures-by-key",
        id="list_player_figures_by_key",
        path="",
        field="figures",
        cost=50,
        longest=5,
        about=PLAYER,
        query=figures.FiguresQuery,
        line=golf.NamedFigure,
        gather=Remembered("figures_by_key", figures.figures_by_key, list[golf.NamedFigure]),
        summary="Figures by key; strokes gained in all and by part if left out",
    ),
    Reading(
        name="player-figure",
        id="read_player_figure",
        path="players/<uuid:player_id>/figures/<path:key>",
        field="figure_by_round",
        cost=20,
        about=PLAYER,
        query=figures.FigureQuery,
        answer=figures.FigureByRound,
        read=Remembered("figure_by_round", figures.figure_by_round, figures.FigureByRound),
        summary="One figure of a player over a window, and round by round",
    ),
    Reading(
        name="player-shots",
        tells="shots",
        id="list_shots_behind_figure",
        path="players/<uuid:player_id>/shots",
        field="shots",
        cost=20,
        about=PLAYER,
        query=figures.ShotsQuery,
        answer=figures.ShotsBehind,
        read=SHOTS_BEHIND,
        summary="The shots (or holes, or rounds) behind a figure, newest round first",
        description=(
            "Each result carries the value that it contributes; `count` is the figure's n. Take `next` as the "
            "address of the next page."
        ),
    ),
    Reading(
        name="player-approach",
        id="read_player_approach",
        path="players/<uuid:player_id>/approach",
        field="approach",
        cost=800,
        about=PLAYER,
        query=WindowQuery,
        answer=long_game.PlayerApproach,
        read=APPROACH,
        summary="Shots at the green by distance band: how many, green hit, what is left, gained, and the trend",
    ),
    Reading(
        name="player-putting",
        id="read_player_putting",
        path="players/<uuid:player_id>/putting",
        field="putting",
        cost=2500,
        about=PLAYER,
        query=WindowQuery,
        answer=putting.Putting,
        read=PUTTING,
        summary="A player's putting: two spreads, make curve, first putts, habits, under-reading and slopes",
        description=(
            "The spreads are partially pooled over the club: few putts give an answer near the club's golfers, "
            "many the player's own. Chances from a distance follow from the spreads."
        ),
    ),
    Reading(
        name="player-misses",
        id="read_player_misses",
        path="players/<uuid:player_id>/misses",
        field="player_misses",
        cost=2500,
        about=PLAYER_ALONE,
        query=WindowQuery,
        answer=misses.PlayerMisses,
        read=MISSES,
        summary="What missed greens and fairways cost, beside the benchmark golfer and the squad",
        description=(
            "Costs are strokes lost. The parts by finish add up to the cost. Differences are the player's figure "
            "less the other's. The benchmark golfer is simulated, and `benchmark_golfer` says how far to trust it."
        ),
    ),
    Reading(
        name="player-distances",
        id="read_player_distances",
        path="players/<uuid:player_id>/distances",
        field="distances",
        cost=1500,
        about=PLAYER,
        query=WindowQuery,
        answer=long_game.PlayerDistances,
        read=DISTANCES,
        summary="How far each club goes, how widely it scatters, and the gaps between clubs",
    ),
    Reading(
        name="squad-table",
        id="read_squad_table",
        path="squads/<uuid:squad_id>/table",
        field="squad_table",
        cost=3000,
        about=SQUAD_ALONE,
        query=WindowQuery,
        answer=squads.SquadTable,
        read=squads.squad_table,
        summary="Strokes gained a round by part for each player of a squad, by name",
        description=(
            "`last` counts for each player by themselves; n counts holes with every shot recorded. Against the "
            "club's own benchmark these are stored figures, and `rounds_waiting` rounds are not in them yet."
        ),
    ),
    Reading(
        name="round-analysis",
        id="read_round_analysis",
        path="rounds/<uuid:round_id>/analysis",
        field="round_analysis",
        cost=1000,
        about=ROUND_ALONE,
        query=BenchmarkQuery,
        answer=rounds.AnalysisOfRound,
        read=rounds.analyses,
        summary="A round's strokes gained, hole by hole and shot by shot, with what each number came from",
        description=(
            "Without `benchmark` these are the figures that the worker stored against the club's benchmark, "
            "and `analysis` says how far it is. With another benchmark they are computed for this answer."
        ),
    ),
    Reading(
        name="round-figures",
        id="read_round_figures",
        path="",
        field="figures",
        about=ROUND,
        answer=stored.RoundFigures,
        read=stored.round_figures,
        summary="Strokes gained by part; null until the worker is done",
    ),
    Gathering(
        name="shot-figures",
        tells="shots",
        id="list_shot_figures",
        path="",
        field="shot_figures",
        about=ROUND,
        line=stored.ShotFigures,
        gather=stored.shot_figures,
        longest=80,
        summary="What each shot gained against the club's benchmark, as the worker stored it",
    ),
]
