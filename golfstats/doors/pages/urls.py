from django.urls import include, path

from golfstats.doors.pages import languages
from golfstats.doors.pages.screens import coaching, exploring, guide, months, people, problems, trusting
from golfstats.doors.pages.screens.chapters import game, progress, putting, shots, trials
from golfstats.doors.pages.screens.golf import entry as round_entry
from golfstats.doors.pages.screens.golf import playing, rounds, scorecards, tomorrow
from golfstats.doors.pages.screens.greens import hole_costs
from golfstats.doors.pages.screens.greens import state as greens
from golfstats.doors.pages.screens.greens import work as green_work
from golfstats.doors.pages.screens.managing import club, courses, files, founding, guardians, webhooks
from golfstats.doors.pages.screens.managing import people as staff
from golfstats.doors.pages.screens.own import account as accounts
from golfstats.doors.pages.screens.own import front, letting_in, phone, record

of_a_club = [
    path("", people.ClubStart.as_view(), name="club-page"),
    path("become-a-player", people.BecomeAPlayer.as_view(), name="become-a-player"),
    path("attention/put-aside", coaching.PutAside.as_view(), name="put-aside"),
    path("compare", coaching.Compare.as_view(), name="compare-page"),
    path("courses/<uuid:course_id>", greens.CoursePage.as_view(), name="course-page"),
    path("courses/<uuid:course_id>/calendar", greens.CalendarAddress.as_view(), name="calendar-page"),
    path(
        "courses/<uuid:course_id>/calendar/<uuid:feed_id>/revoke",
        greens.RevokeCalendar.as_view(),
        name="revoke-calendar",
    ),
    path("courses/<uuid:course_id>/events/new", green_work.NewEvent.as_view(), name="new-event"),
    path(
        "courses/<uuid:course_id>/events/<uuid:event_id>/delete",
        green_work.DeleteEvent.as_view(),
        name="delete-event",
    ),
    path(
        "courses/<uuid:course_id>/readings/quick",
        green_work.QuickReading.as_view(),
        name="quick-reading",
    ),
    path(
        "courses/<uuid:course_id>/readings/<uuid:reading_id>/delete",
        green_work.DeleteReading.as_view(),
        name="delete-reading",
    ),
    path("courses/<uuid:course_id>/readings/new", green_work.NewReading.as_view(), name="new-reading"),
    path("courses/<uuid:course_id>/green-work/new", green_work.NewWork.as_view(), name="new-work"),
    path(
        "courses/<uuid:course_id>/green-work/<uuid:work_id>", green_work.EditWork.as_view(), name="edit-work"
    ),
    path(
        "courses/<uuid:course_id>/green-work/<uuid:work_id>/delete",
        green_work.DeleteWork.as_view(),
        name="delete-work",
    ),
    path("courses/from-a-scorecard", scorecards.EnterScorecard.as_view(), name="enter-scorecard"),
    path(
        "courses/<uuid:course_id>/scorecard",
        scorecards.CorrectScorecard.as_view(),
        name="correct-scorecard",
    ),
    path(
        "courses/<uuid:course_id>/scorecard/remove",
        scorecards.DeleteScorecard.as_view(),
        name="delete-scorecard",
    ),
    path(
        "courses/<uuid:course_id>/tees/<uuid:tee_id>/costs",
        hole_costs.HoleCostsPage.as_view(),
        name="hole-costs",
    ),
    path("explorer", exploring.Explorer.as_view(), name="explorer"),
    path("greens", greens.GreensPage.as_view(), name="greens-page"),
    path("plans/<uuid:plan_id>", tomorrow.PlanPage.as_view(), name="plan-page"),
    path("plans/<uuid:plan_id>/card", tomorrow.PlanCardPage.as_view(), name="plan-card-page"),
    path("plans/<uuid:plan_id>/card.pdf", tomorrow.PlanCardFile.as_view(), name="plan-card-file"),
    path("plans/<uuid:plan_id>/delete", tomorrow.DeletePlan.as_view(), name="delete-plan"),
    path("plans/<uuid:plan_id>/played", tomorrow.PlanAfterwardsPage.as_view(), name="plan-afterwards-page"),
    path("plans/<uuid:plan_id>/start", playing.StartRound.as_view(), name="start-round"),
    path("rounds/in-play", playing.BeginRound.as_view(), name="begin-round"),
    path("rounds/in-play/<uuid:play_id>", playing.PlayPage.as_view(), name="play-page"),
    path("rounds/in-play/<uuid:play_id>/give-up", playing.GiveUpRound.as_view(), name="give-up-round"),
    path("plans/<uuid:plan_id>/progress", tomorrow.PlanProgress.as_view(), name="plan-progress"),
    path("players", people.Players.as_view(), name="players-page"),
    path("players/<uuid:player_id>", people.PlayerPage.as_view(), name="player-page"),
    path("players/<uuid:player_id>/bag", tomorrow.BagPage.as_view(), name="bag-page"),
    path("players/<uuid:player_id>/parts", game.Parts.as_view(), name="player-parts"),
    path("players/<uuid:player_id>/long-game", game.LongGame.as_view(), name="player-long-game"),
    path("players/<uuid:player_id>/approach", game.Approach.as_view(), name="player-approach"),
    path("players/<uuid:player_id>/short-game", game.ShortGame.as_view(), name="player-short-game"),
    path("players/<uuid:player_id>/putting", putting.PuttingChapter.as_view(), name="player-putting"),
    path("players/<uuid:player_id>/misses", game.Misses.as_view(), name="player-misses"),
    path("players/<uuid:player_id>/greens", game.GreensOrMe.as_view(), name="player-greens"),
    path("players/<uuid:player_id>/trends", progress.Trends.as_view(), name="player-trends"),
    path(
        "players/<uuid:player_id>/priorities", progress.PrioritiesChapter.as_view(), name="player-priorities"
    ),
    path("players/<uuid:player_id>/goals", progress.Goals.as_view(), name="player-goals"),
    path("players/<uuid:player_id>/trials", trials.Trials.as_view(), name="player-trials"),
    path("players/<uuid:player_id>/rounds", progress.RoundsOfPlayer.as_view(), name="player-rounds"),
    path("players/<uuid:player_id>/index", progress.Index.as_view(), name="player-index"),
    path("players/<uuid:player_id>/shots", shots.ShotsBehindFigure.as_view(), name="player-shots"),
    path("players/<uuid:player_id>/month", months.PlayerOnPaper.as_view(), name="player-on-paper"),
    path("squads/<uuid:squad_id>/month", months.SquadOnPaper.as_view(), name="squad-on-paper"),
    path("month-reports/<uuid:report_id>.pdf", months.ReportFile.as_view(), name="report-file"),
    path("players/<uuid:player_id>/readers", record.Readers.as_view(), name="readers-page"),
    path("players/<uuid:player_id>/goals/new", coaching.NewGoalPage.as_view(), name="new-goal"),
    path(
        "players/<uuid:player_id>/goals/<uuid:goal_id>/close", coaching.CloseGoal.as_view(), name="end-goal"
    ),
    path("players/<uuid:player_id>/notes/new", coaching.NewNotePage.as_view(), name="new-note"),
    path(
        "players/<uuid:player_id>/notes/<uuid:note_id>/delete",
        coaching.DeleteNote.as_view(),
        name="delete-note",
    ),
    path("record", record.RecordPage.as_view(), name="record-page"),
    path("record/bring", record.Bring.as_view(), name="bring-page"),
    path("record/erase", record.Erase.as_view(), name="erase-page"),
    path("record/file", record.RecordFile.as_view(), name="record-file"),
    path("rounds/new", round_entry.NewRound.as_view(), name="round-entry"),
    path("rounds/<uuid:round_id>", rounds.RoundPage.as_view(), name="round-page"),
    path("rounds/<uuid:round_id>/delete", rounds.DeleteRound.as_view(), name="delete-round"),
    path("rounds/<uuid:round_id>/warnings", rounds.DismissWarning.as_view(), name="dismiss-warning"),
    path("rounds/<uuid:round_id>/edit", round_entry.EditRound.as_view(), name="round-edit"),
    path("trust", trusting.TrustPage.as_view(), name="trust-page"),
    path("squads/<uuid:squad_id>", people.SquadPage.as_view(), name="squad-page"),
    path("tomorrow", tomorrow.Tomorrow.as_view(), name="tomorrow-page"),
]

