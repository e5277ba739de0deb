"""The only code that writes players, squads and a club's settings."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.utils import timezone

from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.outbox import work
from golfstats.ground.webhooks.services import messages_about
from golfstats.sentences import Sentence
from players import kinds
from players.people.announcing import CONSENT_CHANGED, PLAYER_CHANGED, SQUAD_CHANGED, SQUAD_DELETED
from players.people.models import Consent, Player, Squad, SquadCoach, SquadPlayer


@tells(PLAYER_CHANGED)
def save_player(
    player: Player, name: str | None, rating_gender: str | None, member_id: UUID | None
) -> Player:
    """Create or change a player. A new rating gender changes every differential, so all is computed again."""
    faults = []
    if name is not None and Player.objects.filter(name__iexact=name).exclude(id=player.id).exists():
        faults.append(
            Fault("/name", "name_taken", Sentence("there is a player {name} already", name=repr(name)))
        )
    if member_id is not None and not Member.objects.filter(id=member_id).exists():
        faults.append(Fault("/member", "no_such_member", Sentence("no such member")))
    if member_id is not None and Player.objects.filter(member_id=member_id).exclude(id=player.id).exists():
        faults.append(
            Fault("/member", "member_is_a_player", Sentence("this member is another player already"))
        )
    if faults:
        raise invalid(faults)
    if player.member_id is not None and member_id not in {None, player.member_id}:
        # Who is this player no more, or never was, is told no more of them, nor reads it in the log of their own.
        messages_about(player.id).filter(destination__owner=player.member_id).delete()
    was = player.rating_gender
    changed = bool(was) and rating_gender is not None and rating_gender != was
    player.name = name or player.name
    player.rating_gender = rating_gender or player.rating_gender
    player.member_id = member_id or player.member_id
    player.save()
    if changed:
        _analyse_again(player)
    return player


@tells(CONSENT_CHANGED)
def record_guardian(
    by: Member, player: Player, *, under_age: bool, consent_by: str, coach_id: UUID | None
) -> Player:
    """What a guardian said of a player: whether they are under age, who consented, which coach they approve.

    A consent that was recorded already keeps its day; one that is left out is withdrawn. What was is kept.
    """
    coach = None if coach_id is None else Member.objects.filter(id=coach_id, role=Role.COACH).first()
    if coach_id is not None and coach is None:
        raise invalid([Fault("/approved_coach", "no_such_coach", Sentence("no such coach"))])
    if consent_by != player.consent_by:
        now = timezone.now()
        before = Consent.objects.filter(player=player, withdrawn_at=None)
        before.update(withdrawn_at=now, withdrawal_recorded_by=by)
        if consent_by:
            Consent.objects.create(player=player, given_by=consent_by, given_at=now, recorded_by=by)
        player.consent_at = now if consent_by else None
        player.consent_recorded_by = by if consent_by else None
    player.under_age, player.consent_by, player.approved_coach = under_age, consent_by, coach
    player.save()
    if player.protected:  # what was told of them waits no longer, nor is it read in the log
        messages_about(player.id).delete()
    return player


def _analyse_again(player: Player) -> None:
    rounds = player.rounds.all()
    rounds.update(analysis="pending", analysis_reason="")
    work.ask(kinds.HANDICAP, str(player.id))
    measure_anew([player.id])


def measure_anew(players: Iterable[UUID]) -> None:
    """Ask for all rounds of these players to be measured anew: each player's in one piece, which takes a tenth of the
    time that they take one by one, and for which no posted round waits.
    """
    work.ask_all(kinds.ROUNDS_OF_PLAYER, map(str, players))
    work.ask_once_more(kinds.ROUND_ANALYSIS)


@tells(SQUAD_CHANGED)
def save_squad(
    squad: Squad, name: str | None, coaches: list[UUID] | None, players: list[UUID] | None
) -> Squad:
    """Create or change a squad; a list given replaces the one there was."""
    faults = []
    if name is not None and Squad.objects.filter(name__iexact=name).exclude(id=squad.id).exists():
        faults.append(
            Fault("/name", "name_taken", Sentence("there is a squad {name} already", name=repr(name)))
        )
    known_coaches = set(
        Member.objects.filter(id__in=coaches or [], role=Role.COACH).values_list("id", flat=True)
    )
    faults += [
        Fault(f"/coaches/{index}", "no_such_coach", Sentence("no such coach"))
        for index, coach in enumerate(coaches or [])
        if coach not in known_coaches
    ]
    known_players = set(Player.objects.filter(id__in=players or []).values_list("id", flat=True))
    faults += [
        Fault(f"/players/{index}", "no_such_player", Sentence("no such player"))
        for index, player in enumerate(players or [])
        if player not in known_players
    ]
    if faults:
        raise invalid(faults)
    squad.name = name or squad.name
    squad.save()
    if coaches is not None:
        SquadCoach.objects.filter(squad=squad).delete()
        SquadCoach.objects.bulk_create(
            SquadCoach(squad=squad, member_id=coach) for coach in dict.fromkeys(coaches)
        )
    if players is not None:
        SquadPlayer.objects.filter(squad=squad).delete()
        SquadPlayer.objects.bulk_create(
            SquadPlayer(squad=squad, player_id=player) for player in dict.fromkeys(players)
        )
    return squad


@tells(SQUAD_DELETED)
def delete_squad(squad: Squad) -> None:
    """Dissolve a squad; its players stay."""
    squad.delete()
