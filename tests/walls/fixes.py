"""What keeps a club, a person or the service from harm, each with how to take it away and the test that then fails."""

from __future__ import annotations

from contextlib import nullcontext

from tests.walls.taking_away import (
    CLUBS,
    HOOKS,
    OUTBOX,
    REST,
    Fix,
    as_if_it_were_right,
    as_it_is,
    changed,
    counted_apart,
    due_when_the_lease_ends,
    every_invitation,
    every_process_there_is,
    everybody_of_age,
    handled,
    no,
    nothing,
    of_this_window_alone,
    only_where_it_is_counted,
    sent_within_a_transaction,
    the_library_s_own,
    under_the_name_itself,
    unless_it_differs,
    whatever_was_asked_since,
    whoever_asks,
    whoever_has_the_name,
    whose_work_is_oldest,
    without,
    without_a_cap,
    yes,
)

FIXES = [
    # Who comes into a club, and as whom.
    Fix(
        "an existing person is attached by nobody",
        "api/test_invitations.py::test_nobody_is_taken_over_by_name",
        without(f"{CLUBS}.invitations.make_account", instead=whoever_has_the_name),
    ),
    Fix(
        "nothing tells which names are taken",
        "api/test_invitations.py::test_nothing_tells_whether_a_name_is_taken",
        without(f"{CLUBS}.invitations.make_account", instead=under_the_name_itself),
    ),
    Fix(
        "an invitation works once",
        "api/test_invitations.py::test_an_invitation_works_once_and_not_for_ever",
        without(f"{CLUBS}.invitations.open_invitations", instead=every_invitation),
    ),
    Fix(
        "a further club changes nothing of which is meant",
        "api/test_invitations.py::test_an_invitation_makes_nobody_a_member_before_it_is_accepted",
        without(f"{CLUBS}.invitations.prefer", instead=nothing),
    ),
    Fix(
        "names do not deceive",
        "api/test_invitations.py::test_weak_passwords_and_names_that_deceive_are_refused",
        without(f"{CLUBS}.accounts._name_faults", instead=lambda _name: []),
    ),
    Fix(
        "a setting is checked by what reads it",
        "players/test_club_settings.py::test_the_service_itself_refuses_it",
        without("players.club.services.faults_of_settings", instead=lambda _changes: []),
    ),
    # Work.
    Fix(
        "work cannot ask for itself",
        "outbox/test_lease.py::test_work_cannot_ask_for_itself",
        without(f"{OUTBOX}.worker.in_hand", instead=lambda *_work: nullcontext()),
    ),
    Fix(
        "a lease is no due time",
        "outbox/test_lease.py::test_asked_for_tomorrow_while_it_runs_it_is_done_tomorrow_and_not_when_the_lease_ends",
        without(f"{OUTBOX}.worker._done", instead=due_when_the_lease_ends),
    ),
    Fix(
        "clubs take turns",
        "outbox/test_queues.py::test_a_club_with_a_thousand_pieces_of_work_delays_another_by_one",
        without(f"{OUTBOX}.worker._whose_turn", instead=whose_work_is_oldest),
    ),
    Fix(
        "turns go by what work took",
        "outbox/test_queues.py::test_a_club_whose_work_takes_long_has_its_turn_the_more_seldom",
        without(f"{OUTBOX}.shares.Shares.of", instead=lambda _shares, _club: 0.0),
    ),
    # Outages.
    Fix(
        "without Redis a process counts by itself",
        "api/test_abuse.py::test_with_redis_down_everything_is_served_and_still_counted",
        without("golfstats.ground.counts._add", instead=only_where_it_is_counted),
    ),
    Fix(
        "a database that is down is a 503",
        "api/test_outages.py::test_programs_are_answered_503_while_the_database_is_down",
        without(f"{REST}.problems.is_outage", instead=no),
    ),
    # Right figures.
    Fix(
        "figures are of the version that they came from",
        "players/test_edits_during_analysis.py::test_edits_and_deletions_during_a_bulk_analysis_are_not_lost",
        without("players.figures.services._lock_unchanged", instead=list),
    ),
    Fix(
        "requests are withdrawn by version",
        "players/test_edits_during_analysis.py::test_edits_and_deletions_during_a_bulk_analysis_are_not_lost",
        without(f"{OUTBOX}.work.withdraw", instead=whatever_was_asked_since),
    ),
    Fix(
        "the nightly audit looks",
        "players/test_audit.py::test_wrong_figures_are_told_and_put_right",
        without("players.figures.audit.differing_rounds", instead=lambda *_given: iter(())),
    ),
    Fix(
        "a read is of one moment",
        "api/test_one_moment.py::test_a_round_posted_while_priorities_are_read_does_not_tear_them",
        without(f"{REST}.views.ClubView.only_reads", instead=no),
    ),
    Fix(
        "a report is of one moment",
        "api/test_one_moment.py::test_nor_does_it_fail_the_report",
        handled("player_report", snapshot=False),
    ),
    Fix(
        "what another transaction broke is tried again",
        "api/test_one_moment.py::test_what_another_transaction_broke_is_tried_again",
        without("golfstats.ground.postgres.trouble.ATTEMPTS", instead=1),
    ),
    Fix(
        "a round is changed with its version alone",
        "api/test_refusals.py::test_a_round_is_not_changed_without_saying_which_version",
        changed(f"{REST}.http.preconditions.check_if_match", unless_it_differs),
    ),
    Fix(
        "a round like an earlier one offers that",
        "players/test_warnings.py::test_a_round_like_one_already_there_offers_the_earlier_one",
        without("players.rounds.services.warn_of_repetitions", instead=nothing),
    ),
    # Webhooks.
    Fix(
        "no transaction is open while a message is sent",
        "webhooks/test_hostile_receivers.py::test_no_transaction_is_open_while_a_message_is_sent",
        sent_within_a_transaction,
    ),
    Fix(
        "a club has one message on its way",
        "outbox/test_queues.py::test_a_club_has_one_message_on_its_way_at_a_time",
        without(f"{OUTBOX}.worker._clubs_with_a_message_on_its_way", instead=set),
    ),
    Fix(
        "a club has half a sender's time",
        "webhooks/test_hostile_receivers.py::test_a_club_whose_receivers_all_hang_uses_no_more_than_its_share_of_the_senders",
        changed(f"{OUTBOX}.worker._whose_turn", without_a_cap),
    ),
    Fix(
        "a destination that fails is left alone",
        "webhooks/test_hostile_receivers.py::test_a_destination_that_never_answers_is_left_alone_for_a_while",
        without(f"{HOOKS}.tasks._note_at_the_destination", instead=nothing),
    ),
    Fix(
        "whatever is answered can be logged",
        "webhooks/test_hostile_receivers.py::test_nonsense_for_an_answer_is_a_logged_attempt",
        without(f"{HOOKS}.tasks._readable", instead=as_it_is),
    ),
    Fix(
        "other letters are percent-encoded",
        "webhooks/test_hostile_receivers.py::test_an_address_with_other_letters_is_sent_to_percent_encoded",
        without(f"{HOOKS}.addresses.quote", instead=as_it_is),
    ),
    Fix(
        "two ports and no others",
        "webhooks/test_destinations.py::test_refused_addresses",
        without(f"{HOOKS}.addresses.PORTS", instead=range(65536)),
    ),
    Fix(
        "no address that carries a private one",
        "webhooks/test_destinations.py::test_special_addresses_are_not_public",
        without(f"{HOOKS}.addresses.CARRIERS", instead=[]),
    ),
    # Abuse.
    Fix(
        "wrong passwords lock",
        "api/test_abuse.py::test_after_ten_wrong_passwords_the_right_one_has_to_wait",
        without(
            f"{CLUBS}.sign_in.is_locked",
            f"{REST}.http.authentication.is_locked",
            "golfstats.doors.pages.screens.own.front.is_locked",
            instead=no,
        ),
    ),
    Fix(
        "pages are counted",
        "api/test_abuse.py::test_pages_and_endpoints_share_a_person_s_count",
        without("golfstats.doors.pages.limits.within_rate", instead=yes),
    ),
    Fix(
        "processes count together",
        "api/test_abuse.py::test_two_processes_without_a_cache_share_their_counts",
        counted_apart,
    ),
    Fix(
        "the end of a minute is no second burst",
        "api/test_abuse.py::test_a_burst_over_the_end_of_a_window_is_no_two_bursts",
        without("golfstats.ground.counts.lately", instead=of_this_window_alone),
    ),
    Fix(
        "no cache keeps anybody's golf",
        "api/test_abuse.py::test_no_cache_on_the_way_keeps_anybody_s_golf",
        without("golfstats.doors.pages.security.patch_vary_headers", instead=nothing),
    ),
    Fix(
        "a header of raw bytes is no sign-in",
        "api/test_abuse.py::test_a_header_that_no_client_sends_is_a_refused_sign_in",
        the_library_s_own,
    ),
    Fix(
        "GraphQL has a budget for each club",
        "api/test_refusals.py::test_one_club_s_graphql_does_not_take_another_s_time",
        without("golfstats.doors.graphql.view.lately", instead=lambda *_given, **_named: 0.0),
    ),
    Fix(
        "long requests leave threads to others",
        "api/test_busy.py::test_long_requests_beyond_a_few_are_sent_away_and_others_answered",
        without(f"{CLUBS}.sign_in.seat", f"{CLUBS}.accounts.seat", instead=nullcontext),
    ),
    Fix(
        "what the schema forbids is refused",
        "api/test_refused_by_schema.py::test_what_the_schema_forbids_is_refused[PATCH club]",
        without("golfstats.ground.inputs.checked", instead=as_if_it_were_right),
    ),
    # Answers that are kept.
    Fix(
        "roles come before answers that were kept",
        "api/test_refusals.py::test_a_demoted_manager_is_not_answered_as_one",
        without(f"{REST}.http.idempotency.earlier_answer", instead=whoever_asks),
    ),
    Fix(
        "no secret is kept",
        "api/test_refusals.py::test_a_secret_is_shown_once_and_kept_nowhere",
        without(f"{REST}.http.idempotency._shows_once", instead=no),
    ),
    Fix(
        "a kept answer is told again while all whom one saw then are in sight",
        "api/test_idempotency.py::test_what_names_no_row_is_told_again_while_all_then_in_sight_still_are",
        without(f"{REST}.http.idempotency._still_in_sight", instead=nothing),
    ),
    Fix(
        "answers are forgotten",
        "api/test_refusals.py::test_answers_are_forgotten_after_two_days",
        without("golfstats.ground.answered.services.forget_old_answers", instead=nothing),
    ),
    # Accounts.
    Fix(
        "a token does no more than it was made for",
        "api/test_accounts.py::test_a_token_does_no_more_than_it_was_made_for",
        without(f"{REST}.http.authentication.WithinTokenScope.has_permission", instead=yes),
    ),
    Fix(
        "a changed password ends tokens",
        "api/test_accounts.py::test_a_changed_password_ends_tokens_and_other_sessions",
        without(f"{CLUBS}.accounts.end_all_tokens", instead=nothing),
    ),
    Fix(
        "a second factor is asked for",
        "api/test_second_factor.py::test_both_doors_ask_for_the_code",
        without(f"{CLUBS}.second_factor.is_set_up", instead=no),
    ),
    # The golfer's rights.
    Fix(
        "who read is written down",
        "people/test_readers.py::test_a_player_sees_who_read_what_and_through_which_door",
        without(f"{REST}.operations.write_down_readers", instead=nothing),
    ),
    Fix(
        "nobody reads the golf of children",
        "people/test_under_age.py::test_manager_coach_and_squad_mate_see_nothing_through_any_door",
        everybody_of_age,
    ),
    # The embedded server.
    Fix(
        "processes that died are struck off",
        "postgres/test_embedded.py::test_processes_that_died_are_struck_off_and_others_stay",
        without("golfstats.ground.postgres.embedded.forget_dead_processes", instead=nothing),
    ),
    Fix(
        "another program with the number is another",
        "postgres/test_embedded.py::test_a_program_that_got_the_number_of_a_dead_process_is_not_taken_for_it",
        without("golfstats.ground.postgres.embedded._was_there", instead=every_process_there_is),
    ),
    Fix(
        "root is told what to do",
        "postgres/test_embedded.py::test_without_useradd_root_is_told_what_to_do",
        without("golfstats.ground.postgres.embedded._find_useradd", instead=nothing),
    ),
]