of_managers = [
    path("club", club.Manage.as_view(), name="manage"),
    path("club/settings", club.Settings.as_view(), name="club-settings"),
    path("courses", courses.Courses.as_view(), name="courses-page"),
    path("courses/<uuid:course_id>/layout", courses.Layout.as_view(), name="course-layout"),
    path("courses/<uuid:course_id>/remove", courses.DeleteCourse.as_view(), name="delete-course"),
    path("courses/<uuid:course_id>/take-in", courses.TakeIn.as_view(), name="take-in-course"),
    path("courses/<uuid:course_id>/merge", courses.MergeCourse.as_view(), name="merge-course"),
    path("courses/<uuid:course_id>/tees/<uuid:tee_id>", courses.TeeGrid.as_view(), name="tee-grid"),
    path(
        "courses/<uuid:course_id>/tees/<uuid:tee_id>/remove", courses.DeleteTee.as_view(), name="delete-tee"
    ),
    path("courses/<uuid:course_id>/playing-conditions", courses.NewPcc.as_view(), name="new-pcc"),
    path(
        "courses/<uuid:course_id>/playing-conditions/<uuid:day_id>/remove",
        courses.DeletePcc.as_view(),
        name="delete-pcc",
    ),
    path("members", staff.Members.as_view(), name="members-page"),
    path("members/<uuid:member_id>/role", staff.ChangeRole.as_view(), name="change-role"),
    path("members/<uuid:member_id>/remove", staff.RemoveMember.as_view(), name="remove-member"),
    path("members/<uuid:member_id>/player", staff.MakePlayer.as_view(), name="make-player"),
    path(
        "members/invitations/<uuid:invitation_id>/withdraw",
        staff.WithdrawInvitation.as_view(),
        name="withdraw-invitation",
    ),
    path("members/under-age", guardians.Guardians.as_view(), name="guardians-page"),
    path(
        "members/players/<uuid:player_id>/guardian",
        guardians.RecordGuardian.as_view(),
        name="record-guardian",
    ),
    path(
        "members/players/<uuid:player_id>/erase",
        guardians.ErasePlayer.as_view(),
        name="erase-player",
    ),
    path("members/players/new", staff.EditPlayer.as_view(), name="new-player"),
    path("members/players/<uuid:player_id>", staff.EditPlayer.as_view(), name="edit-player"),
    path("members/players/<uuid:player_id>/committee", staff.Committee.as_view(), name="committee-page"),
    path(
        "members/players/<uuid:player_id>/committee/<uuid:action_id>/withdraw",
        staff.WithdrawDecision.as_view(),
        name="withdraw-decision",
    ),
    path("squads", staff.Squads.as_view(), name="squads-page"),
    path("squads/<uuid:squad_id>/change", staff.Squads.as_view(), name="edit-squad"),
    path("squads/<uuid:squad_id>/remove", staff.DeleteSquad.as_view(), name="delete-squad"),
    path("imports", files.Imports.as_view(), name="imports-page"),
    path("webhooks", webhooks.Webhooks.as_view(), name="webhooks-page"),
    path("webhooks/<uuid:destination_id>/test", webhooks.TestDestination.as_view(), name="try-webhook"),
    path(
        "webhooks/<uuid:destination_id>/switch", webhooks.SwitchDestination.as_view(), name="switch-webhook"
    ),
    path(
        "webhooks/<uuid:destination_id>/remove", webhooks.RemoveDestination.as_view(), name="remove-webhook"
    ),
    path("webhooks/deliveries/<uuid:delivery_id>/again", webhooks.SendAgain.as_view(), name="send-again"),
    path("record/webhooks", webhooks.OwnWebhooks.as_view(), name="own-webhooks-page"),
    path("record/webhooks/<uuid:destination_id>/test", webhooks.TestOwn.as_view(), name="own-try-webhook"),
    path(
        "record/webhooks/<uuid:destination_id>/switch",
        webhooks.SwitchOwn.as_view(),
        name="own-switch-webhook",
    ),
    path(
        "record/webhooks/<uuid:destination_id>/remove",
        webhooks.RemoveOwn.as_view(),
        name="own-remove-webhook",
    ),
    path(
        "record/webhooks/deliveries/<uuid:delivery_id>/again",
        webhooks.SendOwnAgain.as_view(),
        name="own-send-again",
    ),
]

