"""Does a round fit the tee it was played from? Every fault is found, each with its hole and shot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from courses.layout.models import Section
from golfstats.calc.plan.found import FoundGreensFault, read_found
from golfstats.calc.units import FEET_PER_YARD
from golfstats.ground.faults import Fault
from golfstats.sentences import Sentence, words_of
from players.rounds.checking.cards import HOLES_OF, MOST_STROKES, Card, PlayedShots, TeeHole, strokes_of
from players.rounds.models import Shot

LONGEST_PUTT_YARDS = 200 / FEET_PER_YARD


def faults_of(card: Card, tee_holes: Mapping[int, TeeHole], today: date) -> list[Fault]:
    """Every fault of a card before it is settled, in the order of its holes. Empty means that it may be saved."""
    return [*round_faults(card, tee_holes, today), *hole_faults(card, tee_holes)]


def round_faults(card: Card, tee_holes: Mapping[int, TeeHole], today: date) -> Iterator[Fault]:
    round_, numbers = card.round, [played.hole.number for played in card.holes]
    if round_.played_on > today:
        words = Sentence("{played_on} is after today, {today}", played_on=round_.played_on, today=today)
        yield Fault("/played_on", "in_the_future", words)
    yield from greens_found_faults(round_.greens_found)
    yield from _section_faults(Section(round_.section), numbers, tee_holes)
    yield from _number_faults(numbers, HOLES_OF[Section(round_.section)])


def greens_found_faults(text: str) -> Iterator[Fault]:
    """Of the greens as found, beside a round or a plan."""
    try:
        read_found(text)
    except FoundGreensFault as fault:
        yield Fault("/greens_found", "not_understood", words_of(fault))


def _section_faults(
    section: Section, numbers: Sequence[int], tee_holes: Mapping[int, TeeHole]
) -> Iterator[Fault]:
    """The tee has to have the holes, and enough of them have to have been played."""
    expected = HOLES_OF[section]
    if not tee_holes:
        yield Fault("/tee", "no_such_holes", Sentence("this tee has no holes yet"))
    elif expected[-1] > max(tee_holes):
        words = Sentence("this tee has holes 1 to {tee_holes}", tee_holes=max(tee_holes))
        yield Fault("/section", "no_such_holes", words)
    elif section == Section.EIGHTEEN and len(numbers) < 9:
        words = Sentence("{numbers} holes; a round has at least 9", numbers=len(numbers))
        yield Fault("/holes", "too_few_holes", words)
    elif section != Section.EIGHTEEN and len(set(numbers) & set(expected)) < 9:
        words = Sentence(
            "the {section} nine has holes {expected}", section=Sentence(section), expected=_span(expected)
        )
        yield Fault("/holes", "wrong_number_of_holes", words)


def _number_faults(numbers: Sequence[int], expected: range) -> Iterator[Fault]:
    """Each hole once, and of the section that was played."""
    for index, number in enumerate(numbers):
        pointer = f"/holes/{index}/number"
        if number in numbers[:index]:
            words = Sentence("hole {number} is given twice", number=number)
            yield Fault(pointer, "hole_twice", words, hole=number)
        elif number not in expected:
            words = Sentence(
                "hole {number} is not part of this round (holes {expected})",
                number=number,
                expected=_span(expected),
            )
            yield Fault(pointer, "hole_not_in_section", words, hole=number)


def _span(numbers: range) -> Sentence:
    return Sentence("{first} to {last}", first=numbers[0], last=numbers[-1])


def hole_faults(card: Card, tee_holes: Mapping[int, TeeHole]) -> Iterator[Fault]:
    for index, played in enumerate(card.holes):
        hole = played.hole
        tee_hole = tee_holes.get(hole.number)
        if tee_hole is None:
            continue
        pointer = f"/holes/{index}"
        if tee_hole.par is None:
            yield Fault(
                f"{pointer}/number",
                "hole_not_rated",
                Sentence("no par here for this player"),
                hole=hole.number,
            )
        if played.shots:
            yield from _shot_faults(played, tee_hole, pointer)
        elif played.reported is None:
            yield Fault(
                f"{pointer}/score", "score_missing", Sentence("neither shots nor a score"), hole=hole.number
            )
        yield from _score_faults(played, pointer)


def _score_faults(played: PlayedShots, pointer: str) -> Iterator[Fault]:
    """What cannot be of a score, and of the putts and penalties that were told beside it."""
    hole, strokes = played.hole, strokes_of(played.shots)
    if strokes > MOST_STROKES:
        detail = Sentence(
            "the shots and penalties add up to {strokes}; a hole takes {most} at most",
            strokes=strokes,
            most=MOST_STROKES,
        )
        yield Fault(f"{pointer}/shots", "too_many_strokes", detail, hole=hole.number)
        return
    if played.reported is None and not (played.shots and hole.picked_up):
        return  # whatever was told beside the shots of a hole played out, these say it
    score = played.score()
    if hole.putts is not None and hole.putts > score:
        detail = Sentence("more putts than strokes")
        yield Fault(f"{pointer}/putts", "more_putts_than_score", detail, hole=hole.number)
    if hole.penalties is not None and hole.penalties >= score:
        detail = Sentence("penalty strokes alone make no score")
        yield Fault(f"{pointer}/penalties", "more_penalties_than_score", detail, hole=hole.number)


def _shot_faults(played: PlayedShots, tee_hole: TeeHole, pointer: str) -> Iterator[Fault]:
    hole, shots = played.hole, played.shots
    for index, shot in enumerate(shots):
        place = f"{pointer}/shots/{index}"
        for field, code, detail in _faults_of_shot(shots, index, tee_hole):
            yield Fault(f"{place}/{field}", code, detail, hole=hole.number, shot=index + 1)
        if shot.holed and index < len(shots) - 1:
            next_place = f"{pointer}/shots/{index + 1}"
            detail = Sentence("a shot after shot {index} was holed", index=index + 1)
            yield Fault(next_place, "shot_after_holing_out", detail, hole=hole.number, shot=index + 2)
    last = shots[-1]
    last_place = f"{pointer}/shots/{len(shots) - 1}"
    if hole.picked_up and last.holed:
        yield Fault(
            f"{last_place}/holed", "holed_and_picked_up", Sentence("holed, yet picked up"), hole=hole.number
        )
    if not hole.picked_up and last.holed is False:
        detail = Sentence("the last shot is not holed: give the missing shots, or mark the hole as picked up")
        yield Fault(f"{last_place}/holed", "not_holed_out", detail, hole=hole.number, shot=len(shots))
    if not hole.picked_up and last.penalty_strokes:
        detail = Sentence("a holed shot takes no penalty stroke: give the shot that followed")
        yield Fault(
            f"{last_place}/penalty_strokes",
            "holed_with_penalty",
            detail,
            hole=hole.number,
            shot=len(shots),
        )
    strokes = strokes_of(shots)
    if not hole.picked_up and played.reported is not None and played.reported != strokes:
        detail = Sentence(
            "the shots and penalties add up to {strokes}, the score says {reported}",
            strokes=strokes,
            reported=played.reported,
        )
        yield Fault(f"{pointer}/score", "score_disagrees", detail, hole=hole.number)


def _faults_of_shot(shots: Sequence[Shot], index: int, tee_hole: TeeHole) -> Iterator[tuple[str, str, str]]:
    shot = shots[index]
    replayed = index > 0 and shots[index - 1].penalty_kind == "stroke_and_distance"
    if index == 0 and shot.lie != "tee":
        yield "lie", "not_from_the_tee", Sentence("the first shot of a hole is played from the tee")
    if index > 0 and shot.lie == "tee" and not (replayed and shots[index - 1].lie == "tee"):
        yield (
            "lie",
            "tee_again",
            Sentence("only a first shot, or its repetition after stroke and distance, is from the tee"),
        )
    if bool(shot.penalty_strokes) != bool(shot.penalty_kind):
        yield (
            "penalty_kind",
            "penalty_incomplete",
            Sentence("a penalty has both a kind and a number of strokes"),
        )
    yards = shot.distance
    longest = tee_hole.length * 1.25 + 30 if index == 0 else tee_hole.length + 150
    if shot.lie == "green" and yards > LONGEST_PUTT_YARDS:
        yield "distance", "impossible_distance", Sentence("longer than any green")
    elif yards > longest:
        yield (
            "distance",
            "impossible_distance",
            Sentence("farther than this hole of {length} yards allows", length=f"{tee_hole.length:.0f}"),
        )
    if shot.lie not in ("green", "fringe") and (shot.putt_break or shot.fault):
        yield (
            "lie",
            "not_a_putt",
            Sentence("break and fault belong to putts, on the green or from the fringe"),
        )
