"""A person erases themselves from a club, or has a manager erase them who have no sign-in there: what goes, what
stays without their name, and what is kept and why.

Rounds go, or stay without a name in what the club's golf taught it: the club has chosen beforehand. Whatever was
fitted to rounds that go is fitted again.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass

from django.db.models import Q
from django.utils import timezone

from golfstats.calc.clubs import is_usual
from golfstats.ground.answered.services import FORGET_ANSWERS_ABOUT
from golfstats.ground.clubs import services as clubs
from golfstats.ground.clubs.invitations import forget_invitations_to
from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import ErasedGolf, Member, User
from golfstats.ground.clubs.sign_in import is_own_password
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.ground.outbox import work
from golfstats.ground.walls.bulk import delete_with_all_below
from golfstats.ground.webhooks.models import Destination
from golfstats.ground.webhooks.services import messages_about
from golfstats.ground.words import counted
from golfstats.sentences import Sentence
from players import kinds
from players.coaching.models import Forecast
from players.conditions.analysis import CONDITION_EFFECT
from players.files.models import Import
from players.golf.club_fits import CLUB_BENCHMARK
from players.handicap.models import CommitteeAction, HandicapLine, PlayerHandicap
from players.months.services import forget_about
from players.people.announcing import PLAYER_ERASED
from players.people.models import GolfRead, Player
from players.record.tables import OF_PLAYER, done_by_members, invitations_of, messages_about_member
from players.rounds.models import Round, Shot

STAYS_WITHOUT_A_NAME = frozenset(
    {
        "player",
        "rounds",
        "holes",
        "shots",
        "shot_figures",
        "round_figures",
        "handicap_record",
        "handicap",
        "committee_decisions",
        "forecasts",
    }
)
"""Of the tables about a player: what fits and counts of the club rest on, where the club keeps shots."""


@dataclass(frozen=True)
class Kept:
    """Something that stays, and why."""

    what: str
    """What is kept."""
    why: str
    """Why it is."""


@dataclass(frozen=True)
class Erasure:
    """What has become of a person in the club."""

    account_gone: bool
    """Their sign-in, its tokens and the list of sign-ins went as well: no other club knows them."""
    rounds: int
    """How many rounds of theirs there were."""
    golf: ErasedGolf
    """What the club chose for them beforehand."""
    kept: list[Kept]
    """What stays, and why."""


def erase(member: Member, name: str, *, knows_password: bool) -> Erasure:
    """Erase the person of this membership. In the club's scope; refused unless they type what only they would.

    Whether they know the password is found out before, outside the scope: a refusal takes back what is done in it,
    and a wrong password has to stay counted.
    """
    _confirm(member, name, knows_password=knows_password)
    player = Player.objects.select_for_update(of=("self",)).filter(member=member).first()
    choice = ErasedGolf(member.club.erased_golf)
    rounds = 0 if player is None else _rounds_of(player)
    kept = _kept(choice, rounds, what_they_did=_did_something(member))
    if player is not None:
        _erase_player(player, choice)
    _erase_traces(member)
    user = member.user
    clubs.remove_member(member)
    account_gone = _erase_account(user)
    if not account_gone:
        kept.append(Kept("Your sign-in", "Another club knows you by it. Erase yourself there as well."))
    return Erasure(account_gone=account_gone, rounds=rounds, golf=choice, kept=kept)


def erase_without_sign_in(player: Player, name: str) -> Erasure:
    """Erase a player whose golf others entered, because they asked for it. Who signs in does it by themselves."""
    if player.member_id is not None:
        title = Sentence("{name} signs in, and erases themselves by their own account", name=player.name)
        raise ProblemError("has-a-sign-in", title, Refusal.CONFLICT)
    if name.strip() != player.name:
        raise invalid(
            [Fault("/name", "not_their_name", Sentence("this is not the player's name in the club"))]
        )
    choice, rounds = ErasedGolf(player.club.erased_golf), _rounds_of(player)
    forget_invitations_to(player.name)
    _erase_player(player, choice)
    kept = _kept(choice, rounds, what_they_did=False)
    return Erasure(account_gone=False, rounds=rounds, golf=choice, kept=kept)


def _rounds_of(player: Player) -> int:
    return Round.objects.filter(player=player).count()


def _did_something(member: Member) -> bool:
    return any(
        done.by(member).exists() for done in done_by_members() if done.model not in (Member, Destination)
    )


def knows_password(user: User, password: str) -> bool:
    """True as well of somebody who has none."""
    return not user.has_usable_password() or is_own_password(user, password)


def _confirm(member: Member, name: str, *, knows_password: bool) -> None:
    faults = []
    if name.strip() != member.name:
        faults.append(Fault("/name", "not_your_name", Sentence("this is not your name in the club")))
    if not knows_password:
        faults.append(Fault("/password", "wrong_password", Sentence("this is not your password")))
    if faults:
        raise invalid(faults)


def _kept(choice: ErasedGolf, rounds: int, *, what_they_did: bool) -> list[Kept]:
    kept = []
    if rounds and choice == ErasedGolf.ANONYMOUS:
        what = f"{counted(rounds, 'round')} with day, scores and shots, under no name"
        why = Sentence(
            "What the club's golf teaches rests on them: its benchmark and what its greens cost. The club chose so."
        )
        kept.append(Kept(what, why))
    if what_they_did:
        what = "What you wrote or decided about others, courses and greens, without your name"
        kept.append(
            Kept(what, "It belongs to their records. Words in it that name you have to be put right there.")
        )
    kept.append(
        Kept("Backups from before today", "They are not changed; whoever runs the service lets them expire.")
    )
    return kept


@tells(PLAYER_ERASED)
def _erase_player(player: Player, choice: ErasedGolf) -> None:
    messages_about(player.id).delete()
    _forget_in_imports(player.name)
    forget_about(player.id)
    work.ask(FORGET_ANSWERS_ABOUT, str(player.id))
    if choice == ErasedGolf.ANONYMOUS:
        _take_the_name_off(player)
        return
    delete_with_all_below(Player.objects.filter(id=player.id))
    club = str(player.club_id)
    work.ask(CLUB_BENCHMARK, club)
    work.ask(CONDITION_EFFECT, club)


def _take_the_name_off(player: Player) -> None:
    """Rounds stay as what fits and counts read of them, for a player whom nobody can find."""
    for kept in OF_PLAYER:
        if kept.name not in STAYS_WITHOUT_A_NAME:
            kept.of(player).delete()
    Forecast.objects.filter(player=player, came_true=None).delete()
    rounds = Round.objects.filter(player=player)
    words = ("reason_for_missing_holes", "ball", "weather", "greens_found", "note", "analysis_reason", "sent")
    rounds.update(**dict.fromkeys(words, ""), tags=[], warnings=[], posted_by=None)
    shots = Shot.objects.filter(played_hole__round__player=player)
    shots.exclude(tags=[]).update(tags=[])
    for name in shots.exclude(club_used="").order_by().values_list("club_used", flat=True).distinct():
        if not is_usual(name):
            shots.filter(club_used=name).update(club_used="")
    CommitteeAction.objects.filter(player=player).update(reason="", decided_by=None, withdrawn_by=None)
    HandicapLine.objects.filter(player=player).update(detail={}, fingerprint=None)
    PlayerHandicap.objects.filter(player=player).update(document={})
    player.name, player.member = f"Erased player {secrets.token_hex(4)}", None
    player.under_age, player.consent_by, player.consent_at = False, "", None
    player.consent_recorded_by = player.approved_coach = None
    player.erased_at = timezone.now()
    player.save()
    work.ask(kinds.HANDICAP, str(player.id))


def _erase_traces(member: Member) -> None:
    """Where the name stands without a key that would take it along."""
    GolfRead.objects.filter(reader=member).update(reader_name="")
    invitations_of(member).delete()
    messages_about_member(member).delete()
    _forget_in_imports(member.name)


def _forget_in_imports(name: str) -> None:
    """Files are emptied once they are in; a fault may quote a name."""
    Import.objects.filter(Q(faults__icontains=name) | Q(reason__icontains=name)).update(faults=[], reason="")


def _erase_account(user: User) -> bool:
    """The sign-in with all that hangs on it, unless another club knows the person."""
    if memberships(user.pk):
        return False
    user.delete()
    return True
