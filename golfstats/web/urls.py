from django.urls import include, path

from golfstats.web.pages import (
    assets,
    coaching,
    front,
    greens,
    managing,
    people,
    problems,
    round_entry,
    rounds,
)

of_a_club = [
    path("", people.ClubStart.as_view(), name="club-page"),
    path("attention/put-aside", coaching.PutAside.as_view(), name="put-aside"),
    path("compare", coaching.Compare.as_view(), name="compare-page"),
    path("courses/<uuid:course_id>", greens.CoursePage.as_view(), name="course-page"),
    path("courses/<uuid:course_id>/calendar", greens.CalendarAddress.as_view(), name="calendar-page"),
    path(
        "courses/<uuid:course_id>/calendar/<uuid:feed_id>/revoke",
        greens.RevokeCalendar.as_view(),
        name="revoke-calendar",
    ),
    path("courses/<uuid:course_id>/events/new", greens.NewEvent.as_view(), name="new-event"),
    path("courses/<uuid:course_id>/readings/new", greens.NewReading.as_view(), name="new-reading"),
    path("courses/<uuid:course_id>/green-work/new", greens.NewWork.as_view(), name="new-work"),
    path("courses/<uuid:course_id>/green-work/<uuid:work_id>", greens.EditWork.as_view(), name="edit-work"),
    path(
        "courses/<uuid:course_id>/green-work/<uuid:work_id>/delete",
        greens.DeleteWork.as_view(),
        name="delete-work",
    ),
    path("courses/<uuid:course_id>/playing-conditions", managing.NewPcc.as_view(), name="new-pcc"),
    path("greens", greens.GreensPage.as_view(), name="greens-page"),
    path("members", managing.Members.as_view(), name="members-page"),
    path("players", people.Players.as_view(), name="players-page"),
    path("players/<uuid:player_id>", people.PlayerPage.as_view(), name="player-page"),
    path("players/<uuid:player_id>/goals", coaching.NewGoalPage.as_view(), name="new-goal"),
    path("players/<uuid:player_id>/notes", coaching.NewNotePage.as_view(), name="new-note"),
    path("rounds/new", round_entry.NewRound.as_view(), name="round-entry"),
    path("rounds/<uuid:round_id>", rounds.RoundPage.as_view(), name="round-page"),
    path("rounds/<uuid:round_id>/delete", rounds.DeleteRound.as_view(), name="delete-round"),
    path("rounds/<uuid:round_id>/edit", round_entry.EditRound.as_view(), name="round-edit"),
    path("squads/<uuid:squad_id>", people.SquadPage.as_view(), name="squad-page"),
]

urlpatterns = [
    path("", front.FrontPage.as_view(), name="front-page"),
    path("sign-in", front.SignIn.as_view(), name="sign-in"),
    path("sign-out", front.SignOut.as_view(), name="sign-out"),
    path("charts/<str:version>.js", assets.chart_library, name="chart-library"),
    path("problems/<slug:kind>", problems.ProblemPage.as_view(), name="problem-page"),
    path("clubs/<slug:slug>/", include(of_a_club)),
]
