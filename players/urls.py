from django.urls import path

from players.api import rounds

urlpatterns = [
    path("rounds", rounds.RoundList.as_view(), name="rounds"),
    path("rounds/<uuid:round_id>", rounds.RoundDetail.as_view(), name="round"),
    path("rounds/<uuid:round_id>/analyse", rounds.AnalyseAgain.as_view(), name="analyse-round"),
]
