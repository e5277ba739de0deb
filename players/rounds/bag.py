"""What players call their clubs."""

from __future__ import annotations

from pydantic import Field

from golfstats.ground.inputs import Body
from golfstats.ground.operations import Asker, Subject
from golfstats.ground.resources import Writes, resource
from players.people import permissions
from players.people.models import Player
from players.people.operations import PLAYER
from players.rounds import answers, services
from players.rounds.announcing import BAG_CHANGED
from players.rounds.fields import ClubName
from players.rounds.models import BagWord

BAG_WORD = Subject(
    word="bag word",
    parameter="word_id",
    above={"player_id": "player_id"},
    model=BagWord,
    visible=lambda asker: BagWord.objects.filter(
        player__in=permissions.visible_players(asker.member).values("id")
    ),
    head=answers.BagWord,
    heads=answers.bag_heads,
)


class NewBagWord(Body):
    word: ClubName = Field(description="What the player calls it.")
    club: ClubName = Field(description="Which club it is, by any of its names.")


def _add_bag_word(_: Asker, player: Player, new: NewBagWord) -> BagWord:
    return services.add_bag_word(player, new.word, new.club)


def _delete_bag_word(_: Asker, word: BagWord) -> None:
    services.delete_bag_word(word)


OPERATIONS = resource(
    BAG_WORD,
    plural="bag words",
    path="players/<uuid:player_id>/bag-words",
    about=PLAYER,
    parent="player_id",
    order=("word", "id"),
    lists="The player's own words for clubs",
    add=Writes(
        "Say which club a word of the player's own stands for",
        _add_bag_word,
        NewBagWord,
        "Rounds that are there already take over the meaning.",
        sends=(BAG_CHANGED,),
    ),
    delete=Writes(
        "Forget a word; what was kept under its meaning stays", _delete_bag_word, sends=(BAG_CHANGED,)
    ),
)
