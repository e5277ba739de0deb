"""Telling the service what a hole looks like."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from courses.layout.announcing import TEE_CHANGED
from courses.layout.models import Hole, TeeSet
from courses.layout.services import HOLES_DRAWN_ANEW
from courses.plans.maps import drawing_of_map
from courses.plans.models import HoleShape
from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.hole.words import HoleWordsFault, read_words
from golfstats.ground.clubs.models import Member
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.ground.outbox import work
from golfstats.sentences import Sentence, words_of

MAP_BYTES = 512 * 1024
LONGEST_WORDS = 500


@tells(TEE_CHANGED)
def describe_holes(
    member: Member, tee_set: TeeSet, described: Sequence[tuple[int, str, Mapping[str, object] | None]]
) -> int:
    """Put these descriptions (number, words, map) in the place of the holes'; how many there were.

    Distances in the words are yards. A refusal with every fault stores nothing.
    """
    holes = {hole.number: hole for hole in Hole.objects.filter(tee_set=tee_set)}
    faults: list[Fault] = []
    for place, (number, words, map_) in enumerate(described):
        hole = holes.get(number)
        if hole is None:
            faults.append(
                Fault("/number", "no_such_hole", Sentence("these tees have no such hole"), hole=number)
            )
            continue
        own_faults = _word_faults(hole, words, mapped=map_ is not None) + _map_faults(map_)
        faults += [
            replace(fault, pointer=f"/holes/{place}{fault.pointer}", hole=number) for fault in own_faults
        ]
    if faults:
        raise invalid(faults, Sentence("The holes cannot be drawn"))
    for number, words, map_ in described:
        HoleShape.objects.update_or_create(
            hole=holes[number], defaults={"words": words.strip(), "map": map_, "entered_by": member}
        )
    work.ask(HOLES_DRAWN_ANEW, str(tee_set.id))
    return len(described)


def _map_faults(map_: Mapping[str, object] | None) -> list[Fault]:
    if map_ is None:
        return []
    try:
        drawing_of_map(map_)
    except ProblemError as problem:
        return list(problem.faults)
    return []


def _word_faults(hole: Hole, words: str, *, mapped: bool) -> list[Fault]:
    if len(words) > LONGEST_WORDS:
        return [
            Fault(
                "/words",
                "too_long",
                Sentence("no more than {longest_words} characters", longest_words=LONGEST_WORDS),
            )
        ]
    try:
        said = read_words(words)
        if not mapped:
            generic_hole(hole.par_men or hole.par_women or 4, hole.length, said)
    except HoleWordsFault as fault:
        return [Fault("/words", "not_understood", words_of(fault), hole=hole.number)]
    except ValueError as fault:
        return [Fault("/words", "not_a_hole", words_of(fault), hole=hole.number)]
    return []
