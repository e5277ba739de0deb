"""A posted round in the one form that the service works with.

At its door a round is put down as rows that are not saved yet: places looked up, distances in yards, words as
they are stored. Checks, import and saving speak of such a card and never of what was posted.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from uuid import UUID

from django.db.models import Q
from django.utils import timezone

from courses.layout.models import Course, Hole, Rating, Section, TeeSet
from courses.layout.permissions import visible_courses
from golfstats.calc.strokes.picked_up import strokes_still_to_come
from golfstats.calc.vocabulary import Lie
from golfstats.ground.clubs.models import Member
from golfstats.ground.faults import Fault
from golfstats.ground.statements import Statement
from golfstats.ground.walls.scope import current_club_id
from golfstats.sentences import Sentence
from players.people import permissions
from players.people.models import Player
from players.rounds.checking.bags import Bag
from players.rounds.fields import stored_shot
from players.rounds.input import HoleInput, RoundBegun, RoundInput
from players.rounds.models import PlayedHole, Round, Shot

GREEN = Lie.GREEN.word
HOLES_OF = {
    Section.EIGHTEEN: range(1, 19),
    Section.FRONT: range(1, 10),
    Section.BACK: range(10, 19),
}


MOST_STROKES = 30
"""On a hole, as the check of its table has it."""


@dataclass(frozen=True)
class TeeHole:
    """What the checks need to know of a hole: its length in yards and its par for the player."""

    length: float
    par: int | None


@dataclass(frozen=True)
class PlayedShots:
    """A hole of a card with its shots in order, as they were reported.

    Until :meth:`settle` the hole has no score, and a shot is holed only where somebody said so.
    """

    hole: PlayedHole
    reported: int | None
    """The score that was given."""
    shots: Sequence[Shot]

    def settle(self) -> None:
        """Say what follows from the shots: which one was holed, the score, putts and penalties."""
        hole, shots = self.hole, self.shots
        if shots and not hole.picked_up:
            hole.putts = sum(shot.lie == GREEN for shot in shots)
            hole.penalties = sum(shot.penalty_strokes for shot in shots)
        hole.score = self.score()
        for shot in shots:
            shot.holed = shot is shots[-1] and not hole.picked_up

    def score(self) -> int:
        """The score given, or the sum of the shots, or the most likely score of a ball picked up."""
        if self.reported is not None:
            return self.reported
        strokes = strokes_of(self.shots)
        if not self.hole.picked_up:
            return strokes
        last = self.shots[-1]
        return min(MOST_STROKES, strokes + strokes_still_to_come(Lie.of(last.lie), last.distance))


@dataclass(frozen=True)
class Card:
    """A round with its holes in the order in which they were given."""

    round: Round
    holes: Sequence[PlayedShots]

    def settle(self) -> None:
        for hole in self.holes:
            hole.settle()


def strokes_of(shots: Iterable[Shot]) -> int:
    """Strokes with penalty strokes."""
    return sum(1 + shot.penalty_strokes for shot in shots)


def card_of(posted: RoundInput, unit: str, round_: Round, bag: Bag) -> Card:
    """The card of a posted round. ``unit`` is that of the club; ``round_`` takes what is said of the round."""
    kept = posted.model_dump(exclude={"player", "course", "tee", "unit", "holes"})
    for name, value in kept.items():
        setattr(round_, name, value)
    round_.changed_at = timezone.now()
    return Card(round_, [_hole(round_, hole, posted.unit or unit, bag) for hole in posted.holes])


def _hole(round_: Round, hole: HoleInput, unit: str, bag: Bag) -> PlayedShots:
    played = PlayedHole(round=round_, **hole.model_dump(exclude={"shots", "score"}))
    shots = [
        Shot(played_hole=played, number=number, **stored_shot(shot, unit))
        for number, shot in enumerate(hole.shots, start=1)
    ]
    for shot in shots:
        shot.club_used = bag.one_name(shot.club_used) if shot.club_used else ""
    return PlayedShots(played, hole.score, shots)


@dataclass(frozen=True)
class Place:
    """Where and by whom a round was played, resolved from the names in the input."""

    player: Player
    tee_set: TeeSet
    holes: Mapping[int, TeeHole]
    pars: int | None
    """Of the section's holes together, for the player; None where one of them has none."""
    rated_par: int | None
    """Of the section's rating."""


