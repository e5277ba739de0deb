"""The only code that writes players, squads and a club's settings."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.db import transaction

from golfstats.api.problems import Fault, invalid
from golfstats.clubs.models import Club, Member, Role
from golfstats.outbox import work
from players import posting
from players.models import Player, Round, Squad, SquadCoach, SquadPlayer


@transaction.atomic
def save_player(
    player: Player, name: str | None, rating_gender: str | None, member_id: UUID | None
) -> Player:
    """Create or change a player. A new rating gender changes every differential, so all is computed again."""
    faults = []
    if name is not None and Player.objects.filter(name__iexact=name).exclude(id=player.id).exists():
        faults.append(Fault("/name", "name_taken", f"there is a player {name!r} already"))
    if member_id is not None and not Member.objects.filter(id=member_id).exists():
        faults.append(Fault("/member", "no_such_member", "no such member"))
    if member_id is not None and Player.objects.filter(member_id=member_id).exclude(id=player.id).exists():
        faults.append(Fault("/member", "member_is_a_player", "this member is another player already"))
    if faults:
        raise invalid(faults)
    changed = rating_gender is not None and rating_gender != player.rating_gender
    player.name = name or player.name
    player.rating_gender = rating_gender or player.rating_gender
    player.member_id = member_id or player.member_id
    player.save()
    if changed:
        analyse_everything(player.rounds.all())
    return player


def analyse_everything(rounds: Iterable[Round]) -> None:
    """Ask for the analysis of many rounds, and of their players' records."""
    found = list(rounds)
    Round.objects.filter(id__in=[round_.id for round_ in found]).update(
        analysis="pending", analysis_reason=""
    )
    work.ask_all(posting.HANDICAP, {str(round_.player_id) for round_ in found})
    work.ask_all(posting.ROUND_ANALYSIS, [str(round_.id) for round_ in found])


@transaction.atomic
def save_squad(
    squad: Squad, name: str | None, coaches: list[UUID] | None, players: list[UUID] | None
) -> Squad:
    """Create or change a squad; a list given replaces the one there was."""
    faults = []
    if name is not None and Squad.objects.filter(name__iexact=name).exclude(id=squad.id).exists():
        faults.append(Fault("/name", "name_taken", f"there is a squad {name!r} already"))
    known_coaches = set(
        Member.objects.filter(id__in=coaches or [], role=Role.COACH).values_list("id", flat=True)
    )
    faults += [
        Fault(f"/coaches/{index}", "no_such_coach", "no such coach")
        for index, coach in enumerate(coaches or [])
        if coach not in known_coaches
    ]
    known_players = set(Player.objects.filter(id__in=players or []).values_list("id", flat=True))
    faults += [
        Fault(f"/players/{index}", "no_such_player", "no such player")
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


@transaction.atomic
def change_settings(club: Club, changes: dict[str, object]) -> Club:
    """Change a club's settings, and compute again what depends on those that changed."""
    before = {name: getattr(club, name) for name in changes}
    for name, value in changes.items():
        setattr(club, name, value)
    club.save(update_fields=list(changes))
    changed = {name for name, value in changes.items() if before[name] != value}
    if changed & {"benchmark", "short_game_yards"}:
        analyse_everything(Round.objects.all())
    elif "handicap_rules" in changed:
        work.ask_all(posting.HANDICAP, map(str, Player.objects.values_list("id", flat=True)))
    return club
