"""The only code that writes rounds: post, edit, delete. A round is saved as a whole or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from courses.models import Course, Hole, TeeSet
from golfstats.api.problems import Fault, invalid
from golfstats.calc.units import FEET_PER_YARD, YARDS_PER_METRE
from golfstats.clubs.bulk import copy_rows
from golfstats.clubs.models import Club, DistanceUnit, Member
from golfstats.clubs.scope import current_club_id
from golfstats.outbox import work
from players import permissions
from players.models import PlayedHole, Player, Round, Shot
from players.round_checks import TeeHole, faults_of, in_yards, strokes_of
from players.round_input import HoleInput, RoundInput, ShotInput

ROUND_ANALYSIS = "round_analysis"
HANDICAP = "handicap"
PLAYER_REPORT = "player_report"


@dataclass(frozen=True)
class Place:
    """Where and by whom a round was played, resolved from the names in the input."""

    player: Player
    tee_set: TeeSet
    holes: Mapping[int, TeeHole]


@dataclass
class Rows:
    """The rows of some rounds, ready to be written with one statement a table."""

    rounds: list[Round] = field(default_factory=list)
    holes: list[PlayedHole] = field(default_factory=list)
    shots: list[Shot] = field(default_factory=list)

    def write(self) -> None:
        Round.objects.bulk_create(self.rounds)
        self.write_holes()

    def write_holes(self) -> None:
        copy_rows(self.holes)
        # One statement for all shots: the trigger that checks their order looks once a statement.
        copy_rows(self.shots)


@transaction.atomic
def post_round(member: Member, posted: RoundInput) -> Round:
    """Save a round and ask for its analysis. Raises a 422 problem that lists every fault."""
    return post_rounds(member, [posted])[0]


@transaction.atomic
def post_rounds(member: Member, posted: Sequence[RoundInput]) -> list[Round]:
    """Save many rounds with a number of queries that does not grow with their holes and shots."""
    resolve = Resolver(member)
    rows = Rows()
    faults: list[Fault] = []
    for index, one in enumerate(posted):
        place, found = resolve.place_of(one)
        unit = one.unit or member.club.distance_unit
        if place is not None:
            found += faults_of(one, place.holes, unit, _today(member.club))
        if found or place is None:
            prefix = f"/{index}" if len(posted) > 1 else ""
            faults += [_moved(fault, prefix) for fault in found]
            continue
        round_ = Round(player=place.player, tee_set=place.tee_set, posted_by=member, **_round_fields(one))
        rows.rounds.append(round_)
        _add_holes(rows, round_, one, unit)
    if faults:
        raise invalid(faults, "The round cannot be saved")
    rows.write()
    _ask_for_analysis(rows.rounds)
    return rows.rounds


@transaction.atomic
def replace_round(member: Member, round_: Round, posted: RoundInput) -> Round:
    """Put a corrected round in the place of the old one, under the same id, and analyse it again."""
    place, faults = Resolver(member).place_of(posted)
    unit = posted.unit or member.club.distance_unit
    if place is not None:
        faults += faults_of(posted, place.holes, unit, _today(member.club))
    if faults or place is None:
        raise invalid(faults, "The round cannot be saved")
    affected = {round_.player_id, place.player.id}
    for name, value in _round_fields(posted).items():
        setattr(round_, name, value)
    round_.player, round_.tee_set = place.player, place.tee_set
    round_.version += 1
    round_.analysis, round_.analysis_reason = "pending", ""
    round_.save()
    PlayedHole.objects.filter(round=round_).delete()
    rows = Rows()
    _add_holes(rows, round_, posted, unit)
    rows.write_holes()
    _ask_for_analysis([round_], players=affected)
    return round_


@transaction.atomic
def delete_round(round_: Round) -> None:
    player_id = round_.player_id
    round_.delete()
    for kind in (HANDICAP, PLAYER_REPORT):
        work.ask(kind, str(player_id))


@transaction.atomic
def analyse_again(round_: Round) -> None:
    """Ask for the analysis once more, after it failed or because what it rests on has changed."""
    round_.analysis, round_.analysis_reason = "pending", ""
    round_.save(update_fields=["analysis", "analysis_reason"])
    _ask_for_analysis([round_])


def _ask_for_analysis(rounds: Iterable[Round], players: Iterable[UUID] = ()) -> None:
    rounds = list(rounds)
    # The record first: a round whose analysis is done then shows its differential as well.
    work.ask_all(HANDICAP, map(str, {round_.player_id for round_ in rounds} | set(players)))
    work.ask_all(ROUND_ANALYSIS, [str(round_.id) for round_ in rounds])


class Resolver:
    """Finds players, courses and tees by id or name, remembering what it has already looked up."""

    def __init__(self, member: Member) -> None:
        self.member = member
        self._players: dict[str | None, Player | None] = {}
        self._tee_sets: dict[tuple[str, str], tuple[TeeSet | None, Fault | None]] = {}
        self._holes: dict[UUID, list[Hole]] = {}

    def place_of(self, posted: RoundInput) -> tuple[Place | None, list[Fault]]:
        player = self._player(posted.player)
        tee_set, tee_fault = self._tee_set(posted.course, posted.tee)
        faults = [tee_fault] if tee_fault else []
        if player is None:
            who = f"no player {posted.player!r} for whom you may post" if posted.player else "name the player"
            faults.insert(0, Fault("/player", "no_such_player", who))
        if player is None or tee_set is None:
            return None, faults
        holes = {
            hole.number: TeeHole(hole.length, hole.par(player.rating_gender))
            for hole in self._holes[tee_set.id]
        }
        return Place(player, tee_set, holes), faults

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
        course = Course.objects.filter(_id_or_name(course_name), club_id=club_id).first()
        if course is None:
            return None, Fault("/course", "no_such_course", f"no course {course_name!r} here")
        tee_sets = TeeSet.objects.filter(_id_or_name(tee_name), club_id=club_id, course=course)
        tee_set = tee_sets.select_related("course").prefetch_related("holes").first()
        if tee_set is None:
            return None, Fault("/tee", "no_such_tee", f"{course.name} has no tee {tee_name!r}")
        self._holes[tee_set.id] = list(tee_set.holes.all())
        return tee_set, None


def _id_or_name(value: str) -> Q:
    try:
        return Q(id=UUID(value))
    except ValueError:
        return Q(name__iexact=value)


def _today(club: Club) -> date:
    return datetime.now(ZoneInfo(club.time_zone)).date()


def _moved(fault: Fault, prefix: str) -> Fault:
    """The fault with its pointer below a list's element."""
    places = {"hole": fault.hole, "shot": fault.shot, "line": fault.line, "column": fault.column}
    return Fault(prefix + fault.pointer, fault.code, fault.detail, **places)


