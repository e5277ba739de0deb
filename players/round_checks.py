"""Does a round fit the tee it was played from? Every fault is found, each with its hole and shot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from courses.models import Section
from golfstats.api.problems import Fault
from golfstats.calc.units import FEET_PER_YARD, YARDS_PER_METRE
from golfstats.clubs.models import DistanceUnit
from players.round_input import HoleInput, RoundInput, ShotInput

LONGEST_PUTT_YARDS = 200 / FEET_PER_YARD
HOLES_OF = {
    Section.EIGHTEEN: range(1, 19),
    Section.FRONT: range(1, 10),
    Section.BACK: range(10, 19),
}


@dataclass(frozen=True)
class TeeHole:
    """What the checks need to know of a hole: its length in yards and its par for the player."""

    length: float
    par: int | None


def in_yards(shot_lie: str, distance: float, unit: str) -> float:
    """A distance of the input in yards: metres throughout, or yards with feet on the green."""
    if unit == DistanceUnit.METRES:
        return distance * YARDS_PER_METRE
    return distance / FEET_PER_YARD if shot_lie == "green" else distance


def faults_of(posted: RoundInput, tee_holes: Mapping[int, TeeHole], unit: str, today: date) -> list[Fault]:
    """Every fault of the round, in the order of its holes. Empty means that it may be saved."""
    return [*_round_faults(posted, tee_holes, today), *_hole_faults(posted, tee_holes, unit)]


def _round_faults(posted: RoundInput, tee_holes: Mapping[int, TeeHole], today: date) -> Iterator[Fault]:
    if posted.played_on > today:
        yield Fault("/played_on", "in_the_future", f"{posted.played_on} is after today, {today}")
    numbers = [hole.number for hole in posted.holes]
    expected = HOLES_OF[Section(posted.section)]
    if expected[-1] > max(tee_holes):
        yield Fault("/section", "no_such_holes", f"this tee has holes 1 to {max(tee_holes)}")
    elif posted.section == Section.EIGHTEEN and len(numbers) < 9:
        yield Fault("/holes", "too_few_holes", f"{len(numbers)} holes; a round has at least 9")
    elif posted.section != Section.EIGHTEEN and len(set(numbers) & set(expected)) < 9:
        yield Fault(
            "/holes", "wrong_number_of_holes", f"the {posted.section} nine has holes {_span(expected)}"
        )
    seen: set[int] = set()
    for index, number in enumerate(numbers):
        if number in seen:
            yield Fault(f"/holes/{index}/number", "hole_twice", f"hole {number} is given twice", hole=number)
        elif number not in expected:
            detail = f"hole {number} is not part of this round (holes {_span(expected)})"
            yield Fault(f"/holes/{index}/number", "hole_not_in_section", detail, hole=number)
        seen.add(number)


def _span(numbers: range) -> str:
    return f"{numbers[0]} to {numbers[-1]}"


def _hole_faults(posted: RoundInput, tee_holes: Mapping[int, TeeHole], unit: str) -> Iterator[Fault]:
    for index, hole in enumerate(posted.holes):
        tee_hole = tee_holes.get(hole.number)
        if tee_hole is None:
            continue
        pointer = f"/holes/{index}"
        if tee_hole.par is None:
            yield Fault(
                f"{pointer}/number", "hole_not_rated", "no par here for this player", hole=hole.number
            )
        if hole.shots:
            yield from _shot_faults(hole, tee_hole, unit, pointer)
        elif hole.score is None:
            yield Fault(f"{pointer}/score", "score_missing", "neither shots nor a score", hole=hole.number)
        if hole.score is not None and hole.putts is not None and hole.putts > hole.score:
            yield Fault(
                f"{pointer}/putts", "more_putts_than_score", "more putts than strokes", hole=hole.number
            )


def _shot_faults(hole: HoleInput, tee_hole: TeeHole, unit: str, pointer: str) -> Iterator[Fault]:
    for index, shot in enumerate(hole.shots):
        place = f"{pointer}/shots/{index}"
        for field, code, detail in _faults_of_shot(hole.shots, index, tee_hole, unit):
            yield Fault(f"{place}/{field}", code, detail, hole=hole.number, shot=index + 1)
        if shot.holed and index < len(hole.shots) - 1:
            next_place = f"{pointer}/shots/{index + 1}"
            detail = f"a shot after shot {index + 1} was holed"
            yield Fault(next_place, "shot_after_holing_out", detail, hole=hole.number, shot=index + 2)
    last = hole.shots[-1]
    last_place = f"{pointer}/shots/{len(hole.shots) - 1}"
    if hole.picked_up and last.holed:
        yield Fault(f"{last_place}/holed", "holed_and_picked_up", "holed, yet picked up", hole=hole.number)
    if not hole.picked_up and last.holed is False:
        detail = "the last shot is not holed: give the missing shots, or mark the hole as picked up"
        yield Fault(f"{last_place}/holed", "not_holed_out", detail, hole=hole.number, shot=len(hole.shots))
    if not hole.picked_up and last.penalty_strokes:
        detail = "a holed shot takes no penalty stroke: give the shot that followed"
        yield Fault(
            f"{last_place}/penalty_strokes",
            "holed_with_penalty",
            detail,
            hole=hole.number,
            shot=len(hole.shots),
        )
    strokes = strokes_of(hole.shots)
    if not hole.picked_up and hole.score is not None and hole.score != strokes:
        detail = f"the shots and penalties add up to {strokes}, the score says {hole.score}"
        yield Fault(f"{pointer}/score", "score_disagrees", detail, hole=hole.number)


def strokes_of(shots: Sequence[ShotInput]) -> int:
    """Strokes with penalty strokes."""
    return sum(1 + shot.penalty_strokes for shot in shots)


def _faults_of_shot(
    shots: Sequence[ShotInput], index: int, tee_hole: TeeHole, unit: str
) -> Iterator[tuple[str, str, str]]:
    shot = shots[index]
    replayed = index > 0 and shots[index - 1].penalty_kind == "stroke_and_distance"
    if index == 0 and shot.lie != "tee":
        yield "lie", "not_from_the_tee", "the first shot of a hole is played from the tee"
    if index > 0 and shot.lie == "tee" and not (replayed and shots[index - 1].lie == "tee"):
        yield (
            "lie",
            "tee_again",
            "only a first shot, or its repetition after stroke and distance, is from the tee",
        )
    if bool(shot.penalty_strokes) != bool(shot.penalty_kind):
        yield "penalty_kind", "penalty_incomplete", "a penalty has both a kind and a number of strokes"
    yards = in_yards(shot.lie, shot.distance, unit)
    longest = tee_hole.length * 1.25 + 30 if index == 0 else tee_hole.length + 150
    if shot.lie == "green" and yards > LONGEST_PUTT_YARDS:
        yield "distance", "impossible_distance", "longer than any green"
    elif yards > longest:
        yield (
            "distance",
            "impossible_distance",
            f"farther than this hole of {tee_hole.length:.0f} yards allows",
        )
    if shot.lie != "green" and (shot.putt_break or shot.fault):
        yield "lie", "not_a_putt", "break and fault belong to putts"
