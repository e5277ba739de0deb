"""Members, invitations, players, squads, and what the handicap committee decides."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms as django_forms
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.layout.models import Gender
from golfstats.doors.pages.forms import Choice, Day, Given, Number, Tick, Words
from golfstats.doors.pages.screens.managing.base import AskedFirst, Button, ManagerForm
from golfstats.ground import inputs
from golfstats.ground.clubs import invitations, services
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.members.answers import members
from golfstats.ground.members.operations import INVITATION, MEMBER, invite
from golfstats.ground.members.questions import MemberChanges, NewInvitation
from golfstats.ground.operations import Query
from golfstats.ground.words import index_words
from players.handicap import services as committee
from players.handicap.actions import KINDS
from players.handicap.answers import handicaps
from players.handicap.decisions import committee_actions
from players.handicap.operations import ACTION
from players.people import services as people
from players.people.models import Player, Squad
from players.people.operations import PLAYER, SQUAD, NewPlayer, NewSquad, PlayerChanges, SquadChanges

GENDERS = {Gender.MEN: noop("the ratings for men"), Gender.WOMEN: noop("the ratings for women")}


def roles() -> list[tuple[str, str]]:
    return [(role.value, gettext(role.value)) for role in Role]


def genders() -> list[tuple[str, str]]:
    return [(gender.value, gettext(words)) for gender, words in GENDERS.items()]


class Members(ManagerForm):
    """Everybody in the club, and a form to invite one more."""

    title = noop("Invite a member")
    button = noop("Invite")
    template = "members"

    def fields(self) -> Mapping[str, django_forms.Field]:
        hint = gettext("The link is sent there; without one it is shown to you to hand over")
        return {
            "name": Words(gettext("Name")),
            "role": Choice(gettext("Role"), roles()),
            "email": Words(gettext("E-mail"), hint, required=False),
        }

    def present(self) -> Mapping[str, object]:
        return {"role": Role.PLAYER.value}

    def extra(self) -> dict[str, object]:
        players = list(PLAYER.visible(self.asker).order_by("name", "id"))
        linked = {one.member_id: one for one in players if one.member_id}
        return {
            "members": [(one, linked.get(one.id)) for one in members().order_by("name", "id")],
            "roles": roles(),
            "invitations": invitations.open_invitations(),
            "players": players,
            "genders": genders(),
        }

    def save(self, given: Given) -> None:
        issued = invite(self.asker, inputs.checked(NewInvitation, given))
        how = (
            gettext("A link is on its way to {email}.").format(email=issued.email)
            if issued.email
            else gettext("Hand over this link: {link}").format(link=issued.link)
        )
        self.done = gettext("{name} is invited. {how}").format(name=issued.name, how=how)

    def back(self) -> str:
        return self.address("members-page")


class _OfMember(Button):
    def member_at(self, **places: Any) -> Member:
        return MEMBER.one(self.asker, places, to_change=True)

    def back(self, **places: Any) -> str:
        return self.address("members-page")


class ChangeRole(_OfMember):
    done = noop("Role changed")

    def act(self, **places: Any) -> None:
        member = self.member_at(**places)
        changes = inputs.checked(MemberChanges, {"role": self.request.POST.get("role", "")})
        services.change_member(member, None, changes.role)


class RemoveMember(AskedFirst, _OfMember):
    question = noop("End the membership of {name}?")
    consequence = noop(
        "They can no longer sign in to the club. Their rounds stay; to come back they are invited anew."
    )
    button = noop("End the membership")
    done = noop("Membership ended; rounds stay")

    def named(self, **places: Any) -> str:
        return self.member_at(**places).name

    def act(self, **places: Any) -> None:
        services.remove_member(self.member_at(**places))


class MakePlayer(_OfMember):
    """A member who has no golf of their own yet becomes a player."""

    done = noop("They can enter rounds now")

    def act(self, **places: Any) -> None:
        member = self.member_at(**places)
        asked = {"name": member.name, "rating_gender": self.request.POST.get("rating_gender", "")}
        new = inputs.checked(NewPlayer, asked)
        people.save_player(Player(), new.name, new.rating_gender, member.id)


class WithdrawInvitation(Button):
    done = noop("Invitation withdrawn: its link no longer works")

    def act(self, **places: Any) -> None:
        invitations.withdraw(INVITATION.one(self.asker, places, to_change=True))

    def back(self, **places: Any) -> str:
        return self.address("members-page")


class EditPlayer(ManagerForm):
    """A player's name, ratings and member; ``player_id`` is left out for a new one."""

    title = noop("Add a player")
    done = noop("Player saved")
    row: Player | None = None

    def prepare(self, **places: Any) -> None:
        if "player_id" in places:
            self.row = PLAYER.one(self.asker, places, to_change=True)
            self.title = gettext("Change {name}").format(name=self.row.name)

    def fields(self) -> Mapping[str, django_forms.Field]:
        taken = set(PLAYER.visible(self.asker).exclude(member=None).values_list("member_id", flat=True))
        if self.row is not None:
            taken.discard(self.row.member_id)
        free = [(str(one.id), one.name) for one in members().order_by("name") if one.id not in taken]
        return {
            "name": Words(gettext("Name")),
            "rating_gender": Choice(gettext("Plays by"), genders()),
            "member": Choice(
                gettext("Signs in as"),
                [("", gettext("nobody: others enter their rounds")), *free],
                required=False,
            ),
        }

    def present(self) -> Mapping[str, object]:
        if self.row is None:
            return {}
        return {
            "name": self.row.name,
            "rating_gender": self.row.rating_gender,
            "member": str(self.row.member_id or ""),
        }

    def save(self, given: Given) -> None:
        if self.row is None:
            new = inputs.checked(NewPlayer, given)
            people.save_player(Player(), new.name, new.rating_gender, new.member)
        else:
            changes = inputs.checked(PlayerChanges, given)
            people.save_player(self.row, changes.name, changes.rating_gender, changes.member)

    def back(self) -> str:
        return self.address("members-page")


