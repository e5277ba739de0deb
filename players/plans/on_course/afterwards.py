"""The round as it was played, read beside its plan: each shot's choice, execution, greens and luck of the lie."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
from django.db import transaction

from courses.plans.answers import DrawnHole, not_drawn
from golfstats.calc.figure import INTERVAL
from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.shape import shape_of
from golfstats.calc.plan.options import options_from
from golfstats.calc.plan.shots.clubs import known_clubs
from golfstats.calc.plan.shots.pattern import Bag
from golfstats.calc.plan.shots.weather import in_weather
from golfstats.calc.plan.split import HoleValues, Split, hole_shots, split_hole
from golfstats.calc.plan.value import BestPlay, best_play
from golfstats.calc.record import Floats
from golfstats.calc.strokes.gained import covered_holes
from golfstats.calc.vocabulary import UNKNOWN, Lie
from golfstats.ground.clock import day_begins
from golfstats.ground.faults import ProblemError, Refusal, invalid
from golfstats.ground.outbox import work
from golfstats.sentences import Sentence
from players.coaching.reports.ledger import forget_score, keep_score
from players.golf.loading import LoadedRecord, load_record
from players.plans.answers import rounds_of
from players.plans.making import club_rows, drawn_holes_of, game_of, greens_of, question_of, restored
from players.plans.models import PlanAfterwards, PlanHole, PlanState, RoundPlan
from players.plans.services import holes_of
from players.rounds.models import Round, RoundInPlay

PLAN_AFTERWARDS = "plan_afterwards"
"""Key: the plan."""
STEP = 4.0
"""Yards: the grid for reading a round afterwards, where differences count and not the aim to the yard."""
PARTS = ("choice", "execution", "greens", "luck", "total")


@dataclass(frozen=True)
class _Solved:
    best: BestPlay
    tee: float


@transaction.atomic
def ask_to_read(plan: RoundPlan) -> PlanAfterwards:
    """Ask the worker to read the round that was played by this plan; refused while there is none."""
    if plan.state != PlanState.DONE:
        raise ProblemError("not-made-yet", Sentence("The plan is not made yet"), Refusal.CONFLICT)
    played = rounds_of(plan).order_by("-posted_at").first()
    if played is None:
        raise ProblemError(
            "not-played-yet", Sentence("No round of that day and tees is posted"), Refusal.CONFLICT
        )
    reading, _ = PlanAfterwards.objects.update_or_create(
        plan=plan,
        defaults={
            "round": played,
            "round_version": played.version,
            "state": PlanState.PENDING,
            "reason": "",
            "document": None,
            "holes": {},
        },
    )
    work.ask(PLAN_AFTERWARDS, str(plan.id))
    return reading


@transaction.atomic
def read_again(round_id: UUID) -> None:
    """A round that was read is another now: its plan is read beside what is of that day and those tees today."""
    for reading in PlanAfterwards.objects.filter(round_id=round_id).select_related("plan"):
        if rounds_of(reading.plan).exists():
            ask_to_read(reading.plan)
        else:
            forget_score(reading.plan_id)
            reading.delete()


@transaction.atomic
def judge_anew(player_id: UUID, day: date) -> None:
    """A round of that day is gone: what it judged of its plans is judged by another round, or by none.

    What was read beside the plan went with its round.
    """
    for plan in RoundPlan.objects.filter(player_id=player_id, planned_for=day, afterwards=None):
        if forget_score(plan.id) and rounds_of(plan).exists():
            ask_to_read(plan)


def read_next_hole(reading: PlanAfterwards) -> bool:
    """Take the shots of the next hole that was planned apart. Whether there was one."""
    if reading.round_version != reading.round.version:  # corrected while it was read
        reading.round_version, reading.holes = reading.round.version, {}
    planned = holes_of(reading.plan.tee_set, reading.plan.section)
    loaded = load_record(rounds=[reading.round_id])
    covered = covered_holes(loaded.record)
    left = [
        row
        for row in range(len(loaded.record.holes))
        if covered[row]
        and loaded.record.holes.number[row] in planned
        and str(loaded.record.holes.number[row]) not in reading.holes
    ]
    if not left:
        return False
    number = int(loaded.record.holes.number[left[0]])
    reading.holes = reading.holes | {str(number): _shots(reading, loaded, left[0], number)}
    _store(reading, holes=reading.holes, round_version=reading.round_version)
    return True


def _store(reading: PlanAfterwards, **fields: Any) -> None:
    """Nothing where the plan is read beside another round by now."""
    PlanAfterwards.objects.filter(id=reading.id, round_id=reading.round_id).update(**fields)


def finish_reading(reading: PlanAfterwards) -> None:
    """The round's sums, and where its score lies in the forecast."""
    shots = [shot for number in sorted(reading.holes, key=int) for shot in reading.holes[number]]
    sums = {part: round(float(np.sum([shot[part] for shot in shots])), 4) for part in PARTS}
    score = sum(reading.round.holes.values_list("score", flat=True))
    rows = PlanHole.objects.filter(plan=reading.plan)
    totals = np.sum([restored(row.simulated).score for row in rows], axis=0)
    played = set(reading.round.holes.values_list("number", flat=True))
    whole = len(totals) > 0 and played == {row.number for row in rows}
    reading.document = {
        **sums,
        "score": score,
        "forecast": float(totals.mean()) if whole else None,
        "as_good_or_better": float(np.mean(totals <= score)) if whole else None,
        "holes_read": len(reading.holes),
    }
    reading.state = PlanState.DONE
    _store(reading, document=reading.document, state=reading.state)
    forget_score(reading.plan_id)
    if whole:
        _judge_forecast(reading, totals, score)


