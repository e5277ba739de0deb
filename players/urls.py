from django.urls import path

from players.api import (
    benchmarks,
    long_game,
    people,
    players_figures,
    putting,
    round_analysis,
    rounds,
    squad_table,
)

urlpatterns = [
    path("benchmarks", benchmarks.BenchmarkList.as_view(), name="benchmarks"),
    path("club", people.ClubDetail.as_view(), name="club"),
    path("players", people.PlayerList.as_view(), name="players"),
    path("players/<uuid:player_id>", people.PlayerDetail.as_view(), name="player"),
    path("players/<uuid:player_id>/approach", long_game.PlayerApproach.as_view(), name="player-approach"),
    path("players/<uuid:player_id>/distances", long_game.PlayerDistances.as_view(), name="player-distances"),
    path("players/<uuid:player_id>/figures", players_figures.PlayerFigures.as_view(), name="player-figures"),
    path(
        "players/<uuid:player_id>/figures/<str:key>",
        players_figures.PlayerFigure.as_view(),
        name="player-figure",
    ),
    path("players/<uuid:player_id>/misses", long_game.PlayerMisses.as_view(), name="player-misses"),
    path("players/<uuid:player_id>/putting", putting.PlayerPutting.as_view(), name="player-putting"),
    path("players/<uuid:player_id>/shots", players_figures.PlayerShots.as_view(), name="player-shots"),
    path("players/<uuid:player_id>/summary", players_figures.PlayerSummary.as_view(), name="player-summary"),
    path("squads", people.SquadList.as_view(), name="squads"),
    path("squads/<uuid:squad_id>", people.SquadDetail.as_view(), name="squad"),
    path("rounds", rounds.RoundList.as_view(), name="rounds"),
    path("rounds/<uuid:round_id>", rounds.RoundDetail.as_view(), name="round"),
    path(
        "rounds/<uuid:round_id>/analysis",
        round_analysis.RoundAnalysisDetail.as_view(),
        name="round-analysis",
    ),
    path("squads/<uuid:squad_id>/table", squad_table.SquadTableDetail.as_view(), name="squad-table"),
    path("rounds/<uuid:round_id>/analyse", rounds.AnalyseAgain.as_view(), name="analyse-round"),
]
