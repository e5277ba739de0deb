"""What a club's rounds cannot tell apart, in plain sentences beside the answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np

from golfstats.calc.greens.effect.event_study import FORM_SD
from golfstats.calc.greens.surface.disturbance import Work
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Bools, Ints
from golfstats.sentences import Sentence, begun

FORM = Sentence(
    "A spell of better or worse form of everybody in exactly the healing weeks looks the same as an effect of the "
    "work; the interval allows for one of about {strokes} strokes a round either way.",
    strokes=f"{FORM_SD:.1f}",
)
SPELL = Sentence(
    "From tee to green, too, the same rounds lost more strokes in the days after the work, which no green can have "
    "done: a spell of bad form or weather is as likely, so nothing is claimed and no size is given."
)
WITHOUT_WORK = Sentence(
    "On several dates without work the same model sees a cost, too: something else than work makes putting worse on "
    "these greens at times, so nothing is claimed and no size is given."
)
SPEED = Sentence(
    "A change of green speed while the greens heal counts as part of what the work costs, and smoothness scores "
    "are not used."
)
DISTANCES = Sentence("Which distances the cost falls on comes from a putting model and not from these putts.")
TURN_DAYS = 21
"""Work with fewer days of golf than this before it, or after its healing, lies at an end of the season."""
TOGETHER = 0.8


def caveats(
    works: Mapping[int, Sequence[Work]], day: Ints, course: Ints, by_kind: Mapping[str, Bools]
) -> tuple[str, ...]:
    """For works by course number, the rounds' days and courses, and by kind which rounds felt it."""
    sentences: list[str] = []
    lasting = [
        (number, work)
        for number, some in works.items()
        for work in some
        if work_types()[work.kind].recovery_days >= 5 and work.strength >= 0.3
    ]
    if len({work.start // 7 for _, work in lasting}) == 1:
        sentences.append(
            Sentence("The work was done once: whatever else was different in those weeks looks the same.")
        )
    if lasting and all(_at_an_end(work, day[course == number]) for number, work in lasting):
        sentences.append(
            Sentence(
                "All of the work fell at an end of the golf played: a season that turns in those very weeks looks the "
                "same."
            )
        )
    sentences += [
        Sentence(
            "{one} and {other} were mostly felt together: which of them costs what cannot be told.",
            one=begun(Sentence(work_types()[one].words)),
            other=Sentence(work_types()[other].words),
        )
        for one, other in combinations(sorted(by_kind), 2)
        if _together(by_kind[one], by_kind[other])
    ]
    return (*sentences, FORM, SPEED, DISTANCES)


def _at_an_end(work: Work, day: Ints) -> bool:
    if not len(day):
        return False
    # A winter without golf is an end of the season too.
    days = np.unique(day)
    near = days[np.abs(days - work.start) <= 120]
    healed = work.end + work_types()[work.kind].recovery_days
    before, after = near[near < work.start], near[near > healed]
    return (
        len(before) == 0
        or len(after) == 0
        or bool(work.start - before.min() < TURN_DAYS or after.max() - healed < TURN_DAYS)
    )


def _together(one: Bools, other: Bools) -> bool:
    both, either = int(np.sum(one & other)), int(np.sum(one | other))
    return either > 0 and both / either >= TOGETHER