def _judge_forecast(reading: PlanAfterwards, totals: Floats, score: int) -> None:
    """Whether the score lies in the 90% range of a plan that was there before the round was played."""
    plan, played = reading.plan, reading.round
    if plan.finished_at is None or plan.finished_at >= _began(played):
        return
    low, high = np.quantile(totals, [(1 - INTERVAL) / 2, (1 + INTERVAL) / 2])
    keep_score(
        plan.id,
        plan.player_id,
        plan.finished_at.astimezone(ZoneInfo(played.club.time_zone)).date(),
        float(np.mean((totals >= low) & (totals <= high))),
        came_true=bool(low <= score <= high),
        today=played.played_on,
    )


def _began(played: Round) -> datetime:
    """The moment at which the round was begun, or where nobody said so the latest that it can have been."""
    begun = RoundInPlay.objects.filter(round=played).values_list("started_at", flat=True).first()
    if begun is not None:
        return begun
    if played.start_time is not None:
        return datetime.combine(played.played_on, played.start_time, ZoneInfo(played.club.time_zone))
    return min(played.posted_at, day_begins(played.club, played.played_on + timedelta(days=1)))


def _shots(
    reading: PlanAfterwards, loaded: LoadedRecord, row: int, number: int
) -> list[dict[str, str | int | float]]:
    """Each of the hole with the parts that it is taken apart into."""
    plan = reading.plan
    faults = not_drawn(plan.tee_set, [number])
    if faults:  # its length was corrected after the plan was made
        raise invalid(faults, faults[0].detail)
    # What was known on the eve of the round: the round itself must not judge its own choices.
    game = game_of(plan.player, until=plan.planned_for - timedelta(days=1))
    drawn = {hole.number: hole for hole in drawn_holes_of(plan)}[number]
    greens = greens_of(plan, game, number, reading.round.greens_found)
    bag = in_weather(game.learnt.bag, question_of(plan, drawn).weather)
    today, usual = _solved(drawn, bag, greens), _solved(drawn, bag, greens.undisturbed())
    names = known_clubs(loaded.clubs)
    shots = hole_shots(loaded.record, row, club_rows(bag, loaded.clubs, names))
    values = HoleValues(today.best, usual.best, bag, greens, today.tee, usual.tee)
    split = split_hole(values, shots)
    return [
        {
            "hole": number,
            "shot": place + 1,
            "lie": Lie(int(shots.lie[place])).word,
            "yards": round(float(shots.distance[place]), 1),
            "club": _club(bag, shots.club[place]),
            "better": _club(bag, split.better[place]),
            **_parts(split, place),
        }
        for place in range(len(shots))
    ]


def _club(bag: Bag, row: int) -> str:
    return "" if row == UNKNOWN else bag.clubs[int(row)].name


def _solved(hole: DrawnHole, bag: Bag, greens: Greens) -> _Solved:
    shape = shape_of(hole.drawing, hole.drawing.middle, STEP)
    best = best_play(shape, bag, greens)
    options = options_from(best, bag, shape.tee, Lie.TEE)
    return _Solved(best, float(options.expected[options.best]))


def _parts(split: Split, place: int) -> dict[str, float]:
    """Rounded so that the parts of each shot still add up to its total."""
    parts = {part: round(float(getattr(split, part)[place]), 4) for part in PARTS}
    parts["execution"] = round(parts["total"] - parts["choice"] - parts["greens"] - parts["luck"], 4)
    return parts
