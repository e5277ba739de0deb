"""What looks wrong in a round but may be right: saved with the round, each with its place, and dismissible.

A fault (``checks``) refuses the round; a warning never does. The bounds are common sense, no source.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from difflib import get_close_matches
from typing import Any

from django.db import models

from golfstats.calc.clubs import USUAL_NAMES
from golfstats.sentences import Sentence, as_kept
from players.rounds.checking.alike import OfDay
from players.rounds.checking.bags import Bag
from players.rounds.checking.cards import Card, Place, PlayedShots
from players.rounds.checking.plausible import Doubt, doubts_of_hole
from players.rounds.input import Remark, RoundInput
from players.rounds.notation.grammar import SAID


class WarningCode(models.TextChoices):
    TEE_DISTANCE = "tee_distance_unlike_hole"
    """The first shot of a hole is much longer or shorter than the hole."""
    FARTHER_THAN_HOLE = "farther_than_hole"
    """A ball lies farther from the hole than its tee does."""
    SHOT_TOO_LONG = "shot_too_long"
    """A shot is one that hardly anybody hits as far."""
    AWAY_FROM_HOLE = "away_from_hole"
    """A shot ends farther from the hole than it began."""
    LONG_PUTT = "very_long_putt"
    """A putt is very long."""
    REPLAYED_ELSEWHERE = "replayed_from_elsewhere"
    """After stroke and distance the next shot is played from another place."""
    UNUSUAL_PENALTY = "unusual_penalty"
    """A penalty that is unusual where it stands."""
    SCORE_BELOW_SHOTS = "score_below_shots"
    """The score of a hole that was picked up is below the strokes it already had."""
    PUTTS_DISAGREE = "putts_disagree"
    """The putts said are other than the shots show."""
    PENALTIES_DISAGREE = "penalties_disagree"
    """The penalties said are other than the shots show."""
    ALL_PUTTS = "no_stroke_to_the_green"
    """No stroke is left with which the green was reached."""
    FAIRWAY_DISAGREES = "fairway_disagrees"
    """Whether the fairway was hit is told in two ways that differ."""
    GREEN_DISAGREES = "green_disagrees"
    """Whether the green was hit is told in two ways that differ."""
    SAID_TWICE = "said_twice"
    """One thing was said in two ways at once; the last is kept."""
    UNKNOWN_CLUB = "unknown_club"
    """A club that was not used before."""
    PAR_UNLIKE_RATING = "par_unlike_rating"
    """The pars of the holes do not add up to the par that the rating names."""
    LIKE_ANOTHER = "like_another_round"
    """A round just like it is there already."""


SETTLED = frozenset(
    {
        WarningCode.SCORE_BELOW_SHOTS,
        WarningCode.PUTTS_DISAGREE,
        WarningCode.PENALTIES_DISAGREE,
        WarningCode.SAID_TWICE,
    }
)
"""Of what was said and not kept: the round as it is stored no longer shows it."""


@dataclass(frozen=True)
class Warned:
    """One thing that looks wrong. ``pointer`` is a JSON pointer into the round's body."""

    code: WarningCode
    words: str
    pointer: str = ""
    said: str = ""
    """The value in question, as it would be written in the notation."""
    did_you_mean: str = ""
    hole: int | None = None
    shot: int | None = None
    earlier_round: str | None = None

    @property
    def id(self) -> str:
        """The same for the same value in the same place, so that what was dismissed stays so."""
        place = (self.code, self.hole, self.shot, self.said, self.earlier_round)
        return hashlib.sha256(repr(tuple(map(str, place))).encode()).hexdigest()[:12]


Stored = dict[str, Any]
"""A warning as it stands in its round's column; ``sentence`` is how its words are made, for other languages."""


def to_store(warnings: Iterable[Warned], before: Sequence[Stored] = ()) -> list[Stored]:
    """The warnings for the column. What was dismissed before stays dismissed; each stands there once."""
    dismissed = {one["id"] for one in before if one["dismissed"]}
    by_id = {
        one.id: as_told(one) | {"sentence": as_kept(one.words), "dismissed": one.id in dismissed}
        for one in warnings
    }
    return list(by_id.values())