def _round_fields(posted: RoundInput) -> dict[str, object]:
    """What a round keeps as it was given; the rest is looked up, or becomes rows of its own."""
    kept = posted.model_dump(exclude={"player", "course", "tee", "unit", "holes"})
    return kept | {"changed_at": timezone.now()}


def _add_holes(rows: Rows, round_: Round, posted: RoundInput, unit: str) -> None:
    for hole in sorted(posted.holes, key=lambda hole: hole.number):
        played = _played_hole(round_, hole, unit)
        rows.holes.append(played)
        for number, shot in enumerate(hole.shots, start=1):
            holed = number == len(hole.shots) and not hole.picked_up
            rows.shots.append(_shot(played, number, shot, unit, holed=holed))


def _played_hole(round_: Round, hole: HoleInput, unit: str) -> PlayedHole:
    putts, penalties = hole.putts, hole.penalties
    if hole.shots and not hole.picked_up:
        putts = sum(shot.lie == "green" for shot in hole.shots)
        penalties = sum(shot.penalty_strokes for shot in hole.shots)
    return PlayedHole(
        round=round_,
        number=hole.number,
        score=_score(hole, unit),
        picked_up=hole.picked_up,
        putts=putts,
        penalties=penalties,
        fairway_hit=hole.fairway_hit,
        green_in_regulation=hole.green_in_regulation,
    )


def _score(hole: HoleInput, unit: str) -> int:
    """The score given, or the sum of the shots, or the most likely score of a ball picked up."""
    if hole.score is not None:
        return hole.score
    strokes = strokes_of(hole.shots)
    if not hole.picked_up:
        return strokes
    last = hole.shots[-1]
    return strokes + _strokes_to_hole_out(last.lie, in_yards(last.lie, last.distance, unit))


def _strokes_to_hole_out(lie: str, yards: float) -> int:
    """Strokes still likely from where a ball was picked up (Rule 3.3): the last shot counts as played.

    The table gives a judgement between two figures for the longer distances; the higher one is taken.
    """
    if lie == "green" and yards <= 5 / FEET_PER_YARD:
        return 1
    return 3 if yards <= 20 else 4


def _shot(played: PlayedHole, number: int, shot: ShotInput, unit: str, *, holed: bool) -> Shot:
    return Shot(
        played_hole=played,
        number=number,
        lie=shot.lie,
        distance=in_yards(shot.lie, shot.distance, unit),
        holed=holed,
        penalty_strokes=shot.penalty_strokes,
        penalty_kind=shot.penalty_kind or "",
        club_used=shot.club or "",
        target_distance=_length(shot.target_distance, unit),
        travel=_length(shot.travel, unit),
        offline=_length(shot.offline, unit),
        miss_side=shot.miss_side or "",
        miss_depth=shot.miss_depth or "",
        short_sided=shot.short_sided,
        lie_quality=shot.lie_quality or "",
        swing=shot.swing or "",
        wind=shot.wind or "",
        wind_mph=shot.wind_mph,
        elevation=_length(shot.elevation, unit),
        slope=shot.slope or "",
        putt_break=shot.putt_break or "",
        fault=shot.fault or "",
        tags=shot.tags,
    )


def _length(value: float | None, unit: str) -> float | None:
    """Lengths other than the distance to the hole are yards or metres, on the green too."""
    if value is None:
        return None
    return value * YARDS_PER_METRE if unit == DistanceUnit.METRES else value