urlpatterns = [
    path("oauth/authorize", letting_in.LetIn.as_view(), name="let-in"),
    path("oauth/token", letting_in.FetchToken.as_view(), name="fetch-token"),
    path(
        ".well-known/oauth-authorization-server",
        letting_in.AboutLettingIn.as_view(),
        name="about-letting-in",
    ),
    path("account", accounts.Account.as_view(), name="account"),
    path("account/second-factor", accounts.SecondFactor.as_view(), name="second-factor"),
    path("account/password", accounts.ChangePassword.as_view(), name="change-password"),
    path("join/<str:token>", accounts.Join.as_view(), name="join"),
    path("password/forgotten", accounts.ForgottenPassword.as_view(), name="forgotten-password"),
    path("password/<str:uidb64>/<str:token>", accounts.ResetPassword.as_view(), name="reset-password"),
    path("", front.FrontPage.as_view(), name="front-page"),
    path("language", languages.choose_language, name="language"),
    path("sign-in", front.SignIn.as_view(), name="sign-in"),
    path("sign-out", front.SignOut.as_view(), name="sign-out"),
    path("problems", problems.ProblemIndex.as_view(), name="problems-page"),
    path("guide", guide.Guide.as_view(), name="guide"),
    path("problems/<slug:kind>", problems.ProblemPage.as_view(), name="problem-page"),
    path("manifest.webmanifest", phone.manifest, name="manifest"),
    path("worker.js", phone.worker, name="service-worker"),
    path("session", phone.session, name="session"),
    path("found", founding.Found.as_view(), name="found-club"),
    path("clubs/<slug:slug>/", include([*of_a_club, *of_managers])),
]