ANY_TEES = UUID(int=1)


def _of_tees(model: type[Hole] | type[Rating]) -> Statement:
    return Statement(
        lambda: model.objects.filter(tee_set_id=ANY_TEES),
        model,
        standing_for=lambda: {ANY_TEES: "tees", current_club_id(): "club"},
    )


HOLES, RATINGS = _of_tees(Hole), _of_tees(Rating)


@dataclass
class Resolver:
    """Finds players, courses and tees by id or name, remembering what it has already looked up."""

    member: Member
    stays: UUID | None = None
    """Course of the round that is corrected: perhaps somebody else's provisional one, which it may keep."""
    _players: dict[str | None, Player | None] = field(default_factory=dict)
    _tee_sets: dict[tuple[str, str], tuple[TeeSet | None, Fault | None]] = field(default_factory=dict)
    _holes: dict[UUID, list[Hole]] = field(default_factory=dict)
    _ratings: dict[UUID, list[Rating]] = field(default_factory=dict)
    _bags: dict[UUID, Bag] = field(default_factory=dict)

    def place_of(self, posted: RoundBegun) -> tuple[Place | None, list[Fault]]:
        player = self._player(posted.player)
        tee_set, tee_fault = self._tee_set(posted.course, posted.tee)
        faults = [tee_fault] if tee_fault else []
        if player is None:
            who = (
                Sentence("no player {player} for whom you may post", player=repr(posted.player))
                if posted.player
                else Sentence("name the player")
            )
            faults.insert(0, Fault("/player", "no_such_player", who))
        if player is None or tee_set is None:
            return None, faults
        holes = {
            hole.number: TeeHole(hole.length, hole.par(player.rating_gender))
            for hole in self._holes[tee_set.id]
        }
        pars = [
            holes[number].par if number in holes else None for number in HOLES_OF[Section(posted.section)]
        ]
        known = [par for par in pars if par is not None]
        rated = (posted.section, player.rating_gender)
        return Place(
            player,
            tee_set,
            holes,
            sum(known) if len(known) == len(pars) else None,
            next((r.par for r in self._ratings[tee_set.id] if (r.section, r.gender) == rated), None),
        ), faults

    def bag_of(self, player: Player, but_round: UUID | None) -> Bag:
        """The player's clubs, asked for once."""
        return self._bags.setdefault(player.id, Bag(player.id, but_round))

    def _player(self, name: str | None) -> Player | None:
        if name not in self._players:
            candidates = permissions.postable_players(self.member)
            wanted = Q(member=self.member) if name is None else _id_or_name(name)
            self._players[name] = candidates.filter(wanted).first()
        return self._players[name]

    def _tee_set(self, course_name: str, tee_name: str) -> tuple[TeeSet | None, Fault | None]:
        key = (course_name, tee_name)
        if key not in self._tee_sets:
            self._tee_sets[key] = self._find_tee_set(course_name, tee_name)
        return self._tee_sets[key]

    def _find_tee_set(self, course_name: str, tee_name: str) -> tuple[TeeSet | None, Fault | None]:
        club_id = current_club_id()
        courses = visible_courses(self.member)
        if self.stays is not None:
            courses |= Course.objects.filter(id=self.stays, club_id=club_id)
        # The club's own before one entered by the same name.
        course = courses.filter(_id_or_name(course_name)).order_by("provisional", "id").first()
        if course is None:
            return None, Fault(
                "/course",
                "no_such_course",
                Sentence("no course {course_name} here", course_name=repr(course_name)),
            )
        tee_set = TeeSet.objects.filter(_id_or_name(tee_name), club_id=club_id, course=course).first()
        if tee_set is None:
            return None, Fault(
                "/tee",
                "no_such_tee",
                Sentence("{name} has no tee {tee_name}", name=course.name, tee_name=repr(tee_name)),
            )
        tee_set.course = course
        given = {"tees": tee_set.id, "club": club_id}
        self._holes[tee_set.id] = [HOLES.objects(line)[0] for line in HOLES.found(**given)]
        self._ratings[tee_set.id] = [RATINGS.objects(line)[0] for line in RATINGS.found(**given)]
        return tee_set, None


def _id_or_name(value: str) -> Q:
    try:
        return Q(id=UUID(value))
    except ValueError:
        return Q(name__iexact=value) | Q(name__iexact=" ".join(value.split()))
