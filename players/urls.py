from django.urls import path

from players.api import people, rounds

urlpatterns = [
    path("club", people.ClubDetail.as_view(), name="club"),
    path("players", people.PlayerList.as_view(), name="players"),
    path("players/<uuid:player_id>", people.PlayerDetail.as_view(), name="player"),
    path("squads", people.SquadList.as_view(), name="squads"),
    path("squads/<uuid:squad_id>", people.SquadDetail.as_view(), name="squad"),
    path("rounds", rounds.RoundList.as_view(), name="rounds"),
    path("rounds/<uuid:round_id>", rounds.RoundDetail.as_view(), name="round"),
    path("rounds/<uuid:round_id>/analyse", rounds.AnalyseAgain.as_view(), name="analyse-round"),
]