def as_told(warned: Warned) -> Stored:
    """To whoever is refused, before anything is stored."""
    return asdict(warned) | {"id": warned.id, "dismissed": False}


def settled(stored: Sequence[Stored]) -> list[Stored]:
    """Of what was said and not kept."""
    return [one for one in stored if one["code"] in SETTLED]


def like_another(earlier: OfDay, card: Card) -> Warned:
    """The round is there already, or one that looks just like it."""
    same = (
        Sentence("began at the same minute")
        if earlier.started and card.round.start_time
        else Sentence("has the same scores")
    )
    words = Sentence(
        "a round of the same day that {same} is there already; if it is this one, delete one of the two",
        same=same,
    )
    day = f"{card.round.played_on}"
    return Warned(WarningCode.LIKE_ANOTHER, words, "/played_on", day, earlier_round=str(earlier.id))


def warnings_of(
    posted: RoundInput, card: Card, place: Place, bag: Bag, faulty: frozenset[int]
) -> Iterator[Warned]:
    """The warnings of a card before it is settled, but those of holes with faults."""
    yield from _par_warnings(place)
    yield from (_of_remark(posted, remark) for remark in posted.remarks)
    for index, (hole, played) in enumerate(zip(posted.holes, card.holes, strict=True)):
        tee_hole = place.holes.get(hole.number)
        if tee_hole is None or hole.number in faulty:
            continue
        for doubt in doubts_of_hole(hole, played, tee_hole):
            yield _of_doubt(doubt, index, hole.number)
        yield from _club_warnings(played, index, bag)


def _of_doubt(doubt: Doubt, index: int, number: int) -> Warned:
    path = f"/holes/{index}/" + (f"shots/{doubt.shot - 1}/" if doubt.shot else "") + doubt.field
    code = WarningCode(doubt.code)
    return Warned(code, doubt.words, path, doubt.said, doubt.did_you_mean, number, doubt.shot)


def _par_warnings(place: Place) -> Iterator[Warned]:
    if place.pars == place.rated_par or None in (place.pars, place.rated_par):
        return
    words = Sentence(
        "the pars of its holes add up to {pars}, the tee is rated for par {rated_par}",
        pars=place.pars,
        rated_par=place.rated_par,
    )
    yield Warned(WarningCode.PAR_UNLIKE_RATING, words, "/tee", f"{place.pars}", f"{place.rated_par}")


def _of_remark(posted: RoundInput, remark: Remark) -> Warned:
    numbers = [hole.number for hole in posted.holes]
    index = numbers.index(remark.hole) if remark.hole in numbers else 0
    path = f"/holes/{index}/" + (f"shots/{remark.shot - 1}/" if remark.shot else "") + remark.field
    words = Sentence(
        "{first} and {then} at once; {then} is kept", first=Sentence(remark.first), then=Sentence(remark.then)
    )
    both = f"{remark.first},{remark.then}"
    return Warned(WarningCode.SAID_TWICE, words, path, both, remark.first, remark.hole, remark.shot)


def _club_warnings(played: PlayedShots, index: int, bag: Bag) -> Iterator[Warned]:
    """A club that this player never used: once, where it first appears."""
    for place, shot in enumerate(played.shots):
        club = shot.club_used
        if not club or bag.knows(club):
            continue
        words = [word.replace("_", " ") for word in SAID] + sorted(USUAL_NAMES | bag.used)
        meant = get_close_matches(club.replace("-", " "), words, 1) or get_close_matches(club, words, 1)
        yield Warned(
            WarningCode.UNKNOWN_CLUB,
            Sentence("{club} is a club that was not used before", club=club),
            f"/holes/{index}/shots/{place}/club",
            club,
            meant[0] if meant else "",
            played.hole.number,
            place + 1,
        )
        bag.saw(club)