class Squads(ManagerForm):
    """Every squad, and a form for one more or for one of them."""

    title = noop("Make a squad")
    done = noop("Squad saved")
    template = "squads"
    row: Squad | None = None

    def prepare(self, **places: Any) -> None:
        if "squad_id" in places:
            self.row = SQUAD.one(self.asker, places, to_change=True)
            self.title = gettext("Change {name}").format(name=self.row.name)

    def fields(self) -> Mapping[str, django_forms.Field]:
        coaches = [(str(one.id), one.name) for one in members().filter(role=Role.COACH).order_by("name")]
        players = [(str(one.id), one.name) for one in PLAYER.visible(self.asker).order_by("name")]
        return {
            "name": Words(gettext("Name")),
            "coaches": _many(gettext("Coaches"), coaches),
            "players": _many(gettext("Players"), players),
        }

    def present(self) -> Mapping[str, object]:
        if self.row is None:
            return {}
        (squad,) = SQUAD.heads(self.asker, [self.row])
        return {
            "name": squad.name,
            "coaches": [str(one.id) for one in squad.coaches],
            "players": [str(one.id) for one in squad.players],
        }

    def extra(self) -> dict[str, object]:
        rows = list(SQUAD.visible(self.asker).order_by("name", "id"))
        return {"squads": SQUAD.heads(self.asker, rows), "row": self.row}

    def save(self, given: Given) -> None:
        chosen = {"coaches": given.get("coaches", []), "players": given.get("players", [])}
        if self.row is None:
            new = inputs.checked(NewSquad, given | chosen)
            people.save_squad(Squad(), new.name, new.coaches, new.players)
        else:
            changes = inputs.checked(SquadChanges, given | chosen)
            people.save_squad(self.row, changes.name, changes.coaches, changes.players)

    def back(self) -> str:
        return self.address("squads-page")


def _many(label: str, choices: list[tuple[str, str]]) -> django_forms.Field:
    return django_forms.MultipleChoiceField(
        label=label, choices=choices, required=False, widget=django_forms.CheckboxSelectMultiple
    )


class DeleteSquad(AskedFirst):
    question = noop("Dissolve {name}?")
    consequence = noop("Its players stay, with all their golf. Its coaches no longer read them by it.")
    button = noop("Dissolve the squad")
    done = noop("Squad dissolved; its players stay")

    def named(self, **places: Any) -> str:
        return SQUAD.one(self.asker, places).name

    def act(self, **places: Any) -> None:
        people.delete_squad(SQUAD.one(self.asker, places, to_change=True))

    def back(self, **places: Any) -> str:
        return self.address("squads-page")


class Committee(ManagerForm):
    """What the committee decided about a player, and a form for another decision."""

    title = noop("A decision of the committee")
    button = noop("Decide")
    done = noop("Decided; the record is computed again")
    template = "committee"
    player: Player

    def prepare(self, **places: Any) -> None:
        self.player = PLAYER.one(self.asker, places)

    def fields(self) -> Mapping[str, django_forms.Field]:
        kinds = [
            (kind.value, gettext("{words} (Rule {rule})").format(words=gettext(one.words), rule=one.rule))
            for kind, one in KINDS.items()
        ]
        return {
            "kind": Choice(gettext("Decision"), kinds),
            "effective_on": Day(gettext("From")),
            "expires_on": Day(gettext("Until"), required=False),
            "value": Number(gettext("Value"), gettext("An index, or strokes to add")),
            "reason": Words(gettext("Why"), lines=3),
            "exceptional": Tick(gettext("Exceptional circumstances (Rule 7.1a)")),
            "player_notified": Tick(gettext("The player was told")),
        }

    def present(self) -> Mapping[str, object]:
        return {"effective_on": self.today.isoformat()}

    def extra(self) -> dict[str, object]:
        actions = ACTION.visible(self.asker).filter(player=self.player).order_by("-decided_at", "-id")
        (present,) = handicaps(self.asker, [self.player], Query())
        return {
            "player": self.player,
            "actions": committee_actions(self.asker, list(actions[:20])),
            "index": index_words(present.shown),
        }

    def save(self, given: Given) -> None:
        if "value" in given:
            given["value"] = str(given["value"])
        committee.decide(self.player, self.member, inputs.checked(committee.NewAction, given))

    def back(self) -> str:
        return self.address("committee-page", self.player.id)


class WithdrawDecision(Button):
    done = noop("Decision taken back; the record is computed again")

    def act(self, **places: Any) -> None:
        committee.withdraw(ACTION.one(self.asker, places, to_change=True), self.member)

    def back(self, **places: Any) -> str:
        return self.address("committee-page", places["player_id"])
